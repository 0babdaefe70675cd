"""The strung bow in its true shape: how high it rises, where it is deepest, how its tips lean."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from bowbook.book.units import show
from bowbook.charts import scale
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.results import BookFindings, Findings
from bowbook.wording import numbers

if TYPE_CHECKING:
    from bowbook.charts.board import Board

Curve = list[tuple[float, float]]
HEADROOM = 30.0  # px over the bow, for the words at its deepest point
TANGENT = 46.0  # px of the line that shows a tip's lean


def bow_chart(findings: Findings, book: BookFindings) -> Drawing | None:
    """The solved curve on equal axes, or None where the bow was not solved."""
    shape = findings.shape
    if len(shape.curve) < 3 or shape.rise_m is None or shape.deepest_offset_m is None:
        return None
    said = " ".join(f"{row.cells[0]}: {row.cells[1]}." for row in bow_rows(findings, book).rows)
    title = f"The strung bow of {findings.kite.name}, true to shape"
    description = f"Left tip on the left. {said}"
    return Drawing(
        "bow", findings.kite.key, title, description, lambda board, sheet: _draw(board, findings, book, sheet)
    )


def bow_rows(findings: Findings, book: BookFindings) -> ChartTable:
    """The strung bow's figures."""
    units, shape, bow = book.book.settings.units, findings.shape, findings.kite.bow
    figures = (
        ("Length of the bow", bow.length_m, "length"),
        ("Span, tip to tip", bow.span_m, "length"),
        ("Rise", shape.rise_m, "length"),
        ("Lean of the left tip", shape.tip_slope_left_rad, "angle"),
        ("Lean of the right tip", shape.tip_slope_right_rad, "angle"),
        ("Strain at the rod's surface", shape.strain, "strain"),
        ("Strain the rod may be bent to", shape.strain_limit, "strain"),
    )
    rows = [ChartRow((name, numbers.exact(value, kind, units))) for name, value, kind in figures if value is not None]
    if shape.thrust_N is not None:
        thrust = numbers.surely(shape.thrust_N, shape.thrust_u_N, "force", units)
        rows.append(ChartRow(("Thrust along the span", thrust)))
    if shape.deepest_offset_m is not None:
        rows.insert(3, ChartRow(("Deepest point", _deepest(findings, book))))
    return ChartTable(("Strung bow", "Figure"), tuple(rows))


def _deepest(findings: Findings, book: BookFindings) -> str:
    ruler = book.book.settings.ruler_m
    offset = round((findings.shape.deepest_offset_m or 0.0) / ruler) * ruler  # finer than anyone could check
    if not offset:
        return "in the middle"
    return f"{numbers.ruled(abs(offset), book.book.settings.units)} {'right' if offset > 0 else 'left'} of the middle"


def _draw(board: Board, findings: Findings, book: BookFindings, sheet: Sheet) -> float:
    units, shape = book.book.settings.units, findings.shape
    unit = scale.shown("length", units)
    span_m = shape.curve[-1][0] - shape.curve[0][0]
    span, left = unit(span_m), 40.0
    width = sheet.width - left - (14 if sheet.narrow else 36)
    by = scale.step(span * 1.12, 5 if sheet.narrow else 8)
    half = by * math.ceil(span * 0.53 / by * 2) / 2
    per = width / (2 * half)  # px of one unit, on both axes
    high = by / 2 * math.ceil((unit(shape.rise_m or 0.0) + HEADROOM / per) / by * 2)
    across = Axis(-half, half, scale.steps(-half, half, by))
    up = Axis(0, high, scale.steps(0, high, by if high > by else by / 2), f"rise, {unit.unit}")
    plot = board.plot(left, 30, width, high * per, across, up)

    def seen(curve: tuple[tuple[float, float], ...]) -> Curve:
        return [plot.px(unit(x - shape.curve[0][0]) - span / 2, unit(y)) for x, y in curve]

    own = seen(shape.curve)
    if len(shape.even_curve) > 2:
        _even(board, seen(shape.even_curve), own, sheet)
    board.line(own, "ks-ink kw-heavy k-round")
    _tips(plot, findings, book, span)
    _depth(plot, findings, book, sheet)
    length = findings.kite.bow.length_m
    along = f", of a bow {numbers.ruled(length, units)} long" if length and not sheet.narrow else ""
    foot = plot.top + plot.height
    board.write(left + width / 2, foot + 36, f"span {numbers.ruled(span_m, units)}{along}", "", "middle")
    return foot + 44


def _even(board: Board, even: Curve, own: Curve, sheet: Sheet) -> None:
    """The even bow of the same length and span, where it would stand apart from this one; both in px."""
    if _apart(even, own) < 1.5:
        return
    board.line(even, "ks-soft kw-fine kd-dash")
    if not sheet.narrow:
        x, y = even[round(len(even) * 0.8)]
        board.write(x + 12, y - 8, "dashed: an even bow", "kt-small kt-soft")


def _apart(even: Curve, own: Curve) -> float:
    """How far one curve gets from the other, px. They are equally long, so near points are about as far along both."""
    near = max(3, len(own) // 12)
    farthest = 0.0
    for i in range(0, len(even), max(1, len(even) // 24)):
        beside = i * (len(own) - 1) // (len(even) - 1)
        window = own[max(0, beside - near) : beside + near + 1]
        farthest = max(farthest, min(math.dist(even[i], point) for point in window))
    return farthest


def _tips(plot: Plot, findings: Findings, book: BookFindings, span: float) -> None:
    """The lean of either tip: its tangent, the angle to the span and its size."""
    shape, write = findings.shape, plot.board.write
    for name, slope, way in (("left", shape.tip_slope_left_rad, 1), ("right", shape.tip_slope_right_rad, -1)):
        if slope is None:
            continue
        x, y = plot.px(-way * span / 2, 0)
        lean = abs(slope)
        reach, bend = 1.35 * TANGENT, 0.62 * TANGENT
        end = (x + way * reach * math.cos(lean), y - reach * math.sin(lean))
        turned = [lean * i / 8 for i in range(9)]
        plot.board.line([(x, y), end], "ks-soft kw-hair kd-dash")
        plot.board.line([(x + way * bend * math.cos(a), y - bend * math.sin(a)) for a in turned], "ks-soft kw-hair")
        ahead, behind = ("start", "end") if way == 1 else ("end", "start")
        angle = show(lean, "angle", book.book.settings.units)
        write(x + way * TANGENT * 0.72, y - 5, angle, "kt-small kt-halo", ahead)
        write(x - way * 2, y - 9, name, "kt-small kt-soft", behind)


def _depth(plot: Plot, findings: Findings, book: BookFindings, sheet: Sheet) -> None:
    """The deepest point with its rise above the span."""
    unit, write = scale.shown("length", book.book.settings.units), plot.board.write
    rise, offset = unit(findings.shape.rise_m or 0.0), unit(findings.shape.deepest_offset_m or 0.0)
    plot.upright([(offset, 0, rise)], "ks-accent kw-fine")
    plot.dots([(offset, rise)], 4, "kf-accent")
    (x, y), foot = plot.px(offset, rise), plot.px(0, 0)[1]
    said = numbers.ruled(findings.shape.rise_m or 0.0, book.book.settings.units)
    if sheet.narrow:  # no room beside the line, between the tips' angles
        write(x, y - 10, f"rises {said}, {_deepest(findings, book)}", "kt-small kt-accent kt-halo", "middle")
    else:
        write(x + 8, (y + foot) / 2 + 6, f"rise {said}", "kt-accent kt-halo")
        write(x, y - 10, f"deepest {_deepest(findings, book)}", "kt-halo", "middle")
