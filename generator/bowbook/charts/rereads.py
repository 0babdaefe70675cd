"""One state's readings over the years: a bow that nobody touched, read again and again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from bowbook.book.days import middle_of
from bowbook.charts import scale, words
from bowbook.charts.plot import Axis
from bowbook.charts.points import repeats
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.charts.words import day_in_full, spelled
from bowbook.findings.bench_results import Measured, RoundBalance
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT, HEIGHT, RIGHT = 44.0, 150.0, 40.0  # px


def rereads_chart(findings: Findings, book: BookFindings) -> Drawing | None:
    """Both halves against the days on which they were read; None where the bow reads as it did."""
    rounds = _rounds(findings)
    if len(rounds) < 2:
        return None
    unit, t = scale.shown("force", book.book.settings.units), book.coverage
    days = [middle_of(one.on or "") for one in rounds]
    first, length = min(days), max((max(days) - min(days)).days, 1)
    read = [
        (way, [((day - first).days, m) for day, m in zip(days, of_side, strict=True) if m])
        for way, of_side in ((-1, [one.left_N for one in rounds]), (1, [one.right_N for one in rounds]))
    ]
    ends = [end for _, both in read for _, m in both for end in repeats(m, t, unit)]

    def draw(board: Board, sheet: Sheet) -> float:
        low, high, ticks = scale.around(min(ends), max(ends), 5, least=0.04 * max(ends))
        room = length * 0.06
        marked = calendar(first, max(days), 3 if sheet.narrow else 6)
        at_days = tuple(float((day - first).days) for day, _ in marked)
        across = Axis(-room, length + room, at_days, texts=tuple(text for _, text in marked))
        up = Axis(low, high, ticks, f"on the scale, {unit.unit} · bars 95 %")
        plot = board.plot(LEFT, TOP, sheet.width - LEFT - RIGHT, HEIGHT, across, up, "y")
        for way, both in read:
            if not both:
                continue
            aside = way * 3 * (across.high - across.low) / plot.width
            plot.line([(x + aside, unit(m.value)) for x, m in both], "ks-ink kw-hair kp-half")
            plot.upright([(x + aside, *repeats(m, t, unit)) for x, m in both], "ks-ink kw-line")
            inks = "kf-ink" if way < 0 else "kf-paper ks-ink kw-fine"
            plot.dots([(x + aside, unit(m.value)) for x, m in both], 3.6, inks)
        told = "filled: left half · ring: right half"
        return words.write_note(board, told, sheet, LEFT, TOP + HEIGHT + 30)

    said = " ".join(f"{row.cells[0]}: left {row.cells[1]}, right {row.cells[2]}." for row in _table(rounds, book).rows)
    skin_on = " with its skin on" if findings.drift and findings.drift.skin_on else ""
    return Drawing("rereads", findings.kite.key, f"The bow of {findings.kite.name}, read again{skin_on}", said, draw)


def rereads_rows(findings: Findings, book: BookFindings) -> ChartTable:
    """The same readings, day by day."""
    return _table(_rounds(findings), book)


def calendar(first: date, last: date, most: int) -> list[tuple[date, str]]:
    """At most `most` beginnings of months, else of years, from one day to another, evenly apart, with their names.

    >>> [text for _, text in calendar(date(2026, 5, 1), date(2028, 3, 1), 6)]
    ['July 2026', 'Jan 2027', 'July 2027', 'Jan 2028']
    >>> [text for _, text in calendar(date(2019, 5, 1), date(2028, 3, 1), 6)]
    ['2020', '2022', '2024', '2026', '2028']
    """
    for apart in (1, 2, 3, 6, 12, 24, 60, 120):
        months = range(first.year * 12 + first.month, last.year * 12 + last.month)
        begun = [date(n // 12, n % 12 + 1, 1) for n in months if n % apart == 0]
        if len(begun) <= most and (apart < 12 or len(begun) > 1 or not months):
            break
    if apart >= 12 or all(day.month == 1 for day in begun):
        return [(day, str(day.year)) for day in begun]
    return [(day, f"{words.month_name(day.month)} {day.year}") for day in begun]


def _rounds(findings: Findings) -> Sequence[RoundBalance]:
    """The rounds between which the bow was not touched, where they say that it changed by itself."""
    drift = findings.drift
    if drift is None or drift.since is None or drift.until is None:
        return ()
    inside = [findings.rounds[path].showed for path in drift.rounds]
    return [one for one in inside if one.on and (one.left_N or one.right_N)]


def _table(rounds: Sequence[RoundBalance], book: BookFindings) -> ChartTable:
    def said(figure: Measured | None) -> str:
        return spelled(book.book.settings.units, "force", figure)

    rows = (ChartRow((day_in_full(one.on or ""), said(one.left_N), said(one.right_N))) for one in rounds)
    return ChartTable(("Day", "Left half", "Right half"), tuple(rows))
