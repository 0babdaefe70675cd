"""Two to four kites on one drawing: their sails, their strung bows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bowbook.charts import scale
from bowbook.charts.labels import shortened, stacked
from bowbook.charts.names import pair_name
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import spelled
from bowbook.findings.results import BookFindings, Findings
from bowbook.wording import numbers

if TYPE_CHECKING:
    from bowbook.charts.board import Board

PENS = ("ink", "accent", "ok", "soft")
DASHES = ("", " kd-long", " kd-dash", " kd-dot")
"""Each kite has its own ink and its own dash, so that no one has to tell them by colour."""


def pen(number: int) -> str:
    """The classes of the kite with this number, 0 to 3."""
    return f"ks-{PENS[number]} kw-line{DASHES[number]}"


def sails_beside(kites: Sequence[Findings], book: BookFindings) -> Drawing | None:
    """The outlines on one another, noses together, all to one scale; None unless two have one."""
    drawn = [(i, f) for i, f in enumerate(kites) if len(f.kite.sail.outline) >= 2]
    if len(drawn) < 2:
        return None
    unit = scale.shown("length", book.book.settings.units)
    half = max(unit(x) for _, f in drawn for x, _ in f.kite.sail.outline)
    tall = max(unit(y) for _, f in drawn for _, y in f.kite.sail.outline)

    def draw(board: Board, sheet: Sheet) -> float:
        width = sheet.width - 44 - (14 if sheet.narrow else 200)
        low, high, ticks = scale.around(-half, half, 4 if sheet.narrow else 6)
        per = width / (high - low)
        _, deep, down = scale.around(0, tall, 5)
        texts = tuple(scale.text(v) for v in reversed(down))
        depth = Axis(-deep, 0, tuple(-v for v in reversed(down)), f"below the nose, {unit.unit}", texts=texts)
        plot = board.plot(44, TOP, width, deep * per, Axis(low, high, ticks), depth)
        ends = []
        for i, f in drawn:
            right = [(unit(x), -unit(y)) for x, y in f.kite.sail.outline]
            around = [*right, *((-x, y) for x, y in reversed(right))]
            plot.line([*around, around[0]], pen(i))
            ends.append((i, f, *plot.px(*max(right))))
        return TOP + plot.height + 26 + _named(plot, ends, sheet)

    said = " ".join(
        f"{row.cells[0]}: {row.cells[1]} wide, {row.cells[2]} tall." for row in sails_rows(kites, book).rows
    )
    return Drawing("sails", pair_name_of(kites), "The sails to one scale, noses together", said, draw)


def sails_rows(kites: Sequence[Findings], book: BookFindings) -> ChartTable:
    """Size, area, loading of the sails."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        s = f.sail
        figures = ((s.width_m, "length"), (s.height_m, "length"), (s.area_m2, "area"), (s.loading_kg_m2, "areal"))
        cells = (numbers.exact(v, kind, units) if v is not None else UNKNOWN for v, kind in figures)
        rows.append(ChartRow((f.kite.name, *cells), f.kite.key))
    return ChartTable(("Kite", "Wide", "Tall", "Area", "Sail loading"), tuple(rows))


def bows_beside(kites: Sequence[Findings], book: BookFindings) -> Drawing | None:
    """The strung bows on one another, middles of their spans together; None unless two were solved."""
    drawn = [(i, f) for i, f in enumerate(kites) if len(f.shape.curve) >= 3]
    if len(drawn) < 2:
        return None
    unit = scale.shown("length", book.book.settings.units)
    curves = [(i, f, _centred(f, unit)) for i, f in drawn]
    half = max(abs(x) for *_, curve in curves for x, _ in curve)
    rise = max(y for *_, curve in curves for _, y in curve)

    def draw(board: Board, sheet: Sheet) -> float:
        width = sheet.width - 44 - (14 if sheet.narrow else 200)
        low, high, ticks = scale.around(-1.05 * half, 1.05 * half, 5 if sheet.narrow else 8)
        per = width / (high - low)
        _, top, up = scale.around(0, rise + 24 / per, 3)
        plot = board.plot(44, TOP, width, top * per, Axis(low, high, ticks), Axis(0, top, up, f"rise, {unit.unit}"))
        for i, _, curve in curves:
            plot.line(curve, pen(i))
        ends = [(i, f, *plot.px(*curve[round(len(curve) * 0.82)])) for i, f, curve in curves]
        return TOP + plot.height + 26 + _named(plot, ends, sheet)

    said = " ".join(
        f"{row.cells[0]}: rises {row.cells[2]} on a span of {row.cells[1]}." for row in bows_rows(kites, book).rows
    )
    return Drawing("bows", pair_name_of(kites), "The strung bows to one scale", said, draw)


def bows_rows(kites: Sequence[Findings], book: BookFindings) -> ChartTable:
    """Span, rise and stiffness of the bows, and how even they are."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        lengths = (
            numbers.exact(v, "length", units) if v is not None else UNKNOWN for v in (f.kite.bow.span_m, f.shape.rise_m)
        )
        halves = (spelled(units, "rigidity", half.EI_Nm2) for half in (f.bow.left, f.bow.right))
        together = spelled(units, "rigidity", f.total)
        rows.append(ChartRow((f.kite.name, *lengths, *halves, together, f.balance.verdict or UNKNOWN), f.kite.key))
    return ChartTable(("Kite", "Span", "Rise", "Left half", "Right half", "Bow and skin", "Even?"), tuple(rows))


def pair_name_of(kites: Sequence[Findings]) -> str:
    """What a chart of these kites is about, by their keys."""
    return pair_name([f.kite.key for f in kites])


def _centred(findings: Findings, unit: scale.Scale) -> list[tuple[float, float]]:
    curve = findings.shape.curve
    middle = (curve[0][0] + curve[-1][0]) / 2
    return [(unit(x - middle), unit(y)) for x, y in curve]


def _named(plot: Plot, ends: Sequence[tuple[int, Findings, float, float]], sheet: Sheet) -> float:
    """Write each kite's name; gives the height this takes under the plot.

    Wide: beside the plot, with a hairline to where the kite's line ends. Narrow: under it, after a piece of the line.
    """
    board, left, right, foot = plot.board, plot.left, plot.left + plot.width, plot.top + plot.height
    if sheet.narrow:
        for row, (i, f, _, _) in enumerate(ends):
            y = foot + 40 + 19 * row
            board.line([(left, y - 4), (left + 34, y - 4)], pen(i))
            board.write(left + 42, y, shortened(f.kite.name, 34), "kt-name")
        return 19.0 * len(ends) + 14
    heights = stacked([y for *_, y in ends], 20, plot.top + 8, foot - 4)
    for (i, f, x, y), height in zip(ends, heights, strict=True):
        board.line([(x + 3, y), (right + 6, height)], "ks-soft kw-hair kp-faint")
        board.line([(right + 6, height), (right + 32, height)], pen(i))
        board.write(right + 38, height + 4, shortened(f.kite.name, 20), "kt-name")
    return 0.0
