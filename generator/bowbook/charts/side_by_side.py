"""Two to four kites on one drawing: their sails, their strung bows, their winds."""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.book.units import show
from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import TOP, Drawn, Sheet, spelled, winds
from bowbook.charts.labels import stacked
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings

PENS = ("ink", "accent", "ok", "soft")
DASHES = ("", " kd-long", " kd-dash", " kd-dot")
"""Each kite has its own ink and its own dash, so that no one has to tell them by colour."""


def pen(number: int) -> str:
    """The classes of the kite with this number, 0 to 3."""
    return f"ks-{PENS[number]} kw-line{DASHES[number]}"


def sails_beside(kites: Sequence[Findings], book: BookFindings, style: Style | None = None) -> str | None:
    """The outlines on one another, noses together, all to one scale; None unless two have one."""
    drawn = [(i, f) for i, f in enumerate(kites) if len(f.kite.sail.outline) >= 2]
    if len(drawn) < 2:
        return None
    unit = scale.shown("length", book.book.settings.units)
    half = max(unit(x) for _, f in drawn for x, _ in f.kite.sail.outline)
    tall = max(unit(y) for _, f in drawn for _, y in f.kite.sail.outline)

    def draw(sheet: Sheet) -> Drawn:
        width = sheet.width - 40 - (14 if sheet.narrow else 200)
        low, high, ticks = scale.around(-half, half, 4 if sheet.narrow else 6)
        per = width / (high - low)
        _, deep, down = scale.around(0, tall, 5)
        depth = axes.Axis(
            -deep, 0, tuple(-v for v in reversed(down)), f"below the nose, {unit.unit}", texts=_texts(down)
        )
        frame = axes.Frame(width, deep * per, axes.Axis(low, high, ticks), depth)
        inside, ends = [], []
        for i, f in drawn:
            right = [(unit(x), -unit(y)) for x, y in f.kite.sail.outline]
            around = [frame.place(*p) for p in [*right, *((-x, y) for x, y in reversed(right))]]
            inside.append(svg.area(around, pen(i)))
            ends.append((i, f, *max((frame.place(*p) for p in right), key=lambda p: p[0])))
        names, more = _named(ends, frame, sheet)
        return [canvas.panel(frame, 40, TOP, inside + names)], TOP + frame.height + 26 + more

    said = " ".join(
        f"{row.cells[0]}: {row.cells[1]} wide, {row.cells[2]} tall." for row in sails_rows(kites, book).rows
    )
    return canvas.both(_prefix("sails", kites), "The sails to one scale, noses together", said, draw, style)


def sails_rows(kites: Sequence[Findings], book: BookFindings) -> Table:
    """Size, area, loading of the sails."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        s = f.sail
        figures = ((s.width_m, "length"), (s.height_m, "length"), (s.area_m2, "area"), (s.loading_kg_m2, "areal"))
        cells = (show(v, kind, units) if v is not None else UNKNOWN for v, kind in figures)
        rows.append(Row((f.kite.name, *cells), f.kite.key))
    return Table(("Kite", "Wide", "Tall", "Area", "Sail loading"), tuple(rows))


def bows_beside(kites: Sequence[Findings], book: BookFindings, style: Style | None = None) -> str | None:
    """The strung bows on one another, middles of their spans together; None unless two were solved."""
    drawn = [(i, f) for i, f in enumerate(kites) if len(f.shape.curve) >= 3]
    if len(drawn) < 2:
        return None
    unit = scale.shown("length", book.book.settings.units)
    curves = [(i, f, _centred(f, unit)) for i, f in drawn]
    half = max(abs(x) for *_, curve in curves for x, _ in curve)
    rise = max(y for *_, curve in curves for _, y in curve)

    def draw(sheet: Sheet) -> Drawn:
        width = sheet.width - 40 - (14 if sheet.narrow else 180)
        low, high, ticks = scale.around(-1.05 * half, 1.05 * half, 5 if sheet.narrow else 8)
        per = width / (high - low)
        _, top, up = scale.around(0, rise + 24 / per, 3)
        axis = axes.Axis(0, top, up, f"rise, {unit.unit}")
        frame = axes.Frame(width, top * per, axes.Axis(low, high, ticks), axis)
        inside = [svg.line((frame.place(*p) for p in curve), pen(i)) for i, _, curve in curves]
        ends = [(i, f, *frame.place(*curve[round(len(curve) * 0.82)])) for i, f, curve in curves]
        names, more = _named(ends, frame, sheet)
        return [canvas.panel(frame, 40, TOP, inside + names)], TOP + frame.height + 26 + more

    said = " ".join(
        f"{row.cells[0]}: rises {row.cells[2]} on a span of {row.cells[1]}." for row in bows_rows(kites, book).rows
    )
    return canvas.both(_prefix("bows", kites), "The strung bows to one scale", said, draw, style)


def bows_rows(kites: Sequence[Findings], book: BookFindings) -> Table:
    """Span, rise and stiffness of the bows, and how even they are."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        lengths = (show(v, "length", units) if v is not None else UNKNOWN for v in (f.kite.bow.span_m, f.shape.rise_m))
        halves = (spelled(units, "rigidity", half.EI_Nm2) for half in (f.bow.left, f.bow.right))
        together = spelled(units, "rigidity", f.total)
        rows.append(Row((f.kite.name, *lengths, *halves, together, f.balance.verdict or UNKNOWN), f.kite.key))
    return Table(("Kite", "Span", "Rise", "Left half", "Right half", "Bow and skin", "Even?"), tuple(rows))


def winds_beside(kites: Sequence[Findings], book: BookFindings, style: Style | None = None) -> str | None:
    """The wind each likes as a bar, dashed where it is only predicted, with the wind it flexes in; None without one."""
    if not any(f.wind.range for f in kites):
        return None
    unit, t = scale.shown("wind", book.book.settings.units), book.coverage
    ends = [unit(v) for f in kites if f.wind.range for v in (f.wind.range.low, f.wind.range.high)]
    ends += [unit(f.wind.flex_m_s.value) for f in kites if f.wind.flex_m_s]

    def draw(sheet: Sheet) -> Drawn:
        low, high, ticks = scale.around(0, max(ends) * 1.05, 6 if sheet.narrow else 10)
        far = () if sheet.narrow else canvas.far_ticks("wind", book.book.settings.units, low, high)
        far_title = "" if sheet.narrow else scale.beside("wind", book.book.settings.units).unit
        axis = axes.Axis(low, high, ticks, f"wind, {unit.unit}", far=far, far_title=far_title)
        apart = 50.0
        height = apart * len(kites)
        frame = axes.Frame(sheet.width - 30, height, axis, axes.Axis(0, len(kites)), "x")
        inside = []
        for i, f in enumerate(kites):
            y = (i + 0.62) * apart
            name = svg.shortened(f.kite.name, 24)
            inside.append(svg.words(4, y - 14, name, "kt-name kt-halo"))
            if f.wind.range:
                a, b = (frame.place(unit(v), 0)[0] for v in (f.wind.range.low, f.wind.range.high))
                dash = "" if f.wind.basis == "flown" else " kd-dash"
                inside.append(svg.line([(a, y), (b, y)], f"ks-ink kw-heavy{dash}"))
                said = winds(book.book.settings.units, f.wind.range) + (
                    "" if f.wind.basis == "flown" else ", predicted"
                )
                inside.append(svg.words(14 + svg.wide(name, sheet.text), y - 14, said, "kt-soft kt-halo"))
            if flex := f.wind.flex_m_s:
                x, *sides = (frame.place(unit(flex.value + way * t * flex.u), 0)[0] for way in (0, -1, 1))
                inside.append(svg.line([(s, y) for s in sides], "ks-accent kw-fine"))
                inside.append(svg.dot(x, y, 4, "kf-paper ks-accent kw-line", f"{f.kite.name} flexes here"))
        note, more = canvas.footed(
            "ring: the wind it flexes in, with its 95 % · dashed: predicted", sheet, 15, 30 + height + 46
        )
        return [canvas.panel(frame, 15, 34, inside), *note], 30 + height + 50 + more

    said = " ".join(f"{row.cells[0]}: {row.cells[1]}." for row in winds_rows(kites, book).rows)
    return canvas.both(_prefix("winds", kites), "The winds they like", said, draw, style)


def winds_rows(kites: Sequence[Findings], book: BookFindings) -> Table:
    """Liked winds, how they are known, flex wind and least wind."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        w = f.wind
        liked = winds(units, w.range) if w.range else UNKNOWN
        least = show(w.least_m_s, "wind", units) if w.least_m_s is not None else UNKNOWN
        rows.append(
            Row((f.kite.name, liked, w.basis or UNKNOWN, spelled(units, "wind", w.flex_m_s), least), f.kite.key)
        )
    return Table(("Kite", "Likes", "Known by", "Flexes at", "Carries its weight from"), tuple(rows))


def _prefix(what: str, kites: Sequence[Findings]) -> str:
    return "-".join([what, *(f.kite.key for f in kites)])


def _texts(down: Sequence[float]) -> tuple[str, ...]:
    return tuple(scale.text(v) for v in reversed(down))


def _centred(findings: Findings, unit: scale.Scale) -> list[tuple[float, float]]:
    curve = findings.shape.curve
    middle = (curve[0][0] + curve[-1][0]) / 2
    return [(unit(x - middle), unit(y)) for x, y in curve]


def _named(
    ends: Sequence[tuple[int, Findings, float, float]], frame: axes.Frame, sheet: Sheet
) -> tuple[list[str], float]:
    """Each kite's name, and the height this takes under the plot.

    Wide: beside the plot, with a hairline to where the kite's line ends. Narrow: under it, after a piece of the line.
    """
    out = []
    if sheet.narrow:
        for row, (i, f, _, _) in enumerate(ends):
            y = frame.height + 40 + 19 * row
            out.append(svg.line([(0, y - 4), (34, y - 4)], pen(i)))
            out.append(svg.words(42, y, svg.shortened(f.kite.name, 34), "kt-name"))
        return out, 19.0 * len(ends) + 14
    heights = stacked([y for *_, y in ends], 20, 8, frame.height - 4)
    for (i, f, x, y), label in zip(ends, heights, strict=True):
        out.append(svg.line([(x + 3, y), (frame.width + 6, label)], "ks-soft kw-hair kp-faint"))
        out.append(svg.line([(frame.width + 6, label), (frame.width + 32, label)], pen(i)))
        out.append(svg.words(frame.width + 38, label + 4, svg.shortened(f.kite.name, 20), "kt-name"))
    return out, 0.0
