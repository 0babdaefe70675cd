"""How the bench chart is laid out: halves above, the whole bow under them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts import scale
from bowbook.charts.bench_foot import feet
from bowbook.charts.labels import stacked
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sheet import Sheet
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board

SIDES = ("left", "right")
ASIDE = 0.07  # of a column: how far a half stands from the column's middle, so that bars do not overlap
LEFT, TOP, HEIGHT, UNDER = 44.0, 34.0, 190.0, 36.0  # px: beside, over, of and under the plot of the halves
LOW_PLOT = 58.0  # px, of the whole bow's plot


class RoundColumn(Struct, frozen=True):
    """One round, or the covered readings: figures and single repeats in the unit shown."""

    label: str
    left: Measured | None
    right: Measured | None
    whole: Measured | None
    texts: tuple[str, str]
    repeats: tuple[tuple[float, ...], tuple[float, ...]]
    shaved: tuple[str, ...] = ()  # what was taken off after this round, in short pieces
    covered: bool = False

    def half(self, side: str) -> Measured | None:
        """The figure of one half."""
        return self.left if side == "left" else self.right


def draw(board: Board, columns: Sequence[RoundColumn], findings: Findings, book: BookFindings, sheet: Sheet) -> float:
    """All of it on one sheet; gives its height."""
    unit, t = scale.shown("force", book.book.settings.units).unit, book.coverage
    width = sheet.width - LEFT - (86.0 if sheet.narrow else 150.0)
    values = [v for c in columns for row in c.repeats for v in row]
    values += [
        v for c in columns for m in (c.left, c.right) if m for v in (m.value - t * m.spread, m.value + t * m.spread)
    ]
    values += [v for c in columns for v in _even(c, findings.balance.tolerance)]
    low, high, ticks = scale.around(min(values), max(values), 5, least=0.04 * max(values))
    across = Axis(0, len(columns))
    up = Axis(low, high, ticks, f"on the scale, {unit} · bars 95 %")
    plot = board.plot(LEFT, TOP, width, HEIGHT, across, up, "")
    _ground(plot, columns, findings)
    plot.rule("y")
    _halves(plot, columns, findings, t, sheet)
    bottom = TOP + HEIGHT
    if any(c.whole for c in columns):
        _whole(board, columns, t, unit, sheet, (LEFT, bottom + UNDER, width))
        bottom += UNDER + LOW_PLOT
    return bottom + 28 + feet(board, columns, (LEFT, TOP, width, bottom), sheet)


def _even(column: RoundColumn, tolerance: float) -> tuple[float, ...]:
    """The readings of the other half that would be even with the softer one: the tolerance is of the halves' mean."""
    if column.covered or column.left is None or column.right is None:
        return ()
    softer = min(column.left.value, column.right.value)
    return softer * (2 - tolerance) / (2 + tolerance), softer * (2 + tolerance) / (2 - tolerance)


def _ground(plot: Plot, columns: Sequence[RoundColumn], findings: Findings) -> None:
    """What lies under the readings: the tolerance around the softer half, and a sky behind the covered ones."""
    apart = plot.width / len(columns)
    gap = 3 / apart
    for i, column in enumerate(columns):
        if column.covered:
            plot.band(plot.y.low, plot.y.high, "kf-sky", i, i + 1)
        elif even := _even(column, findings.balance.tolerance):
            plot.band(even[0], even[1], "kf-ok kp-faint", i + gap, i + 1 - gap)
            x, y = plot.px(i, even[0])
            if i == 0 and y - plot.px(i, even[1])[1] > 24 and apart > 110:
                plot.board.write(x + 10, y - 6, "even", "kt-small kt-ok")


def _halves(plot: Plot, columns: Sequence[RoundColumn], findings: Findings, t: float, sheet: Sheet) -> None:
    """The readings of both halves with their bars, single repeats beside them, names at their ends."""
    last = max((i for i, c in enumerate(columns) if c.left or c.right), default=-1)
    apart = plot.width / len(columns)
    aside, radius = 7 / apart, max(1.6, min(3.8, apart / 9))
    ends = []
    for number, side in enumerate(SIDES):
        ink, way = ("accent" if findings.shave.side == side else "ink"), (1, -1)[side == "left"]
        at = [(i + 0.5 + way * ASIDE, m) for i, c in enumerate(columns) if (m := c.half(side))]
        bare = [
            (i + 0.5 + way * ASIDE, m.value) for i, c in enumerate(columns) if not c.covered and (m := c.half(side))
        ]
        if len(bare) > 1:
            plot.line(bare, f"ks-{ink} kw-hair kp-half")
        repeats = [(i + 0.5 + way * (ASIDE + aside), v) for i, c in enumerate(columns) for v in c.repeats[number]]
        if repeats:
            plot.dots(repeats, 1.3, "kf-soft")
        if at:
            plot.upright([(x, m.value - t * m.spread, m.value + t * m.spread) for x, m in at], f"ks-{ink} kw-line")
            inner = f"kf-{ink}" if side == "left" else f"kf-paper ks-{ink} kw-fine"
            plot.dots([(x, m.value) for x, m in at], radius, inner)
        if last >= 0 and (m := columns[last].half(side)):
            ends.append((plot.px(0, m.value)[1], side, columns[last].texts[number], ink))
        if bare and int(bare[-1][0]) != last and apart > 40:
            x, y = plot.px(*bare[-1])
            plot.board.write(x + way * 13, y + 4, side, "kt-small kt-halo", "start" if way == 1 else "end")
    _end_labels(plot, ends, sheet)


def _end_labels(plot: Plot, ends: Sequence[tuple[float, str, str, str]], sheet: Sheet) -> None:
    """Each half named, with its figure, beside its last reading."""
    tall = 2 * sheet.text + 5 if sheet.narrow else sheet.text + 5
    right, write = plot.left + plot.width + 7, plot.board.write
    heights = stacked([e[0] for e in ends], tall, plot.top + 6, plot.top + plot.height - 6)
    for y, (_, side, said, ink) in zip(heights, ends, strict=True):
        accent = " kt-accent" if ink == "accent" else ""
        if sheet.narrow:
            write(right, y - 2, f"{side} half", "kt-small" + accent)
            write(right, y + 12, said, "kt-small" + accent)
        else:
            write(right, y + 4, f"{side} half {said}", accent.strip())


def _whole(
    board: Board, columns: Sequence[RoundColumn], t: float, unit: str, sheet: Sheet, at: tuple[float, float, float]
) -> None:
    """The whole bow's readings, on their own small plot: they are about a quarter of a half's."""
    read = [(i + 0.5, c.whole) for i, c in enumerate(columns) if c.whole]
    ends = [m.value + way * t * m.spread for _, m in read for way in (-1, 1)]
    low, high, ticks = scale.around(min(ends), max(ends), 3, least=0.1 * max(ends))
    left, top, width = at
    across, up = Axis(0, len(columns)), Axis(low, high, ticks, f"whole bow, {unit}")
    plot = board.plot(left, top, width, LOW_PLOT, across, up, "y")
    plot.upright([(x, m.value - t * m.spread, m.value + t * m.spread) for x, m in read], "ks-ink kw-line")
    plot.dots([(x, m.value) for x, m in read], 3.2, "kf-soft ks-ink kw-fine")
    beside = plot.px(0, read[-1][1].value)[1] + 4
    board.write(left + width + 7, beside, "whole", "kt-small" if sheet.narrow else "")
