"""One round at the bench, small: every press as a tick, each half's mean with its 95 %, how far apart they are."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.charts import scale
from bowbook.charts.labels import wide
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.rows import FOOT, rows_plot, with_unit
from bowbook.charts.sheet import Drawing
from bowbook.findings.bench_results import Measured

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.sheet import Sheet

LEFT, RIGHT, HEIGHT = -20.0, -84.0, 104.0  # px below the top: the rows of both halves; the whole height


class PressedHalf(Struct, frozen=True):
    """One half in one round, N: its presses, their mean with its uncertainty, and what it read before if it did."""

    side: str
    presses: tuple[float, ...]
    mean: Measured
    before: float | None = None


class PressRound(Struct, frozen=True):
    """A round as it is drawn; `even` are the ends of what would be even with the softer half, N."""

    name: str  # of its ids: "1", "skin-on"
    kite: str
    title: str
    halves: tuple[PressedHalf, ...]
    between: str  # what is said between the rows: "7.8 % apart", "the skin adds 20 %"
    act: str | None = None  # the half to be shaved
    even: tuple[float, float] | None = None


def round_chart(shown: PressRound, limits: tuple[float, float], units: Units, coverage: float) -> Drawing:
    """The round on the one scale, `limits` N, that all rounds of the page share."""
    said = [
        f"{half.side} {', '.join(show(v, 'force', units) for v in half.presses)}, "
        f"mean {show(half.mean.value, 'force', units)}"
        for half in shown.halves
    ]
    return Drawing(
        "round",
        f"{shown.kite}-{shown.name}",
        shown.title,
        f"{'; '.join(said)}. {shown.between}.",
        lambda board, sheet: _draw(board, sheet, shown, limits, units, coverage),
        ("beside",),
    )


def _draw(
    board: Board, sheet: Sheet, shown: PressRound, limits: tuple[float, float], units: Units, coverage: float
) -> float:
    unit = scale.shown("force", units)
    low, high, ticks = scale.around(unit(limits[0]), unit(limits[1]), 5)
    plot = rows_plot(board, sheet, with_unit(Axis(low, high, ticks), unit.unit), HEIGHT, 40)
    if shown.even:
        softer = min(shown.halves, key=lambda half: half.mean.value).side
        row = LEFT if softer == "right" else RIGHT
        start, end = (plot.x.inside(unit(v)) for v in shown.even)
        plot.band(row - 17, row + 17, "kf-ok kp-faint", start, end)
    for half in shown.halves:
        _row(plot, half, shown, unit, coverage)
    values = [unit(half.mean.value) for half in shown.halves]
    middle, apart = (LEFT + RIGHT) / 2 - 2, shown.even is not None and len(values) == 2
    ink = "kt-accent" if shown.act else ""
    if apart and plot.width * abs(plot.x.at(values[0]) - plot.x.at(values[1])) > 6:
        inks = f"ks-{'accent' if shown.act else 'soft'} kw-fine"
        plot.level([(middle, min(values), max(values))], inks)
        plot.upright([(v, middle - 5, middle + 5) for v in values], inks)
    if shown.between:
        _beside(plot, max(values), middle, shown.between, ink)
    return HEIGHT + FOOT


def _row(plot: Plot, half: PressedHalf, shown: PressRound, unit: scale.Scale, coverage: float) -> None:
    """One half: its name, where it was, its presses over their mean, its figure."""
    row, write = (LEFT if half.side == "left" else RIGHT), plot.board.write
    name = "accent" if shown.act == half.side else "ink"
    write(0, plot.px(plot.x.low, row)[1] + 4, half.side, "")
    mean, spread = unit(half.mean.value), unit(half.mean.spread) * coverage
    if half.before is not None and abs(half.before - half.mean.value) > 0.01 * half.mean.value:
        was = unit(half.before)
        plot.level([(row, was, mean)], "ks-soft kw-hair")
        plot.dots([(was, row)], 4, "kf-soft")
    seen: dict[float, int] = {}
    ticks = []
    for value in half.presses:
        again = seen[value] = seen.get(value, 0) + 1  # equal presses stand over each other
        ticks.append((unit(value), row + 8 * again - 4, row + 8 * again + 3))
    plot.upright(ticks, f"ks-{name} kw-line")
    plot.level([(row - 4, mean - spread, mean + spread)], f"ks-{name} kw-line")
    plot.upright([(mean, row - 8, row)], f"ks-{name} kw-line")
    text = f"{scale.text(round(mean, 1 if mean < 100 else 0))} {unit.unit}"
    inks, places = "kt-accent" if name == "accent" else "", [unit(v) for v in half.presses]
    if half.before is not None and half.before > half.mean.value:  # what it was stands on the right
        x, y = plot.px(min(mean - spread, *places), row - 2)
        plot.board.write(x - 8, y + 4, text, f"{inks} kt-halo".strip(), "end")
    else:
        _beside(plot, max(mean + spread, *places), row - 2, text, inks)


def _beside(plot: Plot, value: float, row: float, text: str, inks: str) -> None:
    """A text right of a figure, or where it would leave the sheet, left of the plot's end."""
    x, y = plot.px(plot.x.inside(value), row)
    room = plot.left + plot.width + 24 - x - 8
    if wide(text, 13) <= room:
        plot.board.write(x + 8, y + 4, text, f"{inks} kt-halo".strip())
    else:
        plot.board.write(plot.left + plot.width + 24, y + 4, text, f"{inks} kt-halo".strip(), "end")


def limits_of(rounds: Sequence[PressRound], coverage: float) -> tuple[float, float]:
    """The scale that holds every reading of these rounds, N."""
    values = [v for one in rounds for half in one.halves for v in half.presses]
    values += [
        half.mean.value + way * coverage * half.mean.spread for one in rounds for half in one.halves for way in (-1, 1)
    ]
    values += [v for one in rounds for v in one.even or ()]
    span = max(max(values) - min(values), 0.08 * max(values))
    middle = (max(values) + min(values)) / 2
    return middle - span / 2, middle + span / 2
