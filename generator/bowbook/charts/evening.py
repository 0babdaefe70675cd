"""Balance of every bow before shaving and after: did the knife bring the halves together?"""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import TOP, Drawn, Sheet, judged, leaning, sided, within
from bowbook.charts.labels import stacked
from bowbook.charts.points import Spot, crossed, crowded, linked, radius
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import BookFindings, Findings, Measured


def balance_chart(book: BookFindings, root: str = "", style: Style | None = None) -> str | None:
    """Difference of the halves before any shaving and after the last: one line a kite, tolerance around even."""
    kites = _shaved(book)
    if not kites:
        return None
    t, tolerance = book.coverage, 100 * book.book.settings.tolerance
    ends = [100 * (m.value + way * t * m.u) for _, *both in kites for m in both for way in (-1, 1)]
    what = f"{len(kites)} bows measured more than once. The green band is the tolerance, {within(book)}."
    title = "Balance of every bow, first round and last"
    if crowded(len(kites)):
        what += " Each point is a bow: across, its first round; up, its last."
        return canvas.both("balance", title, what, lambda sheet: _field(kites, ends, book, sheet, root), style)

    def draw(sheet: Sheet) -> Drawn:
        left, right, height = 60.0, 104.0 if sheet.narrow else 200.0, 250.0 if sheet.narrow else 320.0
        low, high, ticks = scale.around(min(-1.4 * tolerance, *ends), max(1.4 * tolerance, *ends), 7)
        axis = axes.Axis(low, high, ticks, "stiffer half, and by how much · bars 95 %", texts=sided(ticks))
        frame = axes.Frame(sheet.width - left - right, height, axes.Axis(0, 1), axis, "y")
        upper, lower = (frame.place(0, way * tolerance)[1] for way in (1, -1))
        under = [svg.box(0, upper, frame.width, lower - upper, "kf-ok kp-faint")]
        inside = [svg.line([frame.place(0, 0), frame.place(1, 0)], "ks-ok kw-fine")]
        inside += _slopes(kites, t, frame, sheet, root)
        for x, anchor, text in ((0.06, "middle", "first round"), (0.94, "middle", "last round")):
            inside.append(svg.words(x * frame.width, height + 18, text, "", anchor))
        return [canvas.panel(frame, left, TOP, inside, under)], TOP + height + 28

    return canvas.both("balance", title, what, draw, style)


def balance_rows(book: BookFindings) -> Table:
    """First and last difference of every bow with more than one round."""
    rows = [
        Row((f.kite.name, str(len(f.balance.rounds)), leaning(first, book), leaning(last, book), judged(f)), f.kite.key)
        for f, first, last in _shaved(book)
    ]
    return Table(("Kite", "Rounds", "First round, 95 %", "Last round, 95 %", "Verdict now"), tuple(rows))


def _shaved(book: BookFindings) -> list[tuple[Findings, Measured, Measured]]:
    """Kites with a difference in more than one round: the first and the last of them."""
    out = []
    for f in book.kites.values():
        judged = [r.difference for r in f.balance.rounds if r.difference]
        if len(judged) > 1:
            out.append((f, judged[0], judged[-1]))
    return out


def _slopes(
    kites: Sequence[tuple[Findings, Measured, Measured]], t: float, frame: axes.Frame, sheet: Sheet, root: str
) -> list[str]:
    """One line a kite from its first difference to its last, names at the end where there is room."""
    ends = [frame.place(0.94, 100 * last.value)[1] for *_, last in kites]
    named = len(kites) * (sheet.small + 3) <= frame.height + 8
    heights = stacked(ends, sheet.small + 3, 0, frame.height) if named else ends
    out = []
    for (f, first, last), label in zip(kites, heights, strict=True):
        ink = "accent" if f.balance.verdict in ("left stiffer", "right stiffer") else "ink"
        (x0, y0), (x1, y1) = frame.place(0.06, 100 * first.value), frame.place(0.94, 100 * last.value)
        whiskers = [
            (x, frame.place(0, 100 * (m.value - t * m.u))[1], frame.place(0, 100 * (m.value + t * m.u))[1])
            for x, m in ((x0, first), (x1, last))
        ]
        drawn = svg.line([(x0, y0), (x1, y1)], f"ks-{ink} kw-fine kp-half") + svg.bars(
            whiskers, f"ks-{ink} kw-hair kp-half"
        )
        drawn += svg.dot(x0, y0, 2.6, f"kf-paper ks-{ink} kw-fine") + svg.dot(x1, y1, 3, f"kf-{ink}")
        if named:
            drawn += svg.line([(x1 + 5, y1), (frame.width + 4, label)], "ks-rule kw-hair")
            drawn += svg.words(
                frame.width + 7, label + 4, svg.shortened(f.kite.name, 14 if sheet.narrow else 28), "kt-name kt-small"
            )
        says = f"{f.kite.name}: {judged(f)}"
        out.append(svg.link(canvas.page_of(f.kite.key, root), drawn, says))
    return out


def _field(
    kites: Sequence[tuple[Findings, Measured, Measured]],
    ends: Sequence[float],
    book: BookFindings,
    sheet: Sheet,
    root: str,
) -> Drawn:
    """A crowd's first differences against its last: lines of hundreds of kites would hide each other."""
    left, tolerance = 76.0, 100 * book.book.settings.tolerance
    low, high, ticks = scale.around(min(-1.4 * tolerance, *ends), max(1.4 * tolerance, *ends), 4 if sheet.narrow else 7)
    apart = 2 * (ticks[1] - ticks[0]) if sheet.narrow else ticks[1] - ticks[0]
    few = tuple(v for v in ticks if not round(v / apart, 6) % 1)
    first = axes.Axis(low, high, few, "stiffer half in the first round", texts=sided(few))
    last = axes.Axis(low, high, ticks, "in the last round · bars 95 %", texts=sided(ticks))
    size = sheet.width - left - (14 if sheet.narrow else 130)
    frame = axes.Frame(size, 0.62 * size, first, last)
    upper, lower = (frame.place(low, way * tolerance)[1] for way in (1, -1))
    under = [svg.box(0, upper, frame.width, lower - upper, "kf-ok kp-faint")]
    under.append(svg.line([frame.place(low, low), frame.place(high, high)], "ks-soft kw-hair kd-dash"))
    percent = scale.Scale(100.0, "%")
    spots = []
    for f, *both in kites:
        x, y = frame.place(*(percent(m.value) for m in both))
        ink = "accent" if f.balance.verdict in ("left stiffer", "right stiffer") else "ink"
        bars = f"ks-{ink} kw-hair", crossed(frame, percent, book.coverage, both[0], both[1], len(kites))
        spots.append(Spot(f.kite.key, f.kite.name, x, y, "", (f"kf-{ink}", ""), bars, dot=radius(len(kites))))
    note, more = canvas.footed("dashed: as the first round found it", sheet, left, TOP + frame.height + 46)
    inside = linked(spots, frame, sheet, root)
    return [canvas.panel(frame, left, TOP, inside, under), *note], TOP + frame.height + 50 + more
