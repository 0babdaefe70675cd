"""Where a flyer likes kites: best wind against the wind in which each flexes, with the band that predicts the next."""

from __future__ import annotations

from dataclasses import dataclass

from bowbook.book.units import show, show_range
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.labels import Label, Room
from bowbook.charts.points import Spot, linked, take, weight
from bowbook.charts.sheets import TOP, Drawn, Sheet, spelled, winds
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, FlyerFindings

LEFT = 44.0  # px beside a plot, for its upright axis
CROWD = 60  # on one kite's page the others are its background; beyond this they are drawn as one


@dataclass(frozen=True, slots=True)
class _Band:
    """Best wind over flex wind: what this flyer likes, and where 19 of 20 new kites would fall."""

    low: float
    high: float
    lowest: float
    highest: float


def comfort_chart(
    findings: Findings, book: BookFindings, flyer: str | None = None, root: str = "../../", style: Style | None = None
) -> str | None:
    """This kite within one flyer's records, or None where that flyer's records or this kite's flex wind are missing."""
    who = book.flyers.get(flyer or flyer_of(findings, book) or "")
    flex = findings.wind.flex_m_s
    if who is None or flex is None or not (who.points or who.name in findings.wind.predicted):
        return None
    units = book.book.settings.units
    flown, predicted = findings.wind.flown.get(who.name), findings.wind.predicted.get(who.name)
    liked = (
        f"liked best in {winds(units, flown)}"
        if flown
        else f"predicted for {winds(units, predicted)}"
        if predicted
        else "not flown yet"
    )
    told = f"{findings.kite.name} flexes at {spelled(units, 'wind', flex)} and is {liked}. {_told(who, book)}"
    return sheets.both(
        f"comfort-{findings.kite.key}-{who.name}",
        f"{findings.kite.name} among the kites {who.name} has flown",
        told,
        lambda sheet: _draw(who, book, sheet, root, findings),
        style,
    )


def flyer_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """All of one flyer's records with the fit, its band and the left-out error; None where there are none."""
    who = book.flyers.get(flyer)
    if who is None or not who.points:
        return None
    title = f"Best wind against flex wind: what {who.name} likes"
    return sheets.both(
        f"flyer-{who.name}", title, _told(who, book), lambda sheet: _draw(who, book, sheet, root, None), style
    )


def flyer_rows(book: BookFindings, flyer: str) -> Table:
    """The flyer's records: each kite's flex wind, where it was liked, and what the other kites would have said."""
    units, who = book.book.settings.units, book.flyers[flyer]
    rows = []
    for point in sorted(who.points, key=lambda p: (p.flex_m_s, p.kite)):
        left_out = show(point.left_out_middle, "wind", units) if point.left_out_middle is not None else UNKNOWN
        flex = spelled(units, "wind", book.kites[point.kite].wind.flex_m_s) if point.kite in book.kites else UNKNOWN
        liked = show_range(point.low, point.high, "wind", units)
        rows.append(Row((_name(book, point.kite), flex, liked, left_out), point.kite))
    return Table(("Kite", "Flexes at", f"{flyer} liked it best in", "Middle, judged by the other kites"), tuple(rows))


comfort_rows = flyer_rows
"""The table under a kite's comfort chart is its flyer's."""


def flyer_of(findings: Findings, book: BookFindings) -> str | None:
    """Whose records a kite is shown in: its range's, else the catalogue's, else whoever has logged most."""
    for name in (findings.wind.flyer, book.book.settings.flyer):
        if name in book.flyers:
            return name
    return max(book.flyers.values(), key=lambda f: f.kites).name if book.flyers else None


def _name(book: BookFindings, kite: str) -> str:
    return book.kites[kite].kite.name if kite in book.kites else kite


def _told(who: FlyerFindings, book: BookFindings) -> str:
    """How much stands behind the band."""
    kites = f"{who.kites} kite" + ("s" if who.kites != 1 else "")
    if who.ratio_low is None or who.ratio_high is None:
        return f"{kites} on record for {who.name}: too few for a band."
    told = f"{kites} on record: {who.name} likes {who.ratio_low:.2f} to {who.ratio_high:.2f} times the flex wind."
    if who.left_out_error is not None:
        told += (
            f" Each kite judged by the others is off by {show(who.left_out_error, 'ratio', book.book.settings.units)}."
        )
    return told


def band_of(who: FlyerFindings, book: BookFindings) -> _Band | None:
    """The flyer's band as ratios to the flex wind, read off any kite's prediction: they are the same for every kite."""
    if who.ratio_low is None or who.ratio_high is None:
        return None
    for one in book.kites.values():
        seen, flex = one.wind.predicted.get(who.name), one.wind.flex_m_s
        if seen and flex and seen.low_interval and seen.high_interval:
            return _Band(
                who.ratio_low, who.ratio_high, seen.low_interval.low / flex.value, seen.high_interval.high / flex.value
            )
    return None


def _frame(who: FlyerFindings, book: BookFindings, sheet: Sheet, height: float) -> frames.Frame:
    """One frame for all of a flyer's kites, so that their pages can be compared by eye."""
    units = book.book.settings.units
    unit, other = scale.shown("wind", units), scale.beside("wind", units)
    flexes = [p.flex_m_s for p in who.points]
    flexes += [f.wind.flex_m_s.value for f in book.kites.values() if f.wind.flex_m_s and who.name in f.wind.predicted]
    seen = [v for p in who.points for v in (p.low, p.high)]
    seen += [v for f in book.kites.values() if (p := f.wind.predicted.get(who.name)) for v in (p.low, p.high)]
    many = 5 if sheet.narrow else 8
    x_low, x_high, x_ticks = scale.around(0.94 * unit(min(flexes)), 1.04 * unit(max(flexes)), many, least=2)
    y_low, y_high, y_ticks = scale.around(0.9 * unit(min(seen)), 1.04 * unit(max(seen)), 6, least=2)
    x_title, y_title = f"the wind it flexes in, {unit.unit}", f"liked best in, {unit.unit}"
    far = () if sheet.narrow else sheets.far_ticks("wind", units, max(y_low, 0), y_high)
    up = frames.Axis(max(y_low, 0), y_high, y_ticks, y_title, far=far, far_title=other.unit if far else "")
    return frames.Frame(
        sheet.width - 44 - (14 if sheet.narrow else 40),
        height,
        frames.Axis(max(x_low, 0), x_high, x_ticks, x_title),
        up,
    )


@dataclass(frozen=True, slots=True)
class _Backdrop:
    """What all of one flyer's charts on one sheet share."""

    frame: frames.Frame
    band: _Band | None
    points: tuple[tuple[str, float, float, float], ...]
    wedge: str
    crowd: str  # every kite's bar as one path, for a crowd; else ""


_backdrops: dict[tuple[str, str], tuple[BookFindings, Sheet, _Backdrop]] = {}


def _backdrop(who: FlyerFindings, book: BookFindings, sheet: Sheet) -> _Backdrop:
    """The flyer's backdrop, made once for all kites of a book."""
    kept = _backdrops.get((who.name, sheet.shape))
    if kept and kept[0] is book and kept[1] == sheet:
        return kept[2]
    frame, band = _frame(who, book, sheet, 236 if sheet.narrow else 300), band_of(who, book)
    unit = scale.shown("wind", book.book.settings.units)
    points = tuple((p.kite, unit(p.flex_m_s), unit(p.low), unit(p.high)) for p in who.points)
    crowd = ""
    if len(points) > CROWD:
        placed = ((frame.place(flex, low), frame.place(flex, high)) for _, flex, low, high in points)
        crowd = marks.bars(((x, bottom, top) for (x, bottom), (_, top) in placed), "ks-soft kw-hair kp-half")
    wedge = "".join(_wedge(frame, band)) if band else ""
    made = _Backdrop(frame, band, points, wedge, crowd)
    _backdrops[who.name, sheet.shape] = (book, sheet, made)
    return made


def _draw(who: FlyerFindings, book: BookFindings, sheet: Sheet, root: str, own: Findings | None) -> Drawn:
    back = _backdrop(who, book, sheet)
    frame = back.frame
    others = [p for p in back.points if own is None or p[0] != own.kite.key]
    spots = [_spot(p, book, frame, len(others)) for p in others] if own is None or not back.crowd else []
    room = Room(frame.width, frame.height)
    take(spots, room)
    front = _this(own, who, book, frame, sheet, room) if own else []
    over = _band_words(frame, back.band, who, sheet, room) if back.band else []
    over += linked(spots, frame, sheet, root, room) if spots else [back.crowd]
    note, more = sheets.footed(_told(who, book), sheet, LEFT, TOP + frame.height + 46)
    return [sheets.panel(frame, LEFT, TOP, over + front, [back.wedge]), *note], TOP + frame.height + 50 + more


def _spot(point: tuple[str, float, float, float], book: BookFindings, frame: frames.Frame, among: int) -> Spot:
    kite, flex, low, high = point
    (x, top), (_, bottom) = frame.place(flex, high), frame.place(flex, low)
    findings = book.kites.get(kite)
    flexes = spelled(book.book.settings.units, "wind", findings.wind.flex_m_s) if findings else UNKNOWN
    unit = scale.shown("wind", book.book.settings.units).unit
    says = f"{_name(book, kite)}: flexes at {flexes}, liked best in {low:.1f}–{high:.1f} {unit}"
    return Spot(
        kite, _name(book, kite), x, top, marks.bars([(x, bottom, top)], f"ks-soft {weight(among)}"), says, bottom
    )


def _this(
    own: Findings, who: FlyerFindings, book: BookFindings, frame: frames.Frame, sheet: Sheet, room: Room
) -> list[str]:
    """The page's own kite, in the accent: flown as a bar, predicted dashed; its flex wind with its 95 %."""
    flex = own.wind.flex_m_s
    flown, predicted = own.wind.flown.get(who.name), own.wind.predicted.get(who.name)
    span = flown or predicted
    if flex is None or span is None:
        return []
    unit, spread = scale.shown("wind", book.book.settings.units), book.coverage * flex.u
    x, top = frame.place(unit(flex.value), unit(span.high))
    bottom, middle = (frame.place(0, unit(v))[1] for v in (span.low, (span.low + span.high) / 2))
    sides = [frame.place(unit(flex.value + way * spread), 0)[0] for way in (-1, 1)]
    out = [marks.line([(min(max(s, 0), frame.width), middle) for s in sides], "ks-accent kw-fine")]
    out.append(marks.bars([(x, bottom, top)], "ks-accent kw-heavy" + ("" if flown else " kd-dash")))
    said = own.kite.name if flown else f"{own.kite.name}, predicted"
    room.take(x - 3, top, x + 3, bottom)
    room.take(sides[0], middle - 2, sides[1], middle + 2)
    label = room.beside(x, top, said, sheet.text, most=30) or room.beside(x, bottom, said, sheet.text, most=30)
    if label is None:  # nothing is free: over the bar, on a halo, since this name must be there
        label = Label(min(max(x, 40), frame.width - 40), max(top - 8, 10), marks.shortened(said, 30), "middle")
    out.append(marks.words(label.x, label.y, label.text, "kt-name kt-accent kt-halo", label.anchor))
    return out


def _wedge(frame: frames.Frame, band: _Band) -> list[str]:
    """The wide band of a new kite, and in it the band of what is liked."""
    wide = marks.area(_between(frame, band.lowest, band.highest), "kf-sky kp-half")
    liked = marks.area(_between(frame, band.low, band.high), "kf-sky")
    edges = "".join(marks.line(_ray(frame, r), "ks-soft kw-fine") for r in (band.low, band.high))
    return [wide, liked, edges] + [
        marks.line(_ray(frame, r), "ks-soft kw-hair kd-dash") for r in (band.lowest, band.highest)
    ]


def _ray(frame: frames.Frame, ratio: float, clamped: bool = False) -> list[tuple[float, float]]:
    """The line best = ratio × flex inside the plot; clamped, it goes on along the plot's edge."""
    x, y = frame.x, frame.y
    stops = sorted({x.low, x.high, *(e / ratio for e in (y.low, y.high) if x.low < e / ratio < x.high)})
    inside = [v for v in stops if clamped or y.low - 1e-9 <= ratio * v <= y.high + 1e-9]
    return [frame.place(v, min(max(ratio * v, y.low), y.high)) for v in inside]


def _between(frame: frames.Frame, low: float, high: float) -> list[tuple[float, float]]:
    return _ray(frame, low, clamped=True) + _ray(frame, high, clamped=True)[::-1]


def _band_words(frame: frames.Frame, band: _Band, who: FlyerFindings, sheet: Sheet, room: Room) -> list[str]:
    """The bands named under their upper edges, as far right as nothing is in the way."""
    out = []
    for ratio, text in ((band.high, f"{who.name} likes"), (band.highest, "19 in 20 new kites")):
        ends = _ray(frame, ratio)
        wide = marks.wide(text, sheet.small)
        if len(ends) < 2:
            continue
        (x0, y0), (x1, y1) = ends[0], ends[-1]
        slope = (y0 - y1) / max(x1 - x0, 1e-9)
        x = x1 - 6
        while x - wide > (x0 + x1) / 2:  # nearer the narrow end the words would stand outside the band
            label = Label(x, y1 + slope * (x1 - x + wide) + 13, text, "end")
            if room.fits(label, wide, sheet.small):
                out.append(marks.words(label.x, label.y, text, "kt-small kt-soft kt-halo", "end"))
                break
            x -= 8
    return out
