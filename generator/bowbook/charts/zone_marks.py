"""What stands in and around a flyer's zone: its bands and their names, the page's own kite, how it is read."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from bowbook.charts import points, scale
from bowbook.charts.labels import Label, Room, shortened, wide
from bowbook.charts.plot import Plot
from bowbook.charts.sheet import Sheet
from bowbook.findings.flyers import flex_for

if TYPE_CHECKING:
    from bowbook.charts.zone import LikedKite, ZoneData


def bands(plot: Plot, zone: ZoneData) -> None:
    """Where 19 in 20 new kites would be liked, in it what is liked; the zones of the others by their edges."""
    who = zone.who
    if who.ratio_low is None:
        return
    for low, high, inks in (
        (who.ratio_lowest, who.ratio_highest, "kf-zone kp-half"),
        (who.ratio_low, who.ratio_high, "kf-zone"),
    ):
        if low and high:
            plot.line(_edge(plot, low) + _edge(plot, high)[::-1], inks)
    for ratio in (who.ratio_lowest, who.ratio_highest):
        if ratio and len(ray := _ray(plot, ratio)) > 1:
            plot.line(ray, "ks-soft kw-fine kd-dot")
    for ratio, _ in _beyond(zone):
        if len(ray := _ray(plot, ratio)) > 1:
            plot.line(ray, "ks-soft kw-hair kd-long")


def own_kite(plot: Plot, own: LikedKite, zone: ZoneData, sheet: Sheet, room: Room) -> None:
    """The page's own kite, in the accent: flown as a bar, predicted dashed; its flex wind with its 95 %."""
    unit = zone.unit
    at, low, high = unit(own.flex.value), unit(own.low), unit(own.high)
    left, right = points.reach(own.flex, zone.book.coverage, unit)
    plot.level([(math.sqrt(low * high), left, right)], "ks-accent kw-fine")
    plot.upright([(at, low, high)], "ks-accent kw-heavy" + ("" if own.flown else " kd-dash"))
    (x, top), (_, foot) = plot.px(at, high), plot.px(at, low)
    x, top, foot = x - plot.left, top - plot.top, foot - plot.top
    room.take(x - 3, top, x + 3, foot)
    said = shortened(own.name if own.flown else f"{own.name}, predicted", 30)
    label = room.beside(x, top, said, sheet.text, most=30) or room.beside(x, foot, said, sheet.text, most=30)
    if label is None:  # nothing is free: over the bar, on a halo, since this name must be there
        half = wide(said, sheet.text) / 2
        label = Label(min(max(x, half), plot.width - half), max(top - 8, 12), said, "middle")
        room.take(label.x - half, label.y - 10, label.x + half, label.y + 3)
    inks = "kt-name kt-accent kt-halo"
    plot.board.write(plot.left + label.x, plot.top + label.y, label.text, inks, label.anchor)


def reading(zone: ZoneData, low: float, high: float) -> tuple[float, float] | None:
    """A round wind between these and the flex wind of the bow to bend for it, in the unit shown; None without a zone.

    How to read the chart is said by this example.
    """
    if zone.who.ratio_low is None:
        return None
    middle = math.sqrt(low * high)
    liked = min(scale.ladder(low, high, 8), key=lambda tick: abs(math.log(tick / middle)), default=None)
    if liked is None:
        return None
    return liked, zone.unit(flex_for(zone.who, liked / zone.unit.per_si).value)


def example(plot: Plot, zone: ZoneData, sheet: Sheet, room: Room) -> None:
    """How the chart is read, in the accent: from a wind across to the middle of the zone, and down to its bow."""
    shown, unit = reading(zone, plot.y.low, plot.y.high), zone.unit
    if shown is None or not plot.x.low < shown[1] < plot.x.high:
        return
    liked, flex = shown
    low, high = (liked / ratio for ratio in (zone.who.ratio_high or 1.0, zone.who.ratio_low or 1.0))
    first, last = plot.x.inside(low), plot.x.inside(high)
    plot.line([(plot.x.low, liked), (first, liked)], "ks-accent kw-fine kd-dot")
    plot.level([(liked, first, last), (plot.y.low, first, last)], "ks-accent kw-line")
    plot.upright([(flex, plot.y.low, liked)], "ks-accent kw-fine")
    for end in (first, last):
        plot.upright([(end, plot.y.low, liked)], "ks-accent kw-fine kd-dot")
    said = f"For {scale.text(liked)} {unit.unit}, bend a bow that flexes at {flex:.2g}."
    how = f"Any bow from {low:.2g} to {high:.2g} has {scale.text(liked)} {unit.unit} in its zone."
    for across in (first, flex, last):
        x, y = plot.px(across, liked)
        room.take(x - plot.left - 2, y - plot.top, x - plot.left + 2, plot.height)
    long = max(wide(said, sheet.text), wide(how, sheet.small))
    for x, y, anchor in ((plot.width - 10, plot.height - 12, "end"), (10, 34, "start")):
        start = x - long if anchor == "end" else x
        if room.free(start, y - 30, start + long, y + 4):
            room.take(start, y - 30, start + long, y + 4)
            plot.board.write(plot.left + x, plot.top + y, how, "kt-small kt-soft kt-halo", anchor)
            plot.board.write(plot.left + x, plot.top + y - 18, said, "kt-accent kt-halo", anchor)
            return


def names(plot: Plot, zone: ZoneData, sheet: Sheet, room: Room) -> None:
    """The bands named under their edges, and what reaches beyond them outside, as far right as there is room."""
    low = zone.who.ratio_low or 0.0
    inside, outside = 14.0, -5.0
    named: list[tuple[float | None, str, float]] = [(zone.who.ratio_high, f"{zone.who.name} likes", inside)]
    named.append((zone.who.ratio_lowest, "19 in 20 new kites from here", inside))
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


def _beyond(zone: ZoneData) -> list[tuple[float, str]]:
    """Where other flyers' zones reach beyond this one's, as ratios, with what is said of it."""
    low, high = zone.who.ratio_low or 0.0, zone.who.ratio_high or math.inf
    up = [(o.ratio_high, f"{o.name} likes up to here") for o in zone.others if o.ratio_high and o.ratio_high > high]
    return up + [(o.ratio_low, f"{o.name} likes from here") for o in zone.others if o.ratio_low and o.ratio_low < low]


def _ray(plot: Plot, ratio: float) -> list[tuple[float, float]]:
    """The line liked = ratio × flex inside the plot."""
    y = plot.y
    return [(v, e) for v, e in _edge(plot, ratio) if y.low * (1 - 1e-9) <= ratio * v <= y.high * (1 + 1e-9)]


def _edge(plot: Plot, ratio: float) -> list[tuple[float, float]]:
    """The same line, going on along the plot's own edge where it leaves the plot: the edge of a band."""
    x, y = plot.x, plot.y
    stops = sorted({x.low, x.high, *(e / ratio for e in (y.low, y.high) if x.low < e / ratio < x.high)})
    return [(v, y.inside(ratio * v)) for v in stops]
