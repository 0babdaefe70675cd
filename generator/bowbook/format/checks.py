"""What cannot be on any kite: checks of one kite's record against itself, each with its sentence."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from bowbook.book.quantities import HasUnits
from bowbook.book.records import Bow, Bridle, Droop, Flight, Kite, Press, Reading, Round, Sag, Wind
from bowbook.book.sail import Sail
from bowbook.book.units import show, show_range
from bowbook.format.build_records import records_in

Say = Callable[[str, str, str], None]  # path, what is wrong, what to write instead

_SLACK = 1 + 1e-9  # lengths written in two units may differ in the last figure
_GUST = 1.2  # by how much winds noted on one field may differ between meter, gust and memory
LEAST_SPAN = 0.2  # of the length: no bow is bent further
MOST_SAG = 0.1  # of the span: beyond it the simple bend is some ten per cent wrong


def check_kite(kite: Kite, values: Mapping[str, Any], units: HasUnits, say: Say) -> None:
    """Says everything that cannot be in one kite. `values` are the plain ones the record was built from."""
    if "outline" in values.get("sail", {}):
        _outline(kite.sail, units, say)
    check_bow(kite.bow, values.get("bow", {}), "bow", kite.spine.length_m, units, say)
    length_m = _longest_bow(kite)
    for i, (one, found) in enumerate(zip(kite.bench, records_in(values.get("bench", ())), strict=True)):
        check_round(one, found, f"bench.{i}", length_m, units, say)
    if kite.covered is not None:
        check_press(kite.covered.left, "covered.left", length_m, units, say)
        check_press(kite.covered.right, "covered.right", length_m, units, say)
    _bridle(kite.bridle, kite.spine.length_m, units, say)
    for i, flight in enumerate(kite.flights):
        _flight(flight, f"flights.{i}", units, say)


def check_section(values: Mapping[str, Any], path: str, units: HasUnits, say: Say) -> None:
    """Says what cannot be in a cross-section."""
    kinds = [kind for kind in ("round", "tube") if kind in values]
    if "wide" in values or "thick" in values:
        kinds.append("wide and thick")
    if len(kinds) > 1:
        say(path, f"a rod cannot be {' and '.join(kinds)} at once", "Keep round, or tube, or wide and thick.")
    tube = values.get("tube")
    if tube and tube[1] >= tube[0]:
        inner, outer = show(tube[1], "thin", units), show(tube[0], "thin", units)
        say(f"{path}.tube", f"a tube of {outer} cannot have a bore of {inner}", "Write the outer diameter first.")


def _longest_bow(kite: Kite) -> float | None:
    """The length of the longest bow the kite ever had; None where any is not known."""
    bows = [kite.bow] if kite.bow.length_m is not None or not kite.bows else []
    lengths = [bow.length_m for bow in (*bows, *kite.bows.values(), *(c.bow for c in kite.changes if c.bow))]
    return None if None in lengths or not lengths else max(length for length in lengths if length is not None)


def _outline(sail: Sail, units: HasUnits, say: Say) -> None:
    path = "sail.outline"
    points = [(corner.out_m, corner.down_m) for corner in sail.corners]
    if len(points) < 3:
        return
    for i, name in ((0, "first"), (-1, "last")):
        if points[i][0] > 1e-9:
            out = show(points[i][0], "length", units)
            number = i % len(points)
            down = show(points[i][1], "length", units)
            say(
                f"{path}.{number}",
                f"the {name} point of the outline is {out} off the centreline",
                f"Write [0, {down}].",
            )
            return
    for i in range(1, len(points)):
        if points[i] == points[i - 1]:
            say(f"{path}.{i}", "this point of the outline stands twice", "Delete one of them.")
            return
    crossing = _crossing(points)
    if crossing is not None:
        say(
            f"{path}.{crossing[1]}",
            f"the outline crosses itself: the stretch to point {crossing[1] + 1} cuts that to point {crossing[0] + 1}",
            "Write the points in order, from the nose along the edge to the tail.",
        )
        return
    if points[-1][1] <= points[0][1]:
        say(
            f"{path}.{len(points) - 1}",
            "the tail is not below the nose",
            "Write the points from the nose down to the tail.",
        )
    elif max(x for x, _ in points) < 1e-3:
        say(
            path,
            "the outline has no width",
            "Write the points of the right half, from the nose along the edge to the tail.",
        )
    elif min(x for x, _ in sail.outline) < -1e-9 or _crossing(sail.outline) is not None:
        say(path, "a curved edge of the outline crosses another edge or the centreline", "Make its curve smaller.")


def _crossing(points: Sequence[tuple[float, float]]) -> tuple[int, int] | None:
    """The ends' numbers of two stretches of the outline that touch without being neighbours, or None."""
    stretches = list(pairwise(points))
    for j in range(1, len(stretches)):
        (ax, ay), (bx, by) = stretches[j]
        left, right = (ax, bx) if ax < bx else (bx, ax)
        upper, lower = (ay, by) if ay < by else (by, ay)
        for i in range(j):
            (cx, cy), (dx, dy) = stretches[i]
            if max(cx, dx) < left or min(cx, dx) > right or max(cy, dy) < upper or min(cy, dy) > lower:
                continue
            if i == j - 1:
                if _doubles_back(stretches[i], stretches[j]):
                    return i + 1, j + 1
            elif _touch(stretches[i], stretches[j]):
                return i + 1, j + 1
    return None


Stretch = tuple[tuple[float, float], tuple[float, float]]


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _doubles_back(one: Stretch, two: Stretch) -> bool:
    if _turn(one[0], one[1], two[1]) != 0:
        return False
    return (one[1][0] - one[0][0]) * (two[1][0] - two[0][0]) + (one[1][1] - one[0][1]) * (two[1][1] - two[0][1]) < 0


def _touch(one: Stretch, two: Stretch) -> bool:
    a, b = _turn(*one, two[0]), _turn(*one, two[1])
    c, d = _turn(*two, one[0]), _turn(*two, one[1])
    if a == b == c == d == 0:  # on one line: the boxes of the two were found to overlap
        return True
    return a * b <= 0 and c * d <= 0


def check_bow(bow: Bow, values: Mapping[str, Any], path: str, spine_m: float | None, units: HasUnits, say: Say) -> None:
    """Says what cannot be in a bow; `values` are the plain ones it was built from."""
    _sections(values.get("sections", {}), f"{path}.sections", bow.length_m, units, say)
    if bow.length_m is not None and bow.span_m is not None:
        span, length = show(bow.span_m, "length", units), show(bow.length_m, "length", units)
        if bow.span_m >= bow.length_m:
            say(
                f"{path}.span",
                f"a span of {span} is not shorter than the bow of {length}: nothing would be bent",
                "Write the span from tip to tip with the bow strung, and its length along the rod.",
            )
        elif bow.span_m < LEAST_SPAN * bow.length_m:
            say(
                f"{path}.span",
                f"a bow of {length} is not bent to a span of {span}: its tips would all but meet",
                "Look at both figures and at their units.",
            )
    _beyond(f"{path}.crosses", bow.crosses_m, spine_m, "the bow crosses the spine", units, say)


def _beyond(path: str, at_m: float | None, spine_m: float | None, what: str, units: HasUnits, say: Say) -> None:
    if at_m is not None and spine_m is not None and at_m > spine_m * _SLACK:
        at, spine = show(at_m, "length", units), show(spine_m, "length", units)
        say(
            path,
            f"{what} {at} below the nose, beyond its end at {spine}",
            "Measure from the nose; look at the spine's length too.",
        )


def _sections(values: Mapping[str, Any], within: str, length_m: float | None, units: HasUnits, say: Say) -> None:
    for side in ("left", "right"):
        before, shape = -1.0, ""
        for i, station in enumerate(records_in(values.get(side, ()))):
            path = f"{within}.{side}.{i}"
            check_section(station, path, units, say)
            kind = next((kind for kind in ("round", "tube", "wide") if kind in station), shape)
            if shape and kind != shape:
                named = " and ".join("flat" if kind == "wide" else kind for kind in (shape, kind))
                say(path, f"the stations of one half are {named}", "Write every station of a half the same way.")
                break
            shape = kind
            at = station.get("at")
            if at is None:
                continue
            if at <= before:
                say(
                    f"{path}.at",
                    "this station is not further out than the one before",
                    "Write them from the centre mark outward.",
                )
            before = at
            if length_m is not None and at > length_m / 2 * _SLACK:
                half = show(length_m / 2, "length", units)
                said = show(at, "length", units)
                say(f"{path}.at", f"a station at {said} is beyond the tip: the half ends at {half}", _FROM_CENTRE)


_FROM_CENTRE = "Measure from the centre mark outward."


def check_round(
    one: Round, found: Mapping[str, Any], path: str, length_m: float | None, units: HasUnits, say: Say
) -> None:
    """Says what cannot be in a round; `found` are the plain values it was built from."""
    for side, reading in (("left", one.left), ("right", one.right), ("whole", one.whole)):
        _reading(reading, f"{path}.{side}", length_m, units, say)
    if one.skin_on and any(isinstance(reading, Sag | Droop) for reading in (one.left, one.right)):
        say(f"{path}.skin", "with the skin on a half is pressed, not hung with weights", "Press it, or delete skin.")
    if one.tips is not None and length_m is not None and one.tips.back_m >= length_m / 2:
        say(f"{path}.tips.back", "the tips cannot be pressed back by half the bow", "A tenth of the half span is best.")
    for i, shave in enumerate(records_in(found.get("shave", ()))):
        _shave(shave, f"{path}.shave.{i}", length_m, units, say)


def _shave(shave: Mapping[str, Any], path: str, length_m: float | None, units: HasUnits, say: Say) -> None:
    if shave and "side" not in shave:
        first = next(iter(shave))
        say(path, f"{first} without a side: which half was shaved?", "Add side: left or side: right.")
    zone = shave.get("zone")
    if zone is not None and zone.unit == "m" and length_m is not None and zone.end > length_m / 2 * _SLACK:
        half = show(length_m / 2, "length", units)
        say(f"{path}.zone", f"the zone {zone.label} reaches beyond the tip: the half ends at {half}", _FROM_CENTRE)


def _reading(reading: Reading | None, path: str, length_m: float | None, units: HasUnits, say: Say) -> None:
    if isinstance(reading, Press):
        check_press(reading, path, length_m, units, say)
    elif isinstance(reading, Droop):
        _longer(f"{path}.droop.length", reading.length_m, length_m, units, say)
        if max(reading.drops_m) >= reading.length_m:
            drop, length = show(max(reading.drops_m), "length", units), show(reading.length_m, "length", units)
            say(
                f"{path}.droop.drop",
                f"a drop of {drop} with {length} free would hang beyond vertical",
                "Hang a smaller weight, and write the drop straight down from the level.",
            )
    elif isinstance(reading, Sag):
        _longer(f"{path}.sag.span", reading.span_m, length_m, units, say)
        if max(reading.drops_m) > MOST_SAG * reading.span_m:
            drop, span = show(max(reading.drops_m), "length", units), show(reading.span_m, "length", units)
            say(
                f"{path}.sag.drop",
                f"a sag of {drop} over {span} is too deep to read a stiffness from",
                "Hang a smaller weight: the drop should stay under a tenth of the span.",
            )


def check_press(press: Press | None, path: str, length_m: float | None, units: HasUnits, say: Say) -> None:
    """Says what cannot be in a press reading."""
    if press is None:
        return
    _longer(f"{path}.length", press.length_m, length_m, units, say)
    free = press.length_m or length_m
    if press.rise_m is not None and free is not None and press.rise_m >= free / 2:
        rise, length = show(press.rise_m, "length", units), show(free, "length", units)
        say(f"{path}.rise", f"{length} of rod cannot bow out by {rise}", "Write how far its middle moved sideways.")


def _longer(path: str, free_m: float | None, length_m: float | None, units: HasUnits, say: Say) -> None:
    if free_m is not None and length_m is not None and free_m > length_m * _SLACK:
        free, length = show(free_m, "length", units), show(length_m, "length", units)
        say(path, f"{free} of a bow that is only {length} long", "Look at both lengths.")


def _bridle(bridle: Bridle, spine_m: float | None, units: HasUnits, say: Say) -> None:
    _beyond("bridle.upper_at", bridle.upper_at_m, spine_m, "the upper leg ties on", units, say)
    _beyond("bridle.lower_at", bridle.lower_at_m, spine_m, "the lower leg ties on", units, say)
    if bridle.upper_at_m is None or bridle.lower_at_m is None:
        return
    apart = bridle.lower_at_m - bridle.upper_at_m
    if apart <= 0:
        say("bridle.lower_at", "the lower leg ties on no lower than the upper one", "Both are measured from the nose.")
        return
    if bridle.upper_m is None or bridle.lower_m is None:
        return
    shown = show(apart, "length", units)
    if bridle.upper_m + bridle.lower_m <= apart:
        say("bridle", f"the legs cannot meet: they tie on {shown} apart and are shorter than that together", _LEGS)
    elif abs(bridle.upper_m - bridle.lower_m) >= apart:
        longer, shorter = ("upper", "lower") if bridle.upper_m > bridle.lower_m else ("lower", "upper")
        say(
            f"bridle.{longer}",
            f"the legs cannot meet: tied on {shown} apart, the {longer} leg hangs slack when the {shorter} one is taut",
            _LEGS,
        )


def edges(wind: Wind) -> tuple[float, float]:
    """The least and the greatest wind that may be meant, m/s."""
    return wind.low_m_s or 0.0, float("inf") if wind.high_m_s is None else wind.high_m_s


_LEGS = "Measure each leg from the spine to the tow point."


def _flight(flight: Flight, path: str, units: HasUnits, say: Say) -> None:
    wind, best = flight.wind, flight.best
    if best is not None and best.high_m_s == 0:
        what = "a best wind of nothing says nothing of a flyer's comfort"
        say(f"{path}.best", what, "Leave it out; what blew may be nothing: wind: 0 mph.")
        return
    if wind is None or best is None or wind.at_10m != best.at_10m or wind.low_m_s == wind.high_m_s:
        return
    # only a best wind that never blew at all is surely a slip: what blew is written from memory and gusts
    (best_low, best_high), (low, high) = edges(best), edges(wind)
    if best_low > high * _GUST or best_high < low / _GUST:
        liked = show_range(best.low_m_s, best.high_m_s, "wind", units)
        blew = show_range(wind.low_m_s, wind.high_m_s, "wind", units)
        say(
            f"{path}.best",
            f"liked best at {liked}, but the wind that blew was {blew}",
            "Write as wind the weakest and the strongest that blew, and as best a part of it.",
        )
