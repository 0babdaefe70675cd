"""Frames and the points put into them, against matplotlib drawing the same thing itself on a figure of its own."""

from __future__ import annotations

import io
import re

import pytest
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from bowbook.charts import axes, svg
from bowbook.charts.axes import Axis, Frame

FRAMES = {
    "plain": Frame(520, 300, Axis(0, 12, (0, 4, 8, 12), "flexes in, mph"), Axis(2, 14, (2, 8, 14), "liked in, mph")),
    "logarithmic": Frame(
        480, 260, Axis(0.011, 0.09, (0.02, 0.05), "x", log=True), Axis(1, 400, (1, 20), "y", log=True)
    ),
    "mixed": Frame(344, 200, Axis(0.5, 70, (1, 10), log=True), Axis(-3, 9, (0, 5), "even", far=((2.0, "1"),))),
}
POINTS = ((0.02, 2.5), (0.05, 8.0), (0.08, 3.3))


@pytest.mark.parametrize("name", FRAMES)
def test_points_stand_where_matplotlib_puts_them(name: str) -> None:
    """A line drawn by matplotlib on its own axes and ours in the frame: the same px to a hundredth."""
    frame = FRAMES[name]
    points = POINTS if name == "logarithmic" else tuple((50 * x, y) for x, y in POINTS)
    figure = Figure(figsize=(frame.width / 72, frame.height / 72), dpi=72)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xscale("log" if frame.x.log else "linear")
    axes.set_yscale("log" if frame.y.log else "linear")
    axes.set_xlim(frame.x.low, frame.x.high)
    axes.set_ylim(frame.y.low, frame.y.high)
    axes.plot(*zip(*points, strict=True), gid="own-line")
    sheet = io.StringIO()
    FigureCanvasSVG(figure).print_svg(sheet)
    theirs = re.search(r'id="own-line">\s*<path d="([^"]+)"', sheet.getvalue())
    assert theirs
    numbers = [float(n) for n in re.findall(r"[\d.]+", theirs[1])]
    ours = re.findall(r"[\d.]+", svg.path_data(frame.place(*p) for p in points))
    assert [float(n) for n in ours] == pytest.approx(numbers, abs=0.0051)


@pytest.mark.parametrize("name", FRAMES)
def test_ticks_stand_where_the_frame_places_them(name: str) -> None:
    """The ticks matplotlib drew and the points placed later belong to one scale."""
    frame = FRAMES[name]
    drawn = axes.fragment(frame)
    for value in frame.x.ticks:
        x = svg.number(frame.place(value, frame.y.low)[0])
        assert f"M{x} {svg.number(frame.height)}L{x} {svg.number(frame.height + 4)}" in drawn
    for value in frame.y.ticks:
        y = frame.place(frame.x.low, value)[1]
        assert f'x="-7" y="{svg.number(y + 4)}"' in drawn


def test_a_frame_is_drawn_once_and_again_only_for_other_limits() -> None:
    """The same frame is the same string; a frame with another limit is another frame."""
    frame = FRAMES["plain"]
    before = len(axes.kept())
    assert axes.fragment(frame) is axes.fragment(Frame(520, 300, frame.x, frame.y))
    assert len(axes.kept()) <= before + 1
    assert axes.fragment(Frame(520, 300, Axis(0, 13, (0, 4, 8, 12), "flexes in, mph"), frame.y)) != axes.fragment(frame)


def test_a_frame_does_not_remember_the_one_before() -> None:
    """Artists are reused: what the last frame had more of must not be left behind."""
    many = Frame(300, 200, Axis(0, 9, tuple(range(10)), "left behind"), Axis(0, 9, tuple(range(10)), "behind"))
    few = Frame(300, 200, Axis(0, 1, (0, 1)), Axis(0, 1, ()))
    alone = axes._classed(axes._written(few))
    axes._written(many)
    assert axes._classed(axes._written(few)) == alone
    assert "behind" not in alone
    assert alone.count("<text") == 2


def test_what_matplotlib_wrote_is_left_without_styles_and_ids() -> None:
    """Only classes and geometry come through, whatever matplotlib's version writes."""
    for frame in FRAMES.values():
        drawn = axes.fragment(frame)
        assert not re.search(r"style|id=|font-|clip|#[0-9a-f]{6}", drawn)
