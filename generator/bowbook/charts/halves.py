"""Left half against right half of every bow in the book, around the even diagonal."""

from __future__ import annotations

from msgspec.structs import replace

from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import TOP, Drawn, Sheet, judged, leaning, spelled, within
from bowbook.charts.points import Spot, crossed, crowded, linked, radius
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import BookFindings, Findings, Measured


def halves_chart(book: BookFindings, root: str = "", style: Style | None = None) -> str | None:
    """Left against right half reading of every bow, with the even diagonal and the tolerance around it."""
    kites = [
        (f, left, right)
        for f in book.kites.values()
        if (left := f.bow.left.press_N) and (right := f.bow.right.press_N) and left.value > 0 and right.value > 0
    ]
    if not kites:
        return None
    unit, t = scale.shown("force", book.book.settings.units), book.coverage
    tolerance = book.book.settings.tolerance
    least = 0.4 * min(unit(m.value) for _, a, b in kites for m in (a, b))
    edges = [max(unit(m.value + way * t * m.u), least) for _, a, b in kites for m in (a, b) for way in (-1, 1)]

    def draw(sheet: Sheet) -> Drawn:
        size = sheet.width - 44 - (14 if sheet.narrow else 196)
        along = canvas.positive_axis(min(edges), max(edges), 5 if sheet.narrow else 7, f"left half, {unit.unit}")
        frame = axes.Frame(size, size, along, replace(along, title=f"right half, {unit.unit} · bars 95 %"))
        low, high, ratio = along.low, along.high, (2 + tolerance) / (2 - tolerance)
        corners = (
            (low, low),
            (low, low * ratio),
            (high / ratio, high),
            (high, high),
            (high, high / ratio),
            (low * ratio, low),
        )
        under = [svg.area((frame.place(*c) for c in corners), "kf-ok kp-faint")]
        under.append(svg.line([frame.place(low, low), frame.place(high, high)], "ks-ok kw-fine"))
        spots = [_spot(f, left, right, book, frame, len(kites)) for f, left, right in kites]
        words = [] if sheet.narrow else [svg.words(size + 8, 4, f"even, within {within(book)}", "kt-ok")]
        return [canvas.panel(frame, 44, TOP, [*words, *linked(spots, frame, sheet, root)], under)], TOP + size + 44

    what = f"{len(kites)} bows. The green band holds bows whose halves differ by no more than {within(book)}."
    return canvas.both("halves", "Left half against right half of every bow", what, draw, style)


def _spot(
    findings: Findings, left: Measured, right: Measured, book: BookFindings, frame: axes.Frame, among: int
) -> Spot:
    """One bow: its two readings with their bars, in the accent where a half is stiffer."""
    units, unit = book.book.settings.units, scale.shown("force", book.book.settings.units)
    x, y = frame.place(unit(left.value), unit(right.value))
    ink = "accent" if findings.balance.verdict in ("left stiffer", "right stiffer") else "ink"
    bars = crossed(frame, unit, book.coverage, left, right, among)
    kite, said = findings.kite, ""
    if not crowded(among):
        halves = f"left {spelled(units, 'force', left)}, right {spelled(units, 'force', right)}"
        said = f"{kite.name}: {halves}, {judged(findings)}"
    return Spot(
        kite.key, kite.name, x, y, said, (f"kf-{ink}", ""), (f"ks-{ink} kw-hair kp-half", bars), dot=radius(among)
    )


def halves_rows(book: BookFindings) -> Table:
    """Half readings, difference and verdict of every kite that has them."""
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        left, right = f.bow.left.press_N, f.bow.right.press_N
        if left and right:
            halves = (spelled(units, "force", left), spelled(units, "force", right))
            rows.append(Row((f.kite.name, *halves, leaning(f.balance.difference, book), judged(f)), f.kite.key))
    return Table(("Kite", "Left half", "Right half", "Difference, 95 %", "Verdict"), tuple(rows))
