"""Left half against right half of every bow in the book, around the even diagonal."""

from __future__ import annotations

from bowbook.book.units import show
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.points import Spot, crossed, linked
from bowbook.charts.sheets import TOP, Drawn, Sheet, spelled
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings


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
    edges = [unit(m.value + way * t * m.u) for _, a, b in kites for m in (a, b) for way in (-1, 1)]
    few = max(edges) / max(min(edges), 1e-9) < 2.5

    def draw(sheet: Sheet) -> Drawn:
        size = sheet.width - 44 - (14 if sheet.narrow else 196)
        if few:
            low, high, ticks = scale.around(min(edges), max(edges), 6, least=0.2 * max(edges))
        else:
            low, high, ticks = scale.decades(
                max(min(edges), 0.2 * min(unit(m.value) for _, a, b in kites for m in (a, b))), max(edges)
            )
        across = frames.Axis(low, high, ticks, f"left half, {unit.unit}", log=not few)
        frame = frames.Frame(
            size, size, across, frames.Axis(low, high, ticks, f"right half, {unit.unit} · bars 95 %", log=not few)
        )
        ratio = (2 + tolerance) / (2 - tolerance)
        steps = [low * (high / low) ** (i / 24) for i in range(25)]
        band = [frame.place(v, min(v * ratio, high)) for v in steps] + [
            frame.place(v, max(v / ratio, low)) for v in reversed(steps)
        ]
        under = [
            marks.area(band, "kf-ok kp-faint"),
            marks.line([frame.place(low, low), frame.place(high, high)], "ks-ok kw-fine"),
        ]
        spots = []
        for f, left, right in kites:
            x, y = frame.place(unit(left.value), unit(right.value))
            cross = crossed(frame, unit, t, left, right)
            ink = "accent" if f.balance.verdict in ("left stiffer", "right stiffer") else "ink"
            drawn = marks.path(cross, f"ks-{ink} kw-hair kp-half") + marks.dot(x, y, 3.4, f"kf-{ink}")
            said = f"{f.kite.name}: left {spelled(book.book.settings.units, 'force', left)}, right {spelled(book.book.settings.units, 'force', right)}"
            spots.append(Spot(f.kite.key, f.kite.name, x, y, drawn, f"{said}, {f.balance.verdict or 'not judged'}"))
        words = (
            []
            if sheet.narrow
            else [
                marks.words(size + 8, 4, f"even, within {show(tolerance, 'ratio', book.book.settings.units)}", "kt-ok")
            ]
        )
        return [sheets.panel(frame, 44, TOP, [*words, *linked(spots, frame, sheet, root)], under)], TOP + size + 44

    what = f"{len(kites)} bows. The green band holds bows whose halves differ by no more than {show(tolerance, 'ratio', book.book.settings.units)}."
    return sheets.both("halves", "Left half against right half of every bow", what, draw, style)


def halves_rows(book: BookFindings) -> Table:
    """Half readings, difference and verdict of every kite that has them."""
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        left, right, d = f.bow.left.press_N, f.bow.right.press_N, f.balance.difference
        if left and right:
            apart = (
                f"{'left' if d.value > 0 else 'right'} by {show(abs(d.value), 'ratio', units, book.coverage * d.u)}"
                if d
                else UNKNOWN
            )
            rows.append(
                Row(
                    (
                        f.kite.name,
                        spelled(units, "force", left),
                        spelled(units, "force", right),
                        apart,
                        f.balance.verdict or UNKNOWN,
                    ),
                    f.kite.key,
                )
            )
    return Table(("Kite", "Left half", "Right half", "Difference, 95 %", "Verdict"), tuple(rows))
