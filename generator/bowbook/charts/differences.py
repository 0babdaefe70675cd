"""The halves' difference round by round, for bows that were sagged or drooped: their readings share no scale."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bowbook.charts import scale, words
from bowbook.charts.plot import Axis
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board


def difference_chart(findings: Findings, book: BookFindings) -> Drawing | None:
    """The difference of the halves, round by round, with the tolerance around even."""
    judged = findings.balance.rounds
    rounds = [(i, r.difference) for i, r in enumerate(judged) if r.difference]
    if not rounds:
        return None
    t, tolerance = book.coverage, 100 * findings.balance.tolerance

    def draw(board: Board, sheet: Sheet) -> float:
        spans = [(i + 0.5, 100 * d.value, 100 * t * d.spread) for i, d in rounds]
        reach = max([tolerance, *(abs(d) + u for _, d, u in spans)]) * 1.05
        low, high, ticks = scale.around(-reach, reach, 6)
        axis = Axis(low, high, ticks, "stiffer half, and by how much · bars 95 %", texts=words.sided(ticks))
        plot = board.plot(64, 34, sheet.width - 80, 170, Axis(0, len(judged)), axis, "y")
        plot.band(-tolerance, tolerance, "kf-ok kp-faint")
        plot.across(0, "ks-ink kw-hair")
        plot.upright([(x, d - u, d + u) for x, d, u in spans], "ks-ink kw-line")
        plot.dots([(x, d) for x, d, _ in spans], 3.8, "kf-ink")
        every = max(1, round(58 * len(judged) / plot.width + 0.45))
        for i, _ in rounds[::every]:
            on = judged[i].on
            label = words.day_and_month(on) if on else f"round {i + 1}"
            board.write(plot.px(i + 0.5, 0)[0], 34 + 170 + 17, label, "kt-small", "middle")
        return 34 + 170 + 26

    said = "; ".join(f"round {i + 1}: {words.leaning(d, book)}" for i, d in rounds)
    title = f"Difference between the halves of {findings.kite.name}, round by round"
    return Drawing("bench", findings.kite.key, title, f"Stiffer half and by how much, 95 %: {said}.", draw)
