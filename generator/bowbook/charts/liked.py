"""What a kite is against the winds one flyer liked it in: its stiffness, or the load its sail carries."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.charts import points, scale, words
from bowbook.charts.plot import Plot
from bowbook.charts.points import Spot, crowded, weight
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.charts.words import winds
from bowbook.findings.results import BookFindings, Findings, Measured, Predicted, Range

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT = 44.0  # px beside a plot, for its upright axis
BARS = "Dark bars: where the kite was liked. Pale bars: where this flyer's records would put it, 19 times in 20."


class _Asked(Struct, frozen=True):
    """What a kite's liked winds are held against: what it is called, its kind, and how to have it of a kite."""

    column: str
    axis: str
    kind: str
    of: Callable[[Findings], Measured | None]

    def said(self, figure: Measured, units: Units) -> str:
        """The figure as text, with ± where it was measured."""
        return show(figure.value, self.kind, units, figure.u or None)


STIFFNESS = _Asked("Bow and skin", "bow and skin together", "rigidity", lambda f: f.total)
LOADING = _Asked(
    "Sail loading",
    "mass on each area of sail",
    "areal",
    lambda f: Measured(f.sail.loading_kg_m2, 0.0) if f.sail.loading_kg_m2 else None,
)


class _Liked(Struct, frozen=True):
    """One kite: where it stands across, as found; the wind it was liked in, and what is predicted for it."""

    findings: Findings
    figure: Measured
    flown: Range | None
    predicted: Predicted | None


def stiffness_chart(book: BookFindings, flyer: str, root: str = "") -> Drawing | None:
    """Stiffness of bow and skin against best wind for one flyer, over what that flyer's records predict."""
    title = f"Stiffness against the wind {flyer} likes best"
    return _chart("stiffness", title, STIFFNESS, flyer, book, root)


def stiffness_rows(book: BookFindings, flyer: str) -> Table:
    """Stiffness, where the flyer liked the kite, and where the flyer's records would put it."""
    return _rows(book, flyer, STIFFNESS)


def loading_chart(book: BookFindings, flyer: str, root: str = "") -> Drawing | None:
    """The mass on each area of sail against best wind for one flyer, over what that flyer's records predict."""
    title = f"Sail loading against the wind {flyer} likes best"
    return _chart("loading", title, LOADING, flyer, book, root)


def loading_rows(book: BookFindings, flyer: str) -> Table:
    """Sail loading, where the flyer liked the kite, and where the flyer's records would put it."""
    return _rows(book, flyer, LOADING)


def _kites(book: BookFindings, flyer: str, asked: _Asked) -> list[_Liked]:
    """The kites to show: all that have the figure and a wind; of a crowd, those the flyer has flown."""
    found = []
    for f in book.kites.values():
        figure, flown, predicted = asked.of(f), f.wind.flown.get(flyer), f.wind.predicted.get(flyer)
        if figure and figure.value > 0 and (flown or predicted):
            found.append(_Liked(f, figure, flown, predicted))
    known = [k for k in found if k.flown]
    return known if known and crowded(len(found)) else found


def _rows(book: BookFindings, flyer: str, asked: _Asked) -> Table:
    units = book.book.settings.units
    rows = []
    for k in _kites(book, flyer, asked):
        ranges = (winds(units, span) if span else UNKNOWN for span in (k.flown, k.predicted))
        rows.append(Row((k.findings.kite.name, asked.said(k.figure, units), *ranges), k.findings.kite.key))
    return Table(("Kite", asked.column, f"{flyer} liked it best in", "Predicted"), tuple(rows))


def _chart(name: str, title: str, asked: _Asked, flyer: str, book: BookFindings, root: str) -> Drawing | None:
    kites = _kites(book, flyer, asked)
    flown = sum(k.flown is not None for k in kites)
    if not flown:
        return None
    told = f"{flown} of {len(kites)} kites have been flown. {BARS}"
    if len(book.kites) > len(kites) == flown:
        told = f"The {flown} kites that {flyer} has flown, of {len(book.kites)} in the book. {BARS}"
    return Drawing(name, flyer, title, told, lambda board, sheet: _draw(board, kites, asked, book, sheet, root))


def _draw(board: Board, kites: Sequence[_Liked], asked: _Asked, book: BookFindings, sheet: Sheet, root: str) -> float:
    plot = _plot(board, kites, asked, book, sheet)
    unit, across = (scale.shown(kind, book.book.settings.units) for kind in ("wind", asked.kind))
    expected = []
    for k in kites:
        if p := k.predicted:
            low, high = (p.low_interval or p).low, (p.high_interval or p).high
            expected.append((across(k.figure.value), unit(low), unit(high)))
    many = crowded(len(kites))
    broad = "kw-broad" if len(kites) < 120 else "kw-heavy"
    plot.upright(points.joined(plot.x, plot.width, expected) if many else expected, f"ks-sky {broad}")
    spots = [_spot(k, asked, book, len(kites)) for k in sorted(kites, key=lambda k: k.flown is None)]
    points.draw(plot, spots, sheet, root)
    dotted = "dotted: not flown yet, predicted · " if any(k.flown is None for k in kites) else ""
    key = f"bar: liked best · {dotted}pale: where the records would put it, 19 times in 20"
    return words.note(board, key, sheet, LEFT, TOP + plot.height + 46)


def _plot(board: Board, kites: Sequence[_Liked], asked: _Asked, book: BookFindings, sheet: Sheet) -> Plot:
    units, few = book.book.settings.units, 5 if sheet.narrow else 8
    across, unit = scale.shown(asked.kind, units), scale.shown("wind", units)
    seen = [unit(v) for k in kites for r in (k.flown, k.predicted) if r for v in (r.low, r.high)]
    up = words.wind_axis(min(seen), max(seen), few, f"liked best in, {unit.unit}", units, far=not sheet.narrow)
    places = [across(k.figure.value) for k in kites]
    along = words.log_axis(min(places), max(places), few, f"{asked.axis}, {across.unit}")
    width = sheet.width - LEFT - (14 if sheet.narrow else 44)
    return board.plot(LEFT, TOP, width, 236 if sheet.narrow else 310, along, up)


def _spot(kite: _Liked, asked: _Asked, book: BookFindings, among: int) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units, record = book.book.settings.units, kite.findings.kite
    unit, across = scale.shown("wind", units), scale.shown(asked.kind, units)
    span = kite.flown or kite.predicted
    assert span is not None  # only such kites are drawn
    low, high = unit(span.low), unit(span.high)
    says = ""
    if not crowded(among):
        liked = "liked best in" if kite.flown else "predicted for"
        says = f"{record.name}: {asked.said(kite.figure, units)}, {liked} {winds(units, span)}"
    inks = f"ks-ink {weight(among)}" if kite.flown else "ks-soft kw-line kd-dot"
    doubt = points.reach(kite.figure, book.coverage, across) if kite.figure.u else None
    at, middle = (across(kite.figure.value), high), math.sqrt(low * high)
    return Spot(record.key, record.name, *at, says, inks, bar=(low, high), across=doubt, level=middle)
