"""What a kite is against the winds one flyer liked it in: its stiffness, or the load its sail carries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bowbook.book.units import show
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.frames import Frame
from bowbook.charts.points import Spot, linked, weight
from bowbook.charts.sheets import TOP, Drawn, Sheet, spelled, winds
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, Predicted, Range

LEFT = 44.0  # px beside a plot, for its upright axis
_KEY = "bar: liked best · dotted: not flown yet, predicted · pale: where the records would put it, 19 times in 20"
BARS = "Dark bars: where the kite was liked. Pale bars: where this flyer's records would put it, 19 times in 20."


@dataclass(frozen=True, slots=True)
class _Liked:
    """One kite: where it stands across, in the unit shown; the wind it was liked in, and what is predicted for it."""

    findings: Findings
    across: float
    u: float
    flown: Range | None
    predicted: Predicted | None
    says: str


def stiffness_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """Stiffness of bow and skin against best wind for one flyer, over what that flyer's records predict."""
    units, unit = book.book.settings.units, scale.shown("rigidity", book.book.settings.units)
    kites = [
        _liked(f, flyer, unit(f.total.value), unit(f.total.u), spelled(units, "rigidity", f.total))
        for f in book.kites.values()
        if f.total and f.total.value > 0
    ]
    title = f"Stiffness against the wind {flyer} likes best"
    return _chart(f"stiffness-{flyer}", title, kites, f"bow and skin together, {unit.unit}", book, root, style)


def stiffness_rows(book: BookFindings, flyer: str) -> Table:
    """Stiffness, where the flyer liked the kite, and where the flyer's records would put it."""
    units = book.book.settings.units
    return _rows(book, flyer, "Bow and skin", lambda f: spelled(units, "rigidity", f.total) if f.total else None)


def loading_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """The mass on each area of sail against best wind for one flyer, over what that flyer's records predict."""
    units, unit = book.book.settings.units, scale.shown("areal", book.book.settings.units)
    kites = [
        _liked(f, flyer, unit(load), 0.0, show(load, "areal", units))
        for f in book.kites.values()
        if (load := f.sail.loading_kg_m2)
    ]
    title = f"Sail loading against the wind {flyer} likes best"
    return _chart(f"loading-{flyer}", title, kites, f"mass on each area of sail, {unit.unit}", book, root, style)


def loading_rows(book: BookFindings, flyer: str) -> Table:
    """Sail loading, where the flyer liked the kite, and where the flyer's records would put it."""
    units = book.book.settings.units
    return _rows(
        book, flyer, "Sail loading", lambda f: show(load, "areal", units) if (load := f.sail.loading_kg_m2) else None
    )


def _liked(findings: Findings, flyer: str, across: float, u: float, said: str) -> _Liked:
    wind = findings.wind
    return _Liked(
        findings, across, u, wind.flown.get(flyer), wind.predicted.get(flyer), f"{findings.kite.name}: {said}"
    )


def _rows(book: BookFindings, flyer: str, what: str, said: Callable[[Findings], str | None]) -> Table:
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        flown, predicted, own = f.wind.flown.get(flyer), f.wind.predicted.get(flyer), said(f)
        if own and (flown or predicted):
            ranges = (winds(units, span) if span else UNKNOWN for span in (flown, predicted))
            rows.append(Row((f.kite.name, own, *ranges), f.kite.key))
    return Table(("Kite", what, f"{flyer} liked it best in", "Predicted"), tuple(rows))


def _chart(
    prefix: str, title: str, kites: Sequence[_Liked], across: str, book: BookFindings, root: str, style: Style | None
) -> str | None:
    kites = [k for k in kites if k.flown or k.predicted]
    flown = sum(k.flown is not None for k in kites)
    if not flown:
        return None
    told = f"{flown} of {len(kites)} kites have been flown. {BARS}"
    return sheets.both(prefix, title, told, lambda sheet: _draw(kites, across, book, sheet, root), style)


def _draw(kites: Sequence[_Liked], across: str, book: BookFindings, sheet: Sheet, root: str) -> Drawn:
    frame = _frame(kites, across, book, sheet)
    unit = scale.shown("wind", book.book.settings.units)

    def bar(kite: _Liked, low_m_s: float, high_m_s: float) -> tuple[float, float, float]:
        edges = (min(max(unit(v), frame.y.low), frame.y.high) for v in (low_m_s, high_m_s))
        (x, bottom), (_, top) = (frame.place(kite.across, v) for v in edges)
        return x, bottom, top

    predicted = [
        bar(k, p.low_interval.low if p.low_interval else p.low, p.high_interval.high if p.high_interval else p.high)
        for k in kites
        if (p := k.predicted)
    ]
    under = [marks.bars(predicted, f"ks-sky {'kw-broad' if len(kites) < 120 else 'kw-heavy'}")]
    spots = [_spot(k, bar, book, frame, len(kites)) for k in sorted(kites, key=lambda k: k.flown is None)]
    note, more = sheets.footed(_KEY, sheet, LEFT, TOP + frame.height + 46)
    return [sheets.panel(frame, LEFT, TOP, linked(spots, frame, sheet, root), under), *note], (
        TOP + frame.height + 50 + more
    )


def _frame(kites: Sequence[_Liked], across: str, book: BookFindings, sheet: Sheet) -> frames.Frame:
    units = book.book.settings.units
    unit = scale.shown("wind", units)
    seen = [unit(v) for k in kites for r in (k.flown, k.predicted) if r for v in (r.low, r.high)]
    low, high, ticks = scale.around(max(min(seen) * 0.9, 0), max(seen) * 1.05, 7, least=2)
    far = () if sheet.narrow else sheets.far_ticks("wind", units, low, high)
    far_title = scale.beside("wind", units).unit if far else ""
    up = frames.Axis(low, high, ticks, f"liked best in, {unit.unit}", far=far, far_title=far_title)
    places = [k.across for k in kites]
    along = sheets.positive_axis(min(places), max(places), 5 if sheet.narrow else 8, across)
    return frames.Frame(sheet.width - LEFT - (14 if sheet.narrow else 40), 236 if sheet.narrow else 310, along, up)


def _spot(
    kite: _Liked,
    bar: Callable[[_Liked, float, float], tuple[float, float, float]],
    book: BookFindings,
    frame: Frame,
    among: int,
) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units = book.book.settings.units
    span = kite.flown or kite.predicted
    assert span is not None  # only such kites are drawn
    x, bottom, top = bar(kite, span.low, span.high)
    drawn = marks.bars([(x, bottom, top)], f"ks-ink {weight(among)}" if kite.flown else "ks-soft kw-line kd-dot")
    if kite.u:
        spread = book.coverage * kite.u
        ends = (min(max(kite.across + way * spread, frame.x.low), frame.x.high) for way in (-1, 1))
        middle = (bottom + top) / 2
        drawn += marks.line(
            [(frame.place(v, frame.y.low)[0], middle) for v in ends],
            f"ks-ink kw-hair {'' if among <= 60 else 'kp-faint'}".rstrip(),
        )
    says = f"{kite.says}, {'liked best in' if kite.flown else 'predicted for'} {winds(units, span)}"
    return Spot(kite.findings.kite.key, kite.findings.kite.name, x, top, drawn, says, bottom)
