"""What a kite is against the winds one flyer liked it in: its stiffness, or the load its sail carries."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.axes import Frame
from bowbook.charts.canvas import TOP, Drawn, Sheet, winds
from bowbook.charts.points import Spot, crowded, linked, weight
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, Measured, Predicted, Range

LEFT = 44.0  # px beside a plot, for its upright axis
_KEY = "bar: liked best · dotted: not flown yet, predicted · pale: where the records would put it, 19 times in 20"
_KEY_FLOWN = "bar: liked best · pale: where the records would put it, 19 times in 20"
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


def stiffness_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """Stiffness of bow and skin against best wind for one flyer, over what that flyer's records predict."""
    title = f"Stiffness against the wind {flyer} likes best"
    return _chart(f"stiffness-{flyer}", title, STIFFNESS, flyer, book, root, style)


def stiffness_rows(book: BookFindings, flyer: str) -> Table:
    """Stiffness, where the flyer liked the kite, and where the flyer's records would put it."""
    return _rows(book, flyer, STIFFNESS)


def loading_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """The mass on each area of sail against best wind for one flyer, over what that flyer's records predict."""
    title = f"Sail loading against the wind {flyer} likes best"
    return _chart(f"loading-{flyer}", title, LOADING, flyer, book, root, style)


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


def _chart(
    prefix: str, title: str, asked: _Asked, flyer: str, book: BookFindings, root: str, style: Style | None
) -> str | None:
    kites = _kites(book, flyer, asked)
    flown = sum(k.flown is not None for k in kites)
    if not flown:
        return None
    told = f"{flown} of {len(kites)} kites have been flown. {BARS}"
    if len(book.kites) > len(kites) == flown:
        told = f"The {flown} kites that {flyer} has flown, of {len(book.kites)} in the book. {BARS}"
    return canvas.both(prefix, title, told, lambda sheet: _draw(kites, asked, book, sheet, root), style)


def _draw(kites: Sequence[_Liked], asked: _Asked, book: BookFindings, sheet: Sheet, root: str) -> Drawn:
    across = scale.shown(asked.kind, book.book.settings.units)
    frame = _frame(kites, asked, book, sheet)
    unit = scale.shown("wind", book.book.settings.units)

    def bar(kite: _Liked, low_m_s: float, high_m_s: float) -> tuple[float, float, float]:
        edges = (min(max(unit(v), frame.y.low), frame.y.high) for v in (low_m_s, high_m_s))
        (x, bottom), (_, top) = (frame.place(across(kite.figure.value), v) for v in edges)
        return x, bottom, top

    predicted = [
        bar(k, p.low_interval.low if p.low_interval else p.low, p.high_interval.high if p.high_interval else p.high)
        for k in kites
        if (p := k.predicted)
    ]
    under = [svg.bars(predicted, f"ks-sky {'kw-broad' if len(kites) < 120 else 'kw-heavy'}")]
    spots = [_spot(k, asked, bar, book, frame, len(kites)) for k in sorted(kites, key=lambda k: k.flown is None)]
    key = _KEY if any(k.flown is None for k in kites) else _KEY_FLOWN
    note, more = canvas.footed(key, sheet, LEFT, TOP + frame.height + 46)
    return [canvas.panel(frame, LEFT, TOP, linked(spots, frame, sheet, root), under), *note], (
        TOP + frame.height + 50 + more
    )


def _frame(kites: Sequence[_Liked], asked: _Asked, book: BookFindings, sheet: Sheet) -> axes.Frame:
    units = book.book.settings.units
    across = scale.shown(asked.kind, units)
    unit = scale.shown("wind", units)
    seen = [unit(v) for k in kites for r in (k.flown, k.predicted) if r for v in (r.low, r.high)]
    low, high, ticks = scale.around(max(min(seen) * 0.9, 0), max(seen) * 1.05, 7, least=2)
    far = () if sheet.narrow else canvas.far_ticks("wind", units, low, high)
    far_title = scale.beside("wind", units).unit if far else ""
    up = axes.Axis(low, high, ticks, f"liked best in, {unit.unit}", far=far, far_title=far_title)
    places = [across(k.figure.value) for k in kites]
    title = f"{asked.axis}, {across.unit}"
    along = canvas.positive_axis(min(places), max(places), 5 if sheet.narrow else 8, title)
    return axes.Frame(sheet.width - LEFT - (14 if sheet.narrow else 40), 236 if sheet.narrow else 310, along, up)


def _spot(
    kite: _Liked,
    asked: _Asked,
    bar: Callable[[_Liked, float, float], tuple[float, float, float]],
    book: BookFindings,
    frame: Frame,
    among: int,
) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units, name = book.book.settings.units, kite.findings.kite.name
    span = kite.flown or kite.predicted
    assert span is not None  # only such kites are drawn
    x, bottom, top = bar(kite, span.low, span.high)
    core = (f"ks-ink {weight(among)}" if kite.flown else "ks-soft kw-line kd-dot", svg.upright(x, bottom, top))
    under, says = ("", ""), ""
    if kite.figure.u:
        across, spread = scale.shown(asked.kind, units), book.coverage * kite.figure.u
        ends = (min(max(across(kite.figure.value + way * spread), frame.x.low), frame.x.high) for way in (-1, 1))
        left, right = (svg.number(frame.place(v, frame.y.low)[0]) for v in ends)
        pen = f"ks-ink kw-hair {'' if among <= 60 else 'kp-faint'}".rstrip()
        under = (pen, f"M{left} {svg.number((bottom + top) / 2)}H{right}")
    if not crowded(among):
        liked = "liked best in" if kite.flown else "predicted for"
        says = f"{name}: {asked.said(kite.figure, units)}, {liked} {winds(units, span)}"
    return Spot(kite.findings.kite.key, name, x, top, says, core, under, foot=bottom)
