"""The load each sail carries against the winds one flyer liked it in, over what that flyer's records predict."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.units import show
from bowbook.charts import points, scale, words
from bowbook.charts.plot import Plot
from bowbook.charts.points import Spot, crowded, weight
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import wind_span_said
from bowbook.findings.results import BookFindings, Findings, Predicted, Range

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT = 44.0  # px beside a plot, for its upright axis
BARS = "Dark bars: where the kite was liked. Pale bars: where this flyer's records would put it, 19 times in 20."


class _Liked(Struct, frozen=True):
    """One kite: its loading; the wind it was liked in, and what is predicted for it."""

    findings: Findings
    loading_kg_m2: float
    flown: Range | None
    predicted: Predicted | None


def loading_chart(book: BookFindings, flyer: str, root: str = "") -> Drawing | None:
    """The mass on each area of sail against best wind for one flyer, over what that flyer's records predict."""
    kites = _kites(book, flyer)
    flown = sum(k.flown is not None for k in kites)
    if not flown:
        return None
    told = f"{flown} of {len(kites)} kites have been flown. {BARS}"
    if len(book.kites) > len(kites) == flown:
        told = f"The {flown} kites that {flyer} has flown, of {len(book.kites)} in the book. {BARS}"
    title = f"Sail loading against the wind {flyer} likes best"
    return Drawing("loading", flyer, title, told, lambda board, sheet: _draw(board, kites, book, sheet, root))


def loading_rows(book: BookFindings, flyer: str) -> ChartTable:
    """Sail loading, where the flyer liked the kite, and where the flyer's records would put it."""
    units = book.book.settings.units
    rows = []
    for k in _kites(book, flyer):
        ranges = (wind_span_said(units, span) if span else UNKNOWN for span in (k.flown, k.predicted))
        record = k.findings.kite
        rows.append(ChartRow((record.name, show(k.loading_kg_m2, "areal", units), *ranges), record.key))
    return ChartTable(("Kite", "Sail loading", f"{flyer} liked it best in", "Predicted"), tuple(rows))


def _kites(book: BookFindings, flyer: str) -> list[_Liked]:
    """The kites to show: all that have a loading and a wind; of a crowd, those the flyer has flown."""
    found = []
    for f in book.kites.values():
        loading, flown, predicted = f.sail.loading_kg_m2, f.wind.flown.get(flyer), f.wind.predicted.get(flyer)
        if loading and (flown or predicted):
            found.append(_Liked(f, loading, flown, predicted))
    known = [k for k in found if k.flown]
    return known if known and crowded(len(found)) else found


def _draw(board: Board, kites: Sequence[_Liked], book: BookFindings, sheet: Sheet, root: str) -> float:
    plot = _plot(board, kites, book, sheet)
    unit, across = (scale.shown(kind, book.book.settings.units) for kind in ("wind", "areal"))
    expected = []
    for k in kites:
        if p := k.predicted:
            low, high = (p.low_interval or p).low, (p.high_interval or p).high
            expected.append((across(k.loading_kg_m2), unit(low), unit(high)))
    broad = "kw-broad" if len(kites) < 120 else "kw-heavy"
    joined = points.joined(plot.x, plot.width, expected) if crowded(len(kites)) else expected
    plot.upright(joined, f"ks-sky {broad}")
    spots = [_spot(k, book, len(kites)) for k in sorted(kites, key=lambda k: k.flown is None)]
    points.draw(plot, spots, sheet, root)
    dotted = "dotted: not flown yet, predicted · " if any(k.flown is None for k in kites) else ""
    key = f"bar: liked best · {dotted}pale: where the records would put it, 19 times in 20"
    return words.write_note(board, key, sheet, LEFT, TOP + plot.height + 46)


def _plot(board: Board, kites: Sequence[_Liked], book: BookFindings, sheet: Sheet) -> Plot:
    units, few = book.book.settings.units, 5 if sheet.narrow else 8
    across, unit = scale.shown("areal", units), scale.shown("wind", units)
    seen = [unit(v) for k in kites for r in (k.flown, k.predicted) if r for v in (r.low, r.high)]
    up = words.wind_axis(min(seen), max(seen), few, f"liked best in, {unit.unit}", units, far=not sheet.narrow)
    places = [across(k.loading_kg_m2) for k in kites]
    along = words.log_axis(min(places), max(places), few, f"mass on each area of sail, {across.unit}")
    width = sheet.width - LEFT - (14 if sheet.narrow else 44)
    return board.plot(LEFT, TOP, width, 236 if sheet.narrow else 310, along, up)


def _spot(kite: _Liked, book: BookFindings, among: int) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units, record = book.book.settings.units, kite.findings.kite
    unit, across = scale.shown("wind", units), scale.shown("areal", units)
    span = kite.flown or kite.predicted
    assert span is not None  # only such kites are drawn
    liked = f"{'liked best in' if kite.flown else 'predicted for'} {wind_span_said(units, span)}"
    says = "" if crowded(among) else f"{record.name}: {show(kite.loading_kg_m2, 'areal', units)}, {liked}"
    inks = f"ks-ink {weight(among)}" if kite.flown else "ks-soft kw-line kd-dot"
    low, high = unit(span.low), unit(span.high)
    return Spot(record.key, record.name, across(kite.loading_kg_m2), high, says, inks, bar=(low, high))
