"""The strung bow in its true shape: how high it rises, where it is deepest, how its tips lean."""

from __future__ import annotations

import math

from bowbook.book.units import show
from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import Drawn, Sheet
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import BookFindings, Findings

HEADROOM = 30.0  # px over the bow, for the words at its deepest point
TANGENT = 46.0  # px of the line that shows a tip's lean


def bow_chart(findings: Findings, book: BookFindings, style: Style | None = None) -> str | None:
    """The solved curve on equal axes, or None where the bow was not solved."""
    shape = findings.shape
    if len(shape.curve) < 3 or shape.rise_m is None or shape.deepest_offset_m is None:
        return None
    said = " ".join(f"{row.cells[0]}: {row.cells[1]}." for row in bow_rows(findings, book).rows)
    title = f"The strung bow of {findings.kite.name}, true to shape"
    return canvas.both(
        f"bow-{findings.kite.key}",
        title,
        f"Left tip on the left. {said}",
        lambda sheet: _draw(findings, book, sheet),
        style,
    )


def bow_rows(findings: Findings, book: BookFindings) -> Table:
    """The strung bow's figures."""
    units, shape, bow = book.book.settings.units, findings.shape, findings.kite.bow
    figures = (
        ("Length of the bow", bow.length_m, "length"),
        ("Span, tip to tip", bow.span_m, "length"),
        ("Rise", shape.rise_m, "length"),
        ("Lean of the left tip", shape.tip_slope_left_rad, "angle"),
        ("Lean of the right tip", shape.tip_slope_right_rad, "angle"),
        ("Thrust along the span", shape.thrust_N, "force"),
        ("Strain at the rod's surface", shape.strain, "strain"),
        ("Strain the rod may be bent to", shape.strain_limit, "strain"),
    )
    rows = [Row((name, show(value, kind, units))) for name, value, kind in figures if value is not None]
    if shape.deepest_offset_m is not None:
        rows.insert(3, Row(("Deepest point", _deepest(findings, book))))
    return Table(("Strung bow", "Figure"), tuple(rows))


def _deepest(findings: Findings, book: BookFindings) -> str:
    ruler = book.book.settings.ruler_m
    offset = round((findings.shape.deepest_offset_m or 0.0) / ruler) * ruler  # finer than anyone could check
    if not offset:
        return "in the middle"
    return f"{show(abs(offset), 'length', book.book.settings.units)} {'right' if offset > 0 else 'left'} of the middle"


def _draw(findings: Findings, book: BookFindings, sheet: Sheet) -> Drawn:
    unit = scale.shown("length", book.book.settings.units)
    shape = findings.shape
    span = unit(shape.curve[-1][0] - shape.curve[0][0])
    left = 36.0
    width = sheet.width - left - (14 if sheet.narrow else 36)
    by = scale.step(span * 1.12, 5 if sheet.narrow else 8)
    half = by * math.ceil(span * 0.53 / by * 2) / 2
    per = width / (2 * half)  # px of one unit, on both axes
    high = by / 2 * math.ceil((unit(shape.rise_m or 0.0) + HEADROOM / per) / by * 2)
    across = axes.Axis(-half, half, scale.steps(-half, half, by))
    up = axes.Axis(0, high, scale.steps(0, high, by if high > by else by / 2), f"rise, {unit.unit}")
    frame = axes.Frame(width, high * per, across, up)

    def place(point: tuple[float, float]) -> tuple[float, float]:
        return frame.place(unit(point[0] - shape.curve[0][0]) - span / 2, unit(point[1]))

    inside = [*_even(findings, place, sheet), svg.line(map(place, shape.curve), "ks-ink kw-heavy k-round")]
    inside += _tips(findings, book, frame, span)
    inside += _depth(findings, book, frame, unit, sheet)
    length = findings.kite.bow.length_m
    along = f", of a bow {show(length, 'length', book.book.settings.units)} long" if length and not sheet.narrow else ""
    told = f"span {show(shape.curve[-1][0] - shape.curve[0][0], 'length', book.book.settings.units)}{along}"
    inside.append(svg.words(width / 2, frame.height + 36, told, "", "middle"))
    return [canvas.panel(frame, left, 30, inside)], 30 + frame.height + 44


def _even(findings: Findings, place: canvas.Placing, sheet: Sheet) -> list[str]:
    """The even bow of the same length and span, where it would stand apart from this one."""
    curve = findings.shape.even_curve
    if len(curve) < 3:
        return []
    even = [place(p) for p in curve]
    if _apart(even, [place(p) for p in findings.shape.curve]) < 1.5:
        return []
    x, y = even[round(len(even) * 0.8)]
    label = [] if sheet.narrow else [svg.words(x + 12, y - 8, "dashed: an even bow", "kt-small kt-soft")]
    return [svg.line(even, "ks-soft kw-fine kd-dash"), *label]


def _apart(even: list[tuple[float, float]], own: list[tuple[float, float]]) -> float:
    """How far one curve gets from the other, px. They are equally long, so near points are about as far along both."""
    near = max(3, len(own) // 12)
    farthest = 0.0
    for i in range(0, len(even), max(1, len(even) // 24)):
        beside = i * (len(own) - 1) // (len(even) - 1)
        window = own[max(0, beside - near) : beside + near + 1]
        farthest = max(farthest, min(math.dist(even[i], point) for point in window))
    return farthest


def _tips(findings: Findings, book: BookFindings, frame: axes.Frame, span: float) -> list[str]:
    """The lean of either tip: its tangent, the angle to the span and its size."""
    out = []
    for name, slope, way in (
        ("left", findings.shape.tip_slope_left_rad, 1),
        ("right", findings.shape.tip_slope_right_rad, -1),
    ):
        if slope is None:
            continue
        x, y = frame.place(-way * span / 2, 0)
        lean = abs(slope)
        end = (x + way * TANGENT * 1.35 * math.cos(lean), y - TANGENT * 1.35 * math.sin(lean))
        arc = [
            (x + way * TANGENT * 0.62 * math.cos(a), y - TANGENT * 0.62 * math.sin(a))
            for a in (lean * i / 8 for i in range(9))
        ]
        out.append(svg.line([(x, y), end], "ks-soft kw-hair kd-dash"))
        out.append(svg.line(arc, "ks-soft kw-hair"))
        text = show(lean, "angle", book.book.settings.units)
        anchor = "start" if way == 1 else "end"
        out.append(svg.words(x + way * TANGENT * 0.72, y - 5, text, "kt-small kt-halo", anchor))
        out.append(svg.words(x - way * 2, y - 9, name, "kt-small kt-soft", "end" if way == 1 else "start"))
    return out


def _depth(findings: Findings, book: BookFindings, frame: axes.Frame, unit: scale.Scale, sheet: Sheet) -> list[str]:
    """The deepest point with its rise above the span."""
    rise, offset = findings.shape.rise_m or 0.0, findings.shape.deepest_offset_m or 0.0
    x, y = frame.place(unit(offset), unit(rise))
    said = show(rise, "length", book.book.settings.units)
    drawn = [svg.line([(x, y), (x, frame.height)], "ks-accent kw-fine"), svg.dot(x, y, 4, "kf-accent")]
    if sheet.narrow:  # no room beside the line, between the tips' angles
        over = f"rises {said}, {_deepest(findings, book)}"
        return [*drawn, svg.words(x, y - 10, over, "kt-small kt-accent kt-halo", "middle")]
    return [
        *drawn,
        svg.words(x + 8, (y + frame.height) / 2 + 6, f"rise {said}", "kt-accent kt-halo"),
        svg.words(x, y - 10, f"deepest {_deepest(findings, book)}", "kt-halo", "middle"),
    ]
