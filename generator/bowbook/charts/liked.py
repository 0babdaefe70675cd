"""What a kite is against the winds one flyer liked it in: its stiffness, or the load its sail carries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bowbook.book.units import show
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.labels import Room
from bowbook.charts.points import Spot, linked
from bowbook.charts.sheets import TOP, Drawn, Sheet, spelled, winds
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, Predicted, Range

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
    unit, t = scale.shown("wind", book.book.settings.units), book.coverage
    seen = [unit(v) for k in kites for r in (k.flown, k.predicted) if r for v in (r.low, r.high)]
    y_low, y_high, y_ticks = scale.around(max(min(seen) * 0.9, 0), max(seen) * 1.05, 7, least=2)
    low, high, ticks = scale.decades(min(k.across for k in kites) * 0.93, max(k.across for k in kites) * 1.07)
    far = () if sheet.narrow else sheets.far_ticks("wind", book.book.settings.units, y_low, y_high)
    far_title = "" if sheet.narrow else scale.beside("wind", book.book.settings.units).unit
    up = frames.Axis(y_low, y_high, y_ticks, f"liked best in, {unit.unit}", far=far, far_title=far_title)
    height = 236.0 if sheet.narrow else 310.0
    frame = frames.Frame(
        sheet.width - 44 - (14 if sheet.narrow else 40), height, frames.Axis(low, high, ticks, across, log=True), up
    )

    def bar(k: _Liked, low_m_s: float, high_m_s: float) -> tuple[float, float, float]:
        x, bottom = frame.place(k.across, min(max(unit(low_m_s), y_low), y_high))
        return x, bottom, frame.place(k.across, min(max(unit(high_m_s), y_low), y_high))[1]

    pale = []
    for k in kites:
        if p := k.predicted:
            outer = (
                p.low_interval.low if p.low_interval else p.low,
                p.high_interval.high if p.high_interval else p.high,
            )
            pale.append(bar(k, *outer))
    under = [marks.bars(pale, f"ks-sky {'k-pale' if len(kites) < 120 else 'kw-heavy'}")]
    spots, bare = [], []
    for k in kites:
        if k.flown is None:
            if k.predicted:
                bare.append((k, bar(k, k.predicted.low, k.predicted.high)))
            continue
        x, bottom, top = bar(k, k.flown.low, k.flown.high)
        middle = (bottom + top) / 2
        sides = [min(max(frame.place(max(k.across + way * t * k.u, low), y_low)[0], 0), frame.width) for way in (-1, 1)]
        drawn = marks.bars([(x, bottom, top)], "ks-ink kw-heavy")
        drawn += marks.line([(s, middle) for s in sides], "ks-ink kw-hair") if k.u else ""
        said = f"{k.says}, liked best in {winds(book.book.settings.units, k.flown)}"
        spots.append(Spot(k.findings.kite.key, k.findings.kite.name, x, top, drawn, said))
    for k, (x, bottom, top) in bare:
        said = f"{k.says}, predicted for {winds(book.book.settings.units, k.predicted)}" if k.predicted else k.says
        drawn = marks.bars([(x, bottom, top)], "ks-soft kw-line kd-dot")
        spots.append(Spot(k.findings.kite.key, k.findings.kite.name, x, top, drawn, said))
    foot = sheets.wrapped(
        "bar: liked best · dotted: not flown yet, predicted · pale: what the records predict, 19 in 20",
        sheet.width,
        sheet.small,
    )
    words = [
        marks.words(0 if sheet.narrow else 44, TOP + height + 58 + i * 15, s, "kt-small kt-soft")
        for i, s in enumerate(foot)
    ]
    room = Room(frame.width, frame.height)
    return [
        sheets.panel(frame, 44, TOP, linked(spots, frame, sheet, root, room), under),
        *words,
    ], TOP + height + 50 + 15 * len(foot)
