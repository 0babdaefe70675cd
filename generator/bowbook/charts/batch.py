"""Kites that were built together, one row each: what both halves read, around the mean of them all."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bowbook.charts import scale, words
from bowbook.charts.labels import shortened
from bowbook.charts.plot import Axis
from bowbook.charts.points import repeats
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.charts.words import spelled
from bowbook.findings.results import BatchFindings, BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board

APART = 46.0  # px between two rows
MOST = 100  # kites of one batch that are drawn; of more the table tells


def batch_chart(name: str, batch: BatchFindings, kites: Sequence[Findings], book: BookFindings) -> Drawing | None:
    """Both halves of every bow with their 95 %, over a band of one standard deviation about the mean of the bows.

    None unless two kites have been read, and of more than a hundred.
    """
    read = [f for f in kites if f.bow.left.press_N or f.bow.right.press_N]
    if not 2 <= len(read) <= MOST:
        return None
    unit, t = scale.shown("force", book.book.settings.units), book.coverage
    halves = [(f, [(side, m) for side in ("left", "right") if (m := getattr(f.bow, side).press_N)]) for f in read]
    ends = [end for _, both in halves for _, m in both for end in repeats(m, t, unit)]

    def draw(board: Board, sheet: Sheet) -> float:
        low, high, ticks = scale.around(min(ends), max(ends), 5 if sheet.narrow else 9, least=0.04 * max(ends))
        across = Axis(low, high, ticks, f"on the scale, {unit.unit}")
        plot = board.plot(15, 12, sheet.width - 30, APART * len(read), across, Axis(len(read), 0), "x")
        if (spread := batch.press_N) is not None:
            first, last = (plot.x.inside(unit(spread.mean * (1 + way * spread.relative))) for way in (-1, 1))
            plot.line([(first, 0), (first, len(read)), (last, len(read)), (last, 0)], "kf-ok kp-faint")
            plot.line([(unit(spread.mean), 0), (unit(spread.mean), len(read))], "ks-ok kw-fine")
        for i, (f, both) in enumerate(halves):
            x, y = plot.px(low, i + 0.34)
            board.write(x + 4, y, shortened(f.kite.name, 24), "kt-name kt-halo")
            for side, m in both:
                down = i + (0.58 if side == "left" else 0.78)
                plot.level([(down, *repeats(m, t, unit))], "ks-ink kw-line")
                plot.dots([(unit(m.value), down)], 3.6, "kf-ink" if side == "left" else "kf-paper ks-ink kw-fine")
        told = "filled: left half · ring: right half · bars 95 % · band: one standard deviation about the mean"
        return words.write_note(board, told, sheet, 15, 12 + plot.height + 46)

    said = " ".join(
        f"{row.cells[0]}: left {row.cells[1]}, right {row.cells[2]}." for row in batch_rows(read, book).rows
    )
    return Drawing("batch", name, f"What the bows of {name} read", said, draw)


def batch_rows(kites: Sequence[Findings], book: BookFindings) -> ChartTable:
    """Both halves of every bow."""
    units = book.book.settings.units
    rows = [
        ChartRow(
            (f.kite.name, *(spelled(units, "force", one.press_N) for one in (f.bow.left, f.bow.right))), f.kite.key
        )
        for f in kites
    ]
    return ChartTable(("Kite", "Left half", "Right half"), tuple(rows))
