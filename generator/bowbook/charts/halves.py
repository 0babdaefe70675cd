"""How even every bow of the book is, from the softest to the stiffest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bowbook.charts import points, scale, words
from bowbook.charts.plot import Axis
from bowbook.charts.points import Spot, crowded, reach
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.charts.words import leaning, spelled, tolerance_said, verdict_said
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT = 64.0  # px beside the plot, for "5 % right"
PERCENT = scale.Scale(100.0, "%")


def halves_chart(book: BookFindings, root: str = "") -> Drawing | None:
    """The difference of the halves of every bow against what its left half reads, with the tolerance around even."""
    kites = [
        (f, left, f.balance.difference)
        for f in book.kites.values()
        if (left := f.bow.left.press_N) and f.bow.right.press_N and left.value > 0 and f.balance.difference
    ]
    if not kites:
        return None
    unit, tolerance = scale.shown("force", book.book.settings.units), 100 * book.book.settings.tolerance

    def draw(board: Board, sheet: Sheet) -> float:
        readings = [unit(left.value) for _, left, _ in kites]
        along = words.log_axis(min(readings), max(readings), 5 if sheet.narrow else 8, f"left half reads, {unit.unit}")
        edges = [v for *_, d in kites for v in reach(d, book.coverage, PERCENT)]
        low, high, ticks = scale.around(min(-1.4 * tolerance, *edges), max(1.4 * tolerance, *edges), 7)
        up = Axis(low, high, ticks, "stiffer half, and by how much · bars 95 %", texts=words.sided(ticks))
        plot = board.plot(LEFT, TOP, sheet.width - LEFT - 30, 250 if sheet.narrow else 320, along, up)
        plot.band(-tolerance, tolerance, "kf-ok kp-faint")
        plot.across(0, "ks-ok kw-fine")
        points.draw(plot, [_spot(f, left, d, book, len(kites)) for f, left, d in kites], sheet, root)
        return TOP + plot.height + 44

    what = f"{len(kites)} bows. The green band holds bows whose halves differ by no more than {tolerance_said(book)}."
    return Drawing("halves", "", "How even every bow is, from the softest to the stiffest", what, draw)


def _spot(findings: Findings, left: Measured, difference: Measured, book: BookFindings, among: int) -> Spot:
    """One bow: its difference with its bars, in the accent where a half is stiffer."""
    kite, unit = findings.kite, scale.shown("force", book.book.settings.units)
    said = "" if crowded(among) else f"{kite.name}: {leaning(difference, book)}, {verdict_said(findings)}"
    across, up = reach(left, book.coverage, unit), reach(difference, book.coverage, PERCENT)
    at, ink = (unit(left.value), PERCENT(difference.value)), f"kf-{words.leaning_ink(findings)}"
    return Spot(kite.key, kite.name, *at, said, ink, across=across, up=up)


def halves_rows(book: BookFindings) -> ChartTable:
    """Half readings, difference and verdict of every kite that has them."""
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        left, right = f.bow.left.press_N, f.bow.right.press_N
        if left and right:
            halves = (spelled(units, "force", left), spelled(units, "force", right))
            rows.append(
                ChartRow((f.kite.name, *halves, leaning(f.balance.difference, book), verdict_said(f)), f.kite.key)
            )
    return ChartTable(("Kite", "Left half", "Right half", "Difference, 95 %", "Verdict"), tuple(rows))
