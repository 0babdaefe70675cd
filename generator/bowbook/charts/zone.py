"""Which stiffness for which wind: one flyer's kites, log against log, so that their zone is a straight band."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts import points, scale, words, zone_marks, zone_rows
from bowbook.charts.board import HOLLOW
from bowbook.charts.labels import Room
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.points import Spot, crowded, weight
from bowbook.charts.sails import DrawnSail, PlacedSail
from bowbook.charts.sheet import TOP, Sheet
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, FlyerFindings
from bowbook.wording import numbers

if TYPE_CHECKING:
    from bowbook.charts.board import Board

LEFT = 44.0  # px beside a plot, for its upright axis
TALL = {"broad": 520.0, "wide": 340.0, "narrow": 250.0}
SAIL = {"broad": 30.0, "wide": 22.0}  # px, the largest side of a kite hung on its bar
MOST_SAILS = 60


class LikedKite(Struct, frozen=True):
    """One kite: the wind it flexes in, and the wind this flyer liked it in or, not flown, is expected to; m/s."""

    kite: str
    name: str
    flex: Measured
    low: float
    high: float
    flown: bool = True
    sail: DrawnSail | None = None


class ZoneData(Struct, frozen=True):
    """What is drawn of one flyer: their findings and kites; the page's own kite; the others whose zones stand by."""

    who: FlyerFindings
    book: BookFindings
    kites: tuple[LikedKite, ...]
    own: LikedKite | None = None
    others: tuple[FlyerFindings, ...] = ()

    @property
    def sails(self) -> tuple[DrawnSail, ...]:
        """The silhouettes that are hung on the chart: of few enough kites to tell them apart."""
        known = tuple(kite.sail for kite in self.kites if kite.sail)
        return known if len(known) <= MOST_SAILS and self.own is None else ()

    @property
    def unit(self) -> scale.Scale:
        """The unit that winds are shown in."""
        return scale.shown("wind", self.book.book.settings.units)


def draw(board: Board, zone: ZoneData, sheet: Sheet, root: str) -> float:
    """The zone with its edges, the kites' bars in it, the page's own kite in front; gives the height."""
    if sheet.narrow and zone.sails:
        return zone_rows.draw(board, zone, sheet, root)
    plot = _plot(board, zone, sheet)
    room = Room(plot.width, plot.height)
    many = crowded(len(zone.kites))
    spots = [] if many else [_spot(kite, zone) for kite in zone.kites]
    points.take(plot, spots, room)
    for spot in spots if zone.sails else ():  # the kites are hung in the middle of their bars
        x, y = plot.px(spot.x, spot.level or spot.y)
        half = 0.4 * SAIL[sheet.shape]
        room.take(x - plot.left - half, y - plot.top - half, x - plot.left + half, y - plot.top + half)
    zone_marks.bands(plot, zone)
    if many:
        plot.upright(_crowd(zone.kites, plot.x, plot.width, zone.unit), "ks-ink kw-hair kp-half")
    if zone.own:
        zone_marks.own_kite(plot, zone.own, zone, sheet, room)
    elif not sheet.narrow:
        zone_marks.example(plot, zone, sheet, room)
    zone_marks.names(plot, zone, sheet, room)
    points.draw(plot, spots, sheet, root, room)
    if zone.sails:
        _hang(plot, zone, SAIL[sheet.shape], root)
    return words.write_note(board, f"{_key(zone)} {told_of(zone.who, zone.book)}", sheet, LEFT, TOP + plot.height + 46)


def _hang(plot: Plot, zone: ZoneData, size: float, root: str) -> None:
    """The kites on their bars, those not flown yet hollow."""
    for flown, inks in ((True, "k-sail"), (False, HOLLOW)):
        hung = [
            PlacedSail(
                kite.sail,
                *plot.px(zone.unit(kite.flex.value), zone.unit(math.sqrt(kite.low * kite.high))),
                size,
                words.page_of(kite.kite, root),
            )
            for kite in zone.kites
            if kite.sail and kite.flown is flown
        ]
        if hung:
            plot.board.hang(hung, inks)


@lru_cache(maxsize=32)
def _crowd(kites: tuple[LikedKite, ...], x: Axis, width: float, unit: scale.Scale) -> list[points.Bar]:
    """The bars of hundreds of kites, joined where they meet: the same behind every kite of the book."""
    bars = [(unit(kite.flex.value), unit(kite.low), unit(kite.high)) for kite in kites]
    return points.joined(x, width, bars)


def told_of(who: FlyerFindings, book: BookFindings) -> str:
    """How much stands behind the band."""
    kites = f"{who.kites} kite" + ("s" if who.kites != 1 else "")
    if who.ratio_low is None or who.ratio_high is None:
        return f"{kites} on record for {who.name}: too few for a band."
    told = f"{kites} on record: {who.name} likes {who.ratio_low:.2f} to {who.ratio_high:.2f} times the flex wind."
    if who.left_out_error is None:
        return told
    off = numbers.share(who.left_out_error, book.book.settings.units)
    return f"{told} Each kite judged by the others is off by {off}."


def _key(zone: ZoneData) -> str:
    dashed = "" if all(kite.flown for kite in zone.kites) else " Dotted bars: not flown yet, predicted."
    band = " Pale: where 19 in 20 new kites would be liked." if zone.who.ratio_lowest else ""
    return f"Bars: the wind {zone.who.name} liked a kite in.{dashed}{band}"


def _plot(board: Board, zone: ZoneData, sheet: Sheet) -> Plot:
    units = zone.book.book.settings.units
    unit, seen = zone.unit, (*zone.kites, zone.own) if zone.own else zone.kites
    flexes = [unit(kite.flex.value) for kite in seen]
    liked = [unit(min(kite.low for kite in seen)), unit(max(kite.high for kite in seen))]
    few = 5 if sheet.narrow else 9
    along = words.wind_axis(min(flexes), max(flexes), few, f"the wind it flexes in, {unit.unit}", units, far=False)
    up = words.wind_axis(min(liked), max(liked), few, f"liked best in, {unit.unit}", units, far=not sheet.narrow)
    width = sheet.width - LEFT - (14 if sheet.narrow else 44)
    return board.plot(LEFT, TOP, width, TALL[sheet.shape], along, up)


def _spot(kite: LikedKite, zone: ZoneData) -> Spot:
    """One kite's bar: dark where it was flown, dotted where it is only predicted."""
    units, unit = zone.book.book.settings.units, zone.unit
    ink = "soft" if zone.own else "ink"
    inks = f"ks-{ink} {weight(len(zone.kites))}" if kite.flown else "ks-soft kw-line kd-dot"
    low, high = unit(kite.low), unit(kite.high)
    says = words.liked_in(kite.name, kite.flex, kite.low, kite.high, kite.flown, units)
    across, middle = points.reach(kite.flex, zone.book.coverage, unit), math.sqrt(low * high)
    at = unit(kite.flex.value), high
    return Spot(kite.kite, kite.name, *at, says, inks, bar=(low, high), across=across, level=middle)
