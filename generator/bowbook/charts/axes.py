"""The frame a chart's points stand in: drawn by matplotlib, once for every chart with the same limits and ticks.

matplotlib draws the grid, the axes, their ticks and their texts on a reused figure. What it wrote becomes a fragment
with classes in place of its styles, and is kept. A chart's own points are placed by the frame's scale, which is the
one matplotlib's transform used (the tests compare the two). Limits and ticks belong to the key a frame is kept under,
so a point is never put into a frame made for other limits.

`keep` and `kept` let a publisher carry the fragments from one run to the next: matplotlib is then only imported when
a chart asks for a frame that was never drawn.
"""

from __future__ import annotations

import hashlib
import io
import math
from collections.abc import Mapping
from functools import cache
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from bowbook.charts import scale
from bowbook.charts.svg import number, words

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

MARGIN = 96.0  # px around the plot on matplotlib's page, for texts outside it
MOST_KEPT = 4096


class Axis(Struct, frozen=True):
    """One axis in the unit shown: limits, ticks, what it measures; `far` ticks (value, text) stand opposite."""

    low: float
    high: float
    ticks: tuple[float, ...] = ()
    title: str = ""
    log: bool = False
    texts: tuple[str, ...] | None = None  # in place of the ticks' own numbers
    far: tuple[tuple[float, str], ...] = ()
    far_title: str = ""

    def at(self, value: float) -> float:
        """Where a value stands, 0 at the low limit and 1 at the high one."""
        if self.log:
            return (math.log10(value) - math.log10(self.low)) / (math.log10(self.high) - math.log10(self.low))
        return (value - self.low) / (self.high - self.low)


class Frame(Struct, frozen=True):
    """A plot of `width` × `height` px with its two axes; `grid` says which of them rule it."""

    width: float
    height: float
    x: Axis
    y: Axis
    grid: str = "xy"

    def place(self, x: float, y: float) -> tuple[float, float]:
        """Px of a point, from the plot's upper left corner."""
        return self.x.at(x) * self.width, (1 - self.y.at(y)) * self.height


_fragments: dict[str, str] = {}
_fresh: dict[str, str] = {}


def fragment(frame: Frame) -> str:
    """The frame as SVG, its origin at the plot's upper left corner."""
    key = _key(frame)
    drawn = _fragments.get(key)
    if drawn is None:
        if len(_fragments) >= MOST_KEPT:
            _fragments.clear()
        drawn = _fragments[key] = _fresh[key] = _classed(_written(frame))
    return drawn


def kept() -> Mapping[str, str]:
    """Every fragment drawn or taken in so far, by key."""
    return dict(_fragments)


def fresh() -> dict[str, str]:
    """The fragments drawn since this was last asked, by key: what a process has to tell the one that started it."""
    told = dict(_fresh)
    _fresh.clear()
    return told


def keep(fragments: Mapping[str, str]) -> None:
    """Take in fragments of an earlier run, which must have been of this program and this matplotlib."""
    _fragments.update(fragments)


def _key(frame: Frame) -> str:
    return hashlib.blake2b(repr(frame).encode(), digest_size=16).hexdigest()


class _Easel:
    """matplotlib's figure with its artists, kept and moved from frame to frame. One axes for each kind of scale."""

    def __init__(self) -> None:
        from matplotlib.backends.backend_svg import FigureCanvasSVG
        from matplotlib.figure import Figure

        self.figure = Figure(dpi=72)  # so that a point is a px
        self.canvas: Any = FigureCanvasSVG(self.figure)
        self.figure.patch.set_visible(False)
        self.axes: dict[tuple[bool, bool], tuple[Any, Any, Any]] = {}
        self.texts: list[Any] = []
        self.used = 0

    def plot(self, frame: Frame) -> tuple[Any, Any, Any]:
        """The axes set to this frame, with its collections of grid lines and of axis lines."""
        self.figure.set_size_inches((frame.width + 2 * MARGIN) / 72, (frame.height + 2 * MARGIN) / 72)
        kind = (frame.x.log, frame.y.log)
        if kind not in self.axes:
            self.axes[kind] = self._new(*kind)
        for other, (axes, *_) in self.axes.items():
            axes.set_visible(other == kind)
        axes, grid, edge = self.axes[kind]
        across, down = MARGIN / (frame.width + 2 * MARGIN), MARGIN / (frame.height + 2 * MARGIN)
        axes.set_position((across, down, 1 - 2 * across, 1 - 2 * down))
        axes.set_xlim(frame.x.low, frame.x.high)
        axes.set_ylim(frame.y.low, frame.y.high)
        return axes, grid, edge

    def _new(self, log_x: bool, log_y: bool) -> tuple[Any, Any, Any]:
        from matplotlib.collections import LineCollection
        from matplotlib.transforms import IdentityTransform

        axes = self.figure.add_axes((0.1, 0.1, 0.8, 0.8))
        axes.set_xscale("log" if log_x else "linear")
        axes.set_yscale("log" if log_y else "linear")
        axes.set_axis_off()
        grid = LineCollection([], gid="ks-rule kw-hair", transform=axes.transData, clip_on=False)
        edge = LineCollection([], gid="ks-soft kw-hair", transform=IdentityTransform(), clip_on=False)
        axes.add_collection(grid, autolim=False)
        axes.add_collection(edge, autolim=False)
        return axes, grid, edge

    def write(self, x: float, y: float, text: str, classes: str, align: str) -> None:
        """Set the next text of the pool, its baseline at x, y in px."""
        from matplotlib.transforms import IdentityTransform

        if self.used == len(self.texts):
            text_artist = self.figure.text(0, 0, "", transform=IdentityTransform(), parse_math=False, va="baseline")
            self.texts.append(text_artist)
        artist = self.texts[self.used]
        self.used += 1
        artist.set_position((x, y))
        artist.set_text(text)
        artist.set_horizontalalignment(align)
        artist.set_gid(classes)
        artist.set_visible(True)

    def save(self) -> str:
        """The figure as SVG, the same bytes for the same artists; the pool of texts is free again."""
        import matplotlib

        for spare in self.texts[self.used :]:
            spare.set_visible(False)
        self.used = 0
        sheet = io.StringIO()
        with matplotlib.rc_context({"svg.fonttype": "none", "svg.hashsalt": "bowbook", "path.simplify": False}):
            self.canvas.print_svg(sheet, metadata=dict.fromkeys(("Date", "Creator", "Format", "Type")))
        return sheet.getvalue()


@cache
def easel() -> _Easel:
    """The one figure all frames are drawn on."""
    return _Easel()


def _written(frame: Frame) -> str:
    """matplotlib's own SVG of the frame."""
    draw = easel()
    axes, grid, edge = draw.plot(frame)
    x, y = frame.x, frame.y
    grid.set_segments(
        ([[(v, y.low), (v, y.high)] for v in x.ticks] if "x" in frame.grid else [])
        + ([[(x.low, v), (x.high, v)] for v in y.ticks] if "y" in frame.grid else [])
    )
    to_px = axes.transData.transform
    left, bottom = to_px((x.low, y.low))
    right, top = to_px((x.high, y.high))
    lines = [[(left, bottom), (right, bottom)]] if x.ticks else []
    for value, text in _labelled(x):
        at = to_px((value, y.low))[0]
        lines.append([(at, bottom), (at, bottom - 4)])
        draw.write(at, bottom - 17, text, "kt-tick", "center")
    for value, text in _labelled(y):
        draw.write(left - 7, to_px((x.low, value))[1] - 4, text, "kt-tick", "right")
    for value, text in y.far:
        at = to_px((x.high, value))[1]
        lines.append([(right, at), (right + 4, at)])
        draw.write(right + 8, at - 4, text, "kt-tick", "left")
    for value, text in x.far:
        at = to_px((value, y.high))[0]
        lines.append([(at, top), (at, top + 4)])
        draw.write(at, top + 9, text, "kt-tick", "center")
    for at, height, text, align in (
        (right, bottom - 34, x.title, "right"),
        (left - 30, top + 14, y.title, "left"),
        (right + 30, top + 14, y.far_title, "right"),
        (right, top + 24, x.far_title, "right"),
    ):
        if text:
            draw.write(at, height, text, "kt-axis", align)
    edge.set_segments(lines)
    return draw.save()


def _labelled(axis: Axis) -> list[tuple[float, str]]:
    return list(zip(axis.ticks, axis.texts or [scale.text(v) for v in axis.ticks], strict=True))


_ANCHOR = {"middle": "middle", "end": "end"}


def _classed(svg: str) -> str:
    """matplotlib's SVG with its group names as classes, without styles, ids or page, moved to the plot's corner."""
    from xml.etree.ElementTree import fromstring

    parts: list[str] = []
    lines: dict[str, list[str]] = {}

    def walk(element: Element, classes: str) -> None:
        for child in element:
            tag = child.tag.rpartition("}")[2]
            if tag == "g":
                named = child.get("id", "")
                walk(child, named if named.startswith("k") else classes)
            elif tag == "path" and classes:
                lines.setdefault(classes, []).append(_moved(child.get("d", "")))
            elif tag == "text":
                anchor = _ANCHOR.get(child.get("style", "").rpartition("text-anchor: ")[2].split(";")[0], "start")
                x, y = float(child.get("x", "0")) - MARGIN, float(child.get("y", "0")) - MARGIN
                parts.append(words(x, y, child.text or "", classes, anchor))

    walk(fromstring(svg), "")
    return "".join(f'<path class="{c}" d="{"".join(d)}"/>' for c, d in lines.items()) + "".join(parts)


def _moved(data: str) -> str:
    """Straight path data from matplotlib's page to the plot's corner."""
    signs = data.split()
    pairs = zip(signs[0::3], signs[1::3], signs[2::3], strict=True)
    return "".join(f"{move}{number(float(x) - MARGIN)} {number(float(y) - MARGIN)}" for move, x, y in pairs)
