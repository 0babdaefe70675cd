"""The halves' difference round by round, for bows that were sagged or drooped: their readings share no scale."""

from __future__ import annotations

from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import Drawn, Sheet, dated, leaning
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings, Findings


def difference_chart(findings: Findings, book: BookFindings, style: Style | None) -> str | None:
    """The difference of the halves, round by round, with the tolerance around even."""
    rounds = [(i, r) for i, r in enumerate(findings.balance.rounds) if r.difference]
    if not rounds:
        return None
    t, tolerance = book.coverage, 100 * findings.balance.tolerance

    def draw(sheet: Sheet) -> Drawn:
        width, height = sheet.width - 76, 170.0
        spans = [(i, 100 * r.difference.value, 100 * t * r.difference.u) for i, r in rounds if r.difference]
        reach = max([tolerance, *(abs(d) + u for _, d, u in spans)]) * 1.05
        low, high, ticks = scale.around(-reach, reach, 6)
        axis = axes.Axis(low, high, ticks, "stiffer half, and by how much · bars 95 %", texts=canvas.sided(ticks))
        count = len(findings.balance.rounds)
        frame = axes.Frame(width, height, axes.Axis(0, count), axis, "y")
        upper, lower = (frame.place(0, way * tolerance)[1] for way in (1, -1))
        under = [svg.box(0, upper, width, lower - upper, "kf-ok kp-faint")]
        inside = [svg.line([frame.place(0, 0), frame.place(count, 0)], "ks-ink kw-hair")]
        for i, d, u in spans:
            x, y = frame.place(i + 0.5, d)
            inside.append(svg.bars([(x, frame.place(0, d - u)[1], frame.place(0, d + u)[1])], "ks-ink kw-line"))
            inside.append(svg.dot(x, y, 3.8, "kf-ink"))
            judged = findings.balance.rounds[i]
            label = dated(judged.on) if judged.on else f"round {i + 1}"
            inside.append(svg.words(x, height + 17, label, "kt-small", "middle"))
        return [canvas.panel(frame, 60, 34, inside, under)], 34 + height + 26

    said = "; ".join(f"round {i + 1}: {leaning(r.difference, book)}" for i, r in rounds)
    title = f"Difference between the halves of {findings.kite.name}, round by round"
    return canvas.both(f"bench-{findings.kite.key}", title, f"Stiffer half and by how much, 95 %: {said}.", draw, style)
