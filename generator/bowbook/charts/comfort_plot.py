"""How a flyer's records are laid out: the band behind, the kites' bars, the page's own kite in front."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.book.units import show
from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import TOP, Drawn, Sheet, spelled
from bowbook.charts.labels import Label, Room
from bowbook.charts.points import Spot, crowded, linked, take, weight
from bowbook.charts.tables import UNKNOWN
from bowbook.findings.results import BookFindings, Findings, FlyerFindings

LEFT = 44.0  # px beside a plot, for its upright axis
CROWD = 60  # on one kite's page the others are its background; beyond this they are drawn as one


class _Band(Struct, frozen=True):
    """Best wind over flex wind: what this flyer likes, and where 19 of 20 new kites would fall."""

    low: float
    high: float
    lowest: float
    highest: float


def name_of(book: BookFindings, kite: str) -> str:
    """A kite's name by its key."""
    return book.kites[kite].kite.name if kite in book.kites else kite


def told_of(who: FlyerFindings, book: BookFindings) -> str:
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


def band_of(who: FlyerFindings) -> _Band | None:
    """The flyer's band as ratios to the flex wind; None where the records are too few."""
    if who.ratio_low is None or who.ratio_high is None or who.ratio_lowest is None or who.ratio_highest is None:
        return None
    return _Band(who.ratio_low, who.ratio_high, who.ratio_lowest, who.ratio_highest)


class _Records(Struct, frozen=True):
    """One flyer's records in the unit shown, and how far they reach."""

    points: tuple[tuple[str, float, float, float], ...]  # kite, flex wind, low and high edge of what was liked
    flex: tuple[float, float]
    liked: tuple[float, float]


# What all of a flyer's charts share, by flyer and by frame: kept with what it was made from, and made again for other.
_records_of: dict[str, tuple[FlyerFindings, scale.Scale, _Records]] = {}
_backdrops: dict[tuple[str, axes.Frame], tuple[FlyerFindings, _Band | None, tuple[str, str]]] = {}
MOST_BACKDROPS = 64


def _reach(who: FlyerFindings, unit: scale.Scale) -> _Records:
    """The flyer's records in the unit shown."""
    kept = _records_of.get(who.name)
    if kept and kept[0] is who and kept[1] == unit:
        return kept[2]
    points = tuple((p.kite, unit(p.flex_m_s), unit(p.low), unit(p.high)) for p in who.points)
    flex = (min((p[1] for p in points), default=math.inf), max((p[1] for p in points), default=0.0))
    liked = (min((p[2] for p in points), default=math.inf), max((p[3] for p in points), default=0.0))
    records = _Records(points, flex, liked)
    _records_of[who.name] = (who, unit, records)
    return records


def _frame(records: _Records, who: FlyerFindings, book: BookFindings, sheet: Sheet, own: Findings | None) -> axes.Frame:
    """The same frame for all kites within the flyer's records, so that pages can be compared by eye."""
    units = book.book.settings.units
    unit = scale.shown("wind", units)
    flex, liked = records.flex, records.liked
    if own and own.wind.flex_m_s:
        at = unit(own.wind.flex_m_s.value)
        flex = (min(flex[0], at), max(flex[1], at))
        if span := own.wind.flown.get(who.name) or own.wind.predicted.get(who.name):
            liked = (min(liked[0], unit(span.low)), max(liked[1], unit(span.high)))
    x_low, x_high, x_ticks = scale.around(0.94 * flex[0], 1.04 * flex[1], 5 if sheet.narrow else 8, least=2)
    y_low, y_high, y_ticks = scale.around(0.9 * liked[0], 1.04 * liked[1], 6, least=2)
    x_low, y_low = max(x_low, 0), max(y_low, 0)
    far = () if sheet.narrow else canvas.far_ticks("wind", units, y_low, y_high)
    across = axes.Axis(x_low, x_high, tuple(v for v in x_ticks if v >= 0), f"the wind it flexes in, {unit.unit}")
    up = axes.Axis(
        y_low,
        y_high,
        tuple(v for v in y_ticks if v >= 0),
        f"liked best in, {unit.unit}",
        far=far,
        far_title=scale.beside("wind", units).unit if far else "",
    )
    right, height = (14, 236) if sheet.narrow else (40, 300)
    return axes.Frame(sheet.width - LEFT - right, height, across, up)


def _backdrop(who: FlyerFindings, records: _Records, band: _Band | None, frame: axes.Frame) -> tuple[str, str]:
    """The band, and for a crowd every kite's bar as one path, else "": made once for all charts in this frame."""
    kept = _backdrops.get((who.name, frame))
    if kept and kept[0] is who and kept[1] == band:
        return kept[2]
    crowd = ""
    if len(records.points) > CROWD:
        placed = ((frame.place(flex, low), frame.place(flex, high)) for _, flex, low, high in records.points)
        spans = svg.joined((x, bottom, top) for (x, bottom), (_, top) in placed)
        crowd = svg.bars(spans, "ks-soft kw-hair kp-half")
    made = "".join(_wedge(frame, band)) if band else "", crowd
    if len(_backdrops) >= MOST_BACKDROPS:
        _backdrops.clear()
    _backdrops[who.name, frame] = (who, band, made)
    return made


def draw(who: FlyerFindings, book: BookFindings, sheet: Sheet, root: str, own: Findings | None) -> Drawn:
    """One flyer's records on one sheet, with the page's own kite in the accent where there is one."""
    records, band = _reach(who, scale.shown("wind", book.book.settings.units)), band_of(who)
    frame = _frame(records, who, book, sheet, own)
    wedge, crowd = _backdrop(who, records, band, frame)
    spots = []
    if own is None or not crowd:
        others = [p for p in records.points if own is None or p[0] != own.kite.key]
        spots = [_spot(p, book, frame, len(others)) for p in others]
    room = Room(frame.width, frame.height)
    take(spots, room)
    front = _this(own, who, book, frame, sheet, room) if own else []
    over = _band_words(frame, band, who, sheet, room) if band else []
    over += linked(spots, frame, sheet, root, room) if spots else [crowd]
    note, more = canvas.footed(told_of(who, book), sheet, LEFT, TOP + frame.height + 46)
    return [canvas.panel(frame, LEFT, TOP, over + front, [wedge]), *note], TOP + frame.height + 50 + more


def _spot(point: tuple[str, float, float, float], book: BookFindings, frame: axes.Frame, among: int) -> Spot:
    kite, flex, low, high = point
    (x, top), (_, bottom) = frame.place(flex, high), frame.place(flex, low)
    core = (f"ks-soft {weight(among)}", svg.upright(x, bottom, top))
    findings, says = book.kites.get(kite), ""
    if not crowded(among):
        says = _says(kite, findings, book, low, high)
    return Spot(kite, name_of(book, kite), x, top, says, core, foot=bottom)


def _says(kite: str, findings: Findings | None, book: BookFindings, low: float, high: float) -> str:
    flexes = spelled(book.book.settings.units, "wind", findings.wind.flex_m_s) if findings else UNKNOWN
    unit = scale.shown("wind", book.book.settings.units).unit
    return f"{name_of(book, kite)}: flexes at {flexes}, liked best in {low:.1f}–{high:.1f} {unit}"


def _this(
    own: Findings, who: FlyerFindings, book: BookFindings, frame: axes.Frame, sheet: Sheet, room: Room
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
    out = [svg.line([(min(max(s, 0), frame.width), middle) for s in sides], "ks-accent kw-fine")]
    out.append(svg.bars([(x, bottom, top)], "ks-accent kw-heavy" + ("" if flown else " kd-dash")))
    said = own.kite.name if flown else f"{own.kite.name}, predicted"
    room.take(x - 3, top, x + 3, bottom)
    room.take(sides[0], middle - 2, sides[1], middle + 2)
    label = room.beside(x, top, said, sheet.text, most=30) or room.beside(x, bottom, said, sheet.text, most=30)
    if label is None:  # nothing is free: over the bar, on a halo, since this name must be there
        label = Label(min(max(x, 40), frame.width - 40), max(top - 8, 10), svg.shortened(said, 30), "middle")
        half = svg.wide(label.text, sheet.text) / 2
        room.take(label.x - half, label.y - 10, label.x + half, label.y + 3)
    out.append(svg.words(label.x, label.y, label.text, "kt-name kt-accent kt-halo", label.anchor))
    return out


def _wedge(frame: axes.Frame, band: _Band) -> list[str]:
    """The wide band of a new kite, and in it the band of what is liked."""
    wide = svg.area(_between(frame, band.lowest, band.highest), "kf-sky kp-half")
    liked = svg.area(_between(frame, band.low, band.high), "kf-sky")
    edges = "".join(svg.line(_ray(frame, r), "ks-soft kw-fine") for r in (band.low, band.high))
    return [wide, liked, edges] + [
        svg.line(_ray(frame, r), "ks-soft kw-hair kd-dash") for r in (band.lowest, band.highest)
    ]


def _ray(frame: axes.Frame, ratio: float, clamped: bool = False) -> list[tuple[float, float]]:
    """The line best = ratio × flex inside the plot; clamped, it goes on along the plot's edge."""
    x, y = frame.x, frame.y
    stops = sorted({x.low, x.high, *(e / ratio for e in (y.low, y.high) if x.low < e / ratio < x.high)})
    inside = [v for v in stops if clamped or y.low - 1e-9 <= ratio * v <= y.high + 1e-9]
    return [frame.place(v, min(max(ratio * v, y.low), y.high)) for v in inside]


def _between(frame: axes.Frame, low: float, high: float) -> list[tuple[float, float]]:
    return _ray(frame, low, clamped=True) + _ray(frame, high, clamped=True)[::-1]


def _band_words(frame: axes.Frame, band: _Band, who: FlyerFindings, sheet: Sheet, room: Room) -> list[str]:
    """The bands named under their upper edges, as far right as nothing is in the way."""
    out = []
    for ratio, text in ((band.high, f"{who.name} likes"), (band.highest, "19 in 20 new kites")):
        ends = _ray(frame, ratio)
        wide = svg.wide(text, sheet.small)
        if len(ends) < 2:
            continue
        (x0, y0), (x1, y1) = ends[0], ends[-1]
        slope = (y0 - y1) / max(x1 - x0, 1e-9)
        x = x1 - 6
        while x - wide > (x0 + x1) / 2:  # nearer the narrow end the words would stand outside the band
            label = Label(x, y1 + slope * (x1 - x + wide) + 13, text, "end")
            if room.fits(label, wide, sheet.small):
                out.append(svg.words(label.x, label.y, text, "kt-small kt-soft kt-halo", "end"))
                break
            x -= 8
    return out
