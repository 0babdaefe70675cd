"""Balance of every bow before shaving and after: did the knife bring the halves together?"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bowbook.charts import points, scale, words
from bowbook.charts.labels import shortened, stacked
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.points import Spot, crowded, reach
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.charts.words import leaning, leaning_ink, sided, tolerance_said, verdict_said
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board

PERCENT = scale.Scale(100.0, "%")
Pair = tuple[Findings, Measured, Measured]


def balance_chart(book: BookFindings, root: str = "") -> Drawing | None:
    """Difference of the halves before any shaving and after the last, tolerance around even.

    One line a kite; of a crowd one point, the first difference across and the last up, since hundreds of lines would
    hide each other.
    """
    kites = _shaved(book)
    if not kites:
        return None
    what = f"{len(kites)} bows measured more than once. The green band is the tolerance, {tolerance_said(book)}."
    if crowded(len(kites)):
        what += " Each point is a bow: across, its first round; up, its last."

    def draw(board: Board, sheet: Sheet) -> float:
        return (_field if crowded(len(kites)) else _slopes)(board, kites, book, sheet, root)

    return Drawing("balance", "", "Balance of every bow, first round and last", what, draw)


def balance_rows(book: BookFindings) -> ChartTable:
    """First and last difference of every bow with more than one round."""
    rows = [
        ChartRow(
            (f.kite.name, str(len(f.balance.rounds)), leaning(first, book), leaning(last, book), verdict_said(f)),
            f.kite.key,
        )
        for f, first, last in _shaved(book)
    ]
    return ChartTable(("Kite", "Rounds", "First round, 95 %", "Last round, 95 %", "Verdict now"), tuple(rows))


def _shaved(book: BookFindings) -> list[tuple[Findings, Measured, Measured]]:
    """Kites with a difference in more than one round: the first and the last of them."""
    out = []
    for f in book.kites.values():
        judged = [r.difference for r in f.balance.rounds if r.difference]
        if len(judged) > 1:
            out.append((f, judged[0], judged[-1]))
    return out


def _limits(kites: Sequence[Pair], book: BookFindings, most: int) -> tuple[float, float, tuple[float, ...]]:
    """Limits and ticks that hold every difference with its 95 % and the tolerance."""
    tolerance = 140 * book.book.settings.tolerance
    ends = [v for _, *both in kites for m in both for v in reach(m, book.coverage, PERCENT)]
    return scale.around(min(-tolerance, *ends), max(tolerance, *ends), most)


def _slopes(board: Board, kites: Sequence[Pair], book: BookFindings, sheet: Sheet, root: str) -> float:
    """One line a kite from its first difference to its last, names at the end where there is room."""
    left, right, height = 64.0, 106.0 if sheet.narrow else 200.0, 250.0 if sheet.narrow else 320.0
    low, high, ticks = _limits(kites, book, 7)
    axis = Axis(low, high, ticks, "stiffer half, and by how much · bars 95 %", texts=sided(ticks))
    plot = board.plot(left, TOP, sheet.width - left - right, height, Axis(0, 1), axis, "y")
    tolerance = 100 * book.book.settings.tolerance
    plot.band(-tolerance, tolerance, "kf-ok kp-faint")
    plot.across(0, "ks-ok kw-fine")
    for f, *both in kites:
        url, ink = words.page_of(f.kite.key, root), leaning_ink(f)
        board.titles[url] = f"{f.kite.name}: {verdict_said(f)}"
        ends = [(x, PERCENT(m.value)) for x, m in zip((0.06, 0.94), both, strict=True)]
        plot.line(ends, f"ks-{ink} kw-fine kp-half", url)
        spans = [(x, *reach(m, book.coverage, PERCENT)) for x, m in zip((0.06, 0.94), both, strict=True)]
        plot.upright(spans, f"ks-{ink} kw-hair kp-half", [url, url])
        plot.dots(ends[:1], 2.6, f"kf-paper ks-{ink} kw-fine", [url])
        plot.dots(ends[1:], 3, f"kf-{ink}", [url])
    _ends(plot, kites, sheet, root)
    board.write(left, TOP + height + 22, "first round")
    board.write(left + plot.width, TOP + height + 22, "last round", "", "end")
    return TOP + height + 32


def _ends(plot: Plot, kites: Sequence[Pair], sheet: Sheet, root: str) -> None:
    """The kites' names beside their last differences, where all of them have room."""
    apart = sheet.small + 3
    if len(kites) * apart > plot.height + 8:
        return
    ends = [plot.px(0.94, PERCENT(last.value)) for *_, last in kites]
    right = plot.left + plot.width
    heights = stacked([y for _, y in ends], apart, plot.top, plot.top + plot.height)
    plot.board.bars([((x + 5, y), (right + 4, h)) for (x, y), h in zip(ends, heights, strict=True)], "ks-rule kw-hair")
    for (f, *_), height in zip(kites, heights, strict=True):
        name, url = shortened(f.kite.name, 14 if sheet.narrow else 26), words.page_of(f.kite.key, root)
        plot.board.write(right + 7, height + 4, name, "kt-name kt-small", url=url)


def _field(board: Board, kites: Sequence[Pair], book: BookFindings, sheet: Sheet, root: str) -> float:
    """A crowd's first differences against its last."""
    left, tolerance = 80.0, 100 * book.book.settings.tolerance
    low, high, ticks = _limits(kites, book, 4 if sheet.narrow else 7)
    size, apart = sheet.width - left - (30 if sheet.narrow else 130), ticks[1] - ticks[0]
    while apart / (high - low) * size < 6 * sheet.small:  # room for "10 % right"
        apart *= 2
    few = tuple(v for v in ticks if not round(v / apart, 6) % 1)
    first = Axis(low, high, few, "stiffer half in the first round", texts=sided(few))
    last = Axis(low, high, ticks, "in the last round · bars 95 %", texts=sided(ticks))
    plot = board.plot(left, TOP, size, 0.62 * size, first, last)
    plot.band(-tolerance, tolerance, "kf-ok kp-faint")
    plot.line([(low, low), (high, high)], "ks-soft kw-hair kd-dash")
    spots = []
    for f, before, after in kites:
        across, up = (reach(m, book.coverage, PERCENT) for m in (before, after))
        at = PERCENT(before.value), PERCENT(after.value)
        spots.append(Spot(f.kite.key, f.kite.name, *at, "", f"kf-{leaning_ink(f)}", across=across, up=up))
    points.draw(plot, spots, sheet, root)
    return words.write_note(board, "dashed: as the first round found it", sheet, left, TOP + plot.height + 46)
