"""Which stiffness for which wind: one flyer's kites, log against log, so that their zone is a straight band."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.units import show
from bowbook.charts import points, scale, words
from bowbook.charts.labels import Label, Room, wide
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.points import Spot, crowded, weight
from bowbook.charts.sheet import TOP, Sheet
from bowbook.charts.words import spelled, winds
from bowbook.findings.planning import flex_for
from bowbook.findings.results import BookFindings, FlyerFindings, Measured, Range

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT = 44.0  # px beside a plot, for its upright axis
TALL = {"broad": 480.0, "wide": 320.0, "narrow": 250.0}


class Liked(Struct, frozen=True):
    """One kite: the wind it flexes in, and the wind this flyer liked it in or, not flown, is expected to; m/s."""

    kite: str
    name: str
    flex: Measured
    low: float
    high: float
    flown: bool = True


class Zone(Struct, frozen=True):
    """What is drawn of one flyer: their findings and kites; the page's own kite; the others whose zones stand by."""

    who: FlyerFindings
    book: BookFindings
    kites: tuple[Liked, ...]
    own: Liked | None = None
    others: tuple[FlyerFindings, ...] = ()


def draw(board: Board, zone: Zone, sheet: Sheet, root: str) -> float:
    """The zone with its edges, the kites' bars in it, the page's own kite in front; gives the height."""
    plot = _plot(board, zone, sheet)
    room = Room(plot.width, plot.height)
    many = crowded(len(zone.kites))
    spots = [] if many else [_spot(kite, zone) for kite in zone.kites]
    points.take(plot, spots, room)
    _bands(plot, zone)
    if many:
        plot.upright(_crowd(zone.kites, plot.x, plot.width, _unit(zone)), "ks-ink kw-hair kp-half")
    if zone.own:
        _own(plot, zone.own, zone, sheet, room)
    elif not sheet.narrow:
        _example(plot, zone, sheet, room)
    _names(plot, zone, sheet, room)
    points.draw(plot, spots, sheet, root, room)
    return words.note(board, f"{_key(zone)} {told_of(zone.who, zone.book)}", sheet, LEFT, TOP + plot.height + 46)


@lru_cache(maxsize=32)
def _crowd(kites: tuple[Liked, ...], x: Axis, width: float, unit: scale.Scale) -> list[points.Bar]:
    """The bars of hundreds of kites, joined where they meet: the same behind every kite of the book."""
    bars = [(unit(kite.flex.value), unit(kite.low), unit(kite.high)) for kite in kites]
    return points.joined(x, width, bars)


def _unit(zone: Zone) -> scale.Scale:
    return scale.shown("wind", zone.book.book.settings.units)


def told_of(who: FlyerFindings, book: BookFindings) -> str:
    """How much stands behind the band."""
    kites = f"{who.kites} kite" + ("s" if who.kites != 1 else "")
    if who.ratio_low is None or who.ratio_high is None:
        return f"{kites} on record for {who.name}: too few for a band."
    told = f"{kites} on record: {who.name} likes {who.ratio_low:.2f} to {who.ratio_high:.2f} times the flex wind."
    if who.left_out_error is None:
        return told
    off = show(who.left_out_error, "ratio", book.book.settings.units)
    return f"{told} Each kite judged by the others is off by {off}."


def _key(zone: Zone) -> str:
    dashed = "" if all(kite.flown for kite in zone.kites) else " Dotted bars: not flown yet, predicted."
    band = " Pale: where 19 in 20 new kites would be liked." if zone.who.ratio_lowest else ""
    return f"Bars: the wind {zone.who.name} liked a kite in.{dashed}{band}"


def _plot(board: Board, zone: Zone, sheet: Sheet) -> Plot:
    units = zone.book.book.settings.units
    unit, seen = _unit(zone), (*zone.kites, zone.own) if zone.own else zone.kites
    flexes = [unit(kite.flex.value) for kite in seen]
    liked = [unit(min(kite.low for kite in seen)), unit(max(kite.high for kite in seen))]
    few = 5 if sheet.narrow else 9
    along = words.wind_axis(min(flexes), max(flexes), few, f"the wind it flexes in, {unit.unit}", units, far=False)
    up = words.wind_axis(min(liked), max(liked), few, f"liked best in, {unit.unit}", units, far=not sheet.narrow)
    width = sheet.width - LEFT - (14 if sheet.narrow else 44)
    return board.plot(LEFT, TOP, width, TALL[sheet.shape], along, up)


def _ray(plot: Plot, ratio: float, clamped: bool = False) -> list[tuple[float, float]]:
    """The line liked = ratio × flex inside the plot; clamped, it goes on along the plot's edge."""
    x, y = plot.x, plot.y
    stops = sorted({x.low, x.high, *(e / ratio for e in (y.low, y.high) if x.low < e / ratio < x.high)})
    inside = [v for v in stops if clamped or y.low * (1 - 1e-9) <= ratio * v <= y.high * (1 + 1e-9)]
    return [(v, y.inside(ratio * v)) for v in inside]


def _bands(plot: Plot, zone: Zone) -> None:
    """Where 19 in 20 new kites would be liked, in it what is liked; the zones of the others by their edges."""
    who = zone.who
    if who.ratio_low is None:
        return
    for low, high, inks in (
        (who.ratio_lowest, who.ratio_highest, "kf-sky kp-half"),
        (who.ratio_low, who.ratio_high, "kf-sky"),
    ):
        if low and high:
            plot.line(_ray(plot, low, clamped=True) + _ray(plot, high, clamped=True)[::-1], inks)
    for ratio in (who.ratio_lowest, who.ratio_highest):
        if ratio and len(ray := _ray(plot, ratio)) > 1:
            plot.line(ray, "ks-soft kw-fine kd-dot")
    for ratio, _ in _beyond(zone):
        if len(ray := _ray(plot, ratio)) > 1:
            plot.line(ray, "ks-soft kw-hair kd-long")


def _beyond(zone: Zone) -> list[tuple[float, str]]:
    """Where other flyers' zones reach beyond this one's, as ratios, with what is said of it."""
    low, high = zone.who.ratio_low or 0.0, zone.who.ratio_high or math.inf
    up = [(o.ratio_high, f"{o.name} likes up to here") for o in zone.others if o.ratio_high and o.ratio_high > high]
    return up + [(o.ratio_low, f"{o.name} likes from here") for o in zone.others if o.ratio_low and o.ratio_low < low]


def _spot(kite: Liked, zone: Zone) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units, unit = zone.book.book.settings.units, _unit(zone)
    ink = "soft" if zone.own else "ink"
    inks = f"ks-{ink} {weight(len(zone.kites))}" if kite.flown else "ks-soft kw-line kd-dot"
    low, high = unit(kite.low), unit(kite.high)
    liked = f"{'liked best in' if kite.flown else 'predicted for'} {winds(units, Range(kite.low, kite.high))}"
    says = f"{kite.name}: flexes at {spelled(units, 'wind', kite.flex)}, {liked}"
    across, middle = points.reach(kite.flex, zone.book.coverage, unit), math.sqrt(low * high)
    at = unit(kite.flex.value), high
    return Spot(kite.kite, kite.name, *at, says, inks, bar=(low, high), across=across, level=middle)


def _own(plot: Plot, own: Liked, zone: Zone, sheet: Sheet, room: Room) -> None:
    """The page's own kite, in the accent: flown as a bar, predicted dashed; its flex wind with its 95 %."""
    unit = _unit(zone)
    at, low, high = unit(own.flex.value), unit(own.low), unit(own.high)
    left, right = points.reach(own.flex, zone.book.coverage, unit)
    plot.level([(math.sqrt(low * high), left, right)], "ks-accent kw-fine")
    plot.upright([(at, low, high)], "ks-accent kw-heavy" + ("" if own.flown else " kd-dash"))
    (x, top), (_, foot) = plot.px(at, high), plot.px(at, low)
    x, top, foot = x - plot.left, top - plot.top, foot - plot.top
    room.take(x - 3, top, x + 3, foot)
    said = own.name if own.flown else f"{own.name}, predicted"
    label = room.beside(x, top, said, sheet.text, most=30) or room.beside(x, foot, said, sheet.text, most=30)
    if label is None:  # nothing is free: over the bar, on a halo, since this name must be there
        half = wide(said[:30], sheet.text) / 2
        label = Label(min(max(x, half), plot.width - half), max(top - 8, 12), said[:30], "middle")
        room.take(label.x - half, label.y - 10, label.x + half, label.y + 3)
    inks = "kt-name kt-accent kt-halo"
    plot.board.write(plot.left + label.x, plot.top + label.y, label.text, inks, label.anchor)


def _example(plot: Plot, zone: Zone, sheet: Sheet, room: Room) -> None:
    """How the chart is read, in the accent: from a wind across to the middle of the zone, and down to its bow."""
    if zone.who.ratio_low is None:
        return
    unit = _unit(zone)
    middle = math.sqrt(plot.y.low * plot.y.high)
    liked = min(plot.y.ticks, key=lambda tick: abs(math.log(tick / middle)))
    flex = unit(flex_for(zone.who, liked / unit.per_si).value)
    if not plot.x.low < flex < plot.x.high:
        return
    plot.line([(plot.x.low, liked), (flex, liked), (flex, plot.y.low)], "ks-accent kw-fine")
    said = f"For {scale.text(liked)} {unit.unit}, bend a bow that flexes at {flex:.2g}."
    how = f"From {scale.text(liked)} on the left go across to the middle of the zone, then down."
    right, foot = plot.width - 10, plot.height - 12
    for text, down, size, inks in (
        (how, foot, sheet.small, "kt-small kt-soft"),
        (said, foot - 18, sheet.text, "kt-accent"),
    ):
        if room.fits(Label(right, down, text, "end"), wide(text, size), size):
            plot.board.write(plot.left + right, plot.top + down, text, f"{inks} kt-halo", "end")


def _names(plot: Plot, zone: Zone, sheet: Sheet, room: Room) -> None:
    """The bands named inside their upper edges and what reaches beyond them outside, as far right as there is room."""
    low = zone.who.ratio_low or 0.0
    inside, outside = 14.0, -5.0
    named: list[tuple[float | None, str, float]] = [(zone.who.ratio_high, f"{zone.who.name} likes", inside)]
    named.append((zone.who.ratio_highest, "19 in 20 new kites", outside))
    named += [(ratio, text, inside if ratio < low else outside) for ratio, text in _beyond(zone)]
    for ratio, text, drop in named:
        ends = [plot.px(*point) for point in _ray(plot, ratio)] if ratio else []
        if len(ends) > 1:
            _along(plot, ends, text, drop, sheet.small, room)


def _along(plot: Plot, ends: Sequence[tuple[float, float]], text: str, drop: float, size: float, room: Room) -> None:
    """Write a text under a rising line, its start near it, or with a `drop` under 0 over it, its end near it."""
    long = wide(text, size)
    (x0, y0), (x1, y1) = ((x - plot.left, y - plot.top) for x, y in (ends[0], ends[-1]))
    slope = (y0 - y1) / max(x1 - x0, 1e-9)
    x = x1 - 8
    while x - long > x0:
        near = x - long if drop > 0 else x
        label = Label(x, y1 + slope * (x1 - near) + drop, text, "end")
        if room.fits(label, long, size):
            plot.board.write(plot.left + label.x, plot.top + label.y, text, "kt-small kt-soft kt-halo", "end")
            return
        x -= 8
