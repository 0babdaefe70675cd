"""Bringing the stiffer half down to the softer: over which stretch, how much, in how many strokes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache, lru_cache
from math import exp, log
from typing import NamedTuple, TypeAlias

import numpy as np

from bowbook.mechanics.column import buckled
from bowbook.mechanics.elastica import bend
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.roots import root
from bowbook.mechanics.section import Dimensions, taken_flat, taken_round, taken_tube
from bowbook.mechanics.taper import tapered_second_moment

Stations: TypeAlias = tuple[Sequence[float], Sequence[Dimensions]]

LEAST_LEFT = 0.5  # of the thickness, diameter or tube wall
_SOFTEST = 0.01  # of a zone's rigidity: nothing is shaved further


class ZoneFactor(NamedTuple):
    """What to leave of a zone's rigidity, or None and the reason."""

    factor: float | None
    reason: str | None = None


class TakenOff(NamedTuple):
    """How much to take off a thickness or diameter, m, or None and the reason."""

    taken_m: float | None
    reason: str | None = None


class Lean(NamedTuple):
    """How unlike the sides of a strung bow stand: deepest point off the middle, and the tips' slopes apart, rad."""

    asymmetry: float
    slopes_apart_rad: float


def zone_factor(profile: Profile, start: float, end: float, target_load: float) -> ZoneFactor:
    """What fraction of a zone's rigidity to leave so that a half presses at a target.

    Parameters
    ----------
    profile : EI(s) of the half, N m², s = 0 at the centre mark
    start, end : the zone, m from the centre mark
    target_load : critical load wanted of the half pinned at both ends, N, > 0

    Returns
    -------
    The factor on EI in the zone, above 0 and to 1, or None with a reason where the zone cannot do it.

    Raises
    ------
    ValueError : the zone is not on the half, or the target is not positive.

    Source: Newton's method on the column load; the slope d ln P/d ln f is the zone's share of the bending energy.

    >>> from bowbook.mechanics.column import pinned_column_load
    >>> half = Profile.uniform(1.0, 1.0)
    >>> zone_factor(half, 0.0, 1.0, 0.8 * pinned_column_load(half)).factor
    0.8
    """
    positive("the reading to come to", target_load, "N")
    whole = profile.with_zone(start, end, 1.0)
    f = 1.0
    for _ in range(40):
        load, share = _load_and_share(whole.with_zone(start, end, f), start, end)
        if f == 1.0:
            if load <= target_load * (1 - 1e-12):
                return ZoneFactor(
                    None, "this half already presses at less than is wanted; there is nothing to take off"
                )
            guess = 1 + (load / target_load - 1) / share  # of 1/f, and a little too near to 1
            step = -log(guess)
        else:
            step = (log(target_load) - log(load)) / share
        f = min(f * exp(step), 1.0)
        if f < _SOFTEST:
            return ZoneFactor(
                None, "shaving this stretch alone, even to nearly nothing, does not bring the half down so far"
            )
        if abs(step) < 1e-12:
            break
    return ZoneFactor(f)


def _load_and_share(profile: Profile, start: float, end: float) -> tuple[float, float]:
    """The pinned critical load, N, and which part of the bending energy lies between `start` and `end`."""
    load, points, y = buckled(profile)
    energy = points.weights * y**2 * points.softness
    inside = (points.s > start) & (points.s < end)
    return load, float(energy[inside].sum() / energy.sum())


def shave_depth(section: Dimensions, f: float) -> TakenOff:
    """How much to take off a section to leave a fraction of its rigidity.

    Parameters
    ----------
    section : (kind, thick, wide, inner), m
    f : fraction of EI to leave, above 0 and to 1

    Returns
    -------
    What comes off the thickness (flat) or the diameter (round, tube), m; None with a reason where less than half of
    the thickness, diameter or tube wall would be left.

    Raises
    ------
    ValueError : the fraction is outside 0 to 1, or the section is impossible.

    >>> shave_depth(("flat", 0.002, 0.004, None), 0.8)
    TakenOff(taken_m=0.00014336, reason=None)
    """
    kind, thick, _, inner = section
    if kind == "round":
        taken, left, of = taken_round(thick, f), 1 - taken_round(thick, f) / thick, "diameter"
    elif kind == "flat":
        taken, left, of = taken_flat(thick, f), 1 - taken_flat(thick, f) / thick, "thickness"
    else:
        if inner is None:
            raise ValueError("the inner diameter of a tube section is missing; it must be given")
        taken = taken_tube(thick, inner, f)
        left, of = 1 - taken / (thick - inner), "tube's wall"
    if left < LEAST_LEFT:
        return TakenOff(None, f"it would leave only {left:.0%} of the {of}, too thin to be safe; choose a softer rod")
    return TakenOff(taken)


def after_cut(stations: Stations, length: float, zone: tuple[float, float], depth: float, width: bool) -> Profile:
    """The second moment along a half once the same depth was taken off everywhere in a zone.

    Parameters
    ----------
    stations : places from the centre mark, m, and the section at each
    length : of the half, m, > 0
    zone : start and end, m from the centre mark
    depth : off the thickness, the diameter or, with `width`, the width; m, ≥ 0
    width : whether it comes off the width of a flat section

    Returns
    -------
    I(s), m⁴.

    Raises
    ------
    ValueError : the zone is not on the half, or a section is impossible.

    >>> one = ((0.0,), (("flat", 0.002, 0.004, None),))
    >>> after_cut(one, 0.3, (0.1, 0.2), 0.0002, False).at(np.array([0.05, 0.15])) * 1e12
    array([2.66666667, 1.944     ])
    """
    at_m, sections = stations
    whole = _uncut(tuple(at_m), tuple(sections), length)
    if depth == 0:
        return whole.with_zone(*zone, 1.0)
    thinner = [
        (kind, thick, wide - depth, inner) if width and wide is not None else (kind, thick - depth, wide, inner)
        for kind, thick, wide, inner in sections
    ]
    cut = tapered_second_moment(at_m, thinner, length)
    start, end = zone
    out = cut.part(start, end)
    if start > 1e-9 * length:
        out = whole.part(0.0, start).joined(out)
    return out if end >= (1 - 1e-9) * length else out.joined(whole.part(end, length))


@lru_cache(maxsize=8)
def _uncut(at_m: tuple[float, ...], sections: tuple[Dimensions, ...], length: float) -> Profile:
    """The second moment along a half as it is: looking for the depth of a cut asks for it at each."""
    return tapered_second_moment(at_m, sections, length)


def even_cut(load_after: Callable[[float], float], target_load: float, deepest: float) -> TakenOff:
    """How deep a cut, the same everywhere in a zone, brings a half down to the reading of the other.

    Parameters
    ----------
    load_after : the load, N, at which the half bows as it is pressed, after a cut of some depth, m
    target_load : load wanted, N, > 0
    deepest : the deepest cut that is safe, m, > 0

    Returns
    -------
    The depth, m, or None with a reason where the zone cannot do it.

    Raises
    ------
    ValueError : the target is not positive.

    >>> even_cut(lambda depth: (1 - depth) ** 3, 0.8, 0.5).taken_m
    0.0716822
    """
    positive("the reading to come to", target_load, "N")
    load_after = cache(load_after)
    if load_after(0.0) <= target_load * (1 - 1e-12):
        return TakenOff(None, "this half already presses at less than is wanted; there is nothing to take off")
    if load_after(deepest) > target_load:
        return TakenOff(
            None, f"shaving this stretch alone, even by {deepest * 1e3:.1f} mm, does not bring the half down so far"
        )
    return TakenOff(root(lambda depth: load_after(depth) - target_load, 0.0, deepest, 1e-11))


def deepest_cut(stations: Stations, zone: tuple[float, float], width: bool) -> float:
    """The deepest cut that leaves half of the least thickness, diameter, tube wall or width in a zone, m.

    >>> deepest_cut(((0.0, 0.3), (("round", 0.004, None, None), ("round", 0.002, None, None))), (0.0, 0.15), False)
    0.0015
    """
    at_m, sections = stations
    inside = [a for a in at_m if zone[0] < a < zone[1]]
    measures = [wide or 0.0 if width else thick - (inner or 0.0) for _, thick, wide, inner in sections]
    return LEAST_LEFT * min(float(np.interp(a, at_m, measures)) for a in (*zone, *inside))


def lean(left: Profile, right: Profile, span: float) -> Lean:
    """How unlike the two sides of a strung bow stand.

    Parameters
    ----------
    left, right : EI(s) of either half, any scale, s = 0 at the centre mark
    span : between the tips, m, above 0 and below the bow's length

    Returns
    -------
    Where the deepest point is, from mid-span over half the span, positive towards the right tip; and how much steeper
    the left tip stands than the right, rad.

    Raises
    ------
    ValueError : the span is impossible, or no shape was found.

    >>> lean(Profile.uniform(1.1, 0.3), Profile.uniform(1.0, 0.3), 0.552).asymmetry
    0.0258
    """
    bent = bend(left.reversed().joined(right), span)
    return Lean(2 * bent.deepest_x_m / span - 1, bent.slope_left_rad - bent.slope_right_rad)


@lru_cache(maxsize=256)
def card_factor(difference: float, start: float = 0.0, end: float = 1.0) -> float | None:
    """What fraction of a zone's rigidity to leave of an even half that is so much stiffer than the other.

    Parameters
    ----------
    difference : (stiffer − softer) / mean of the readings, above 0 and below 2
    start, end : the zone, as parts of the half

    Returns
    -------
    The factor on EI in the zone, or None where the zone cannot do it.

    Raises
    ------
    ValueError : the difference is outside its range, or the zone is not on the half.

    >>> card_factor(0.10)
    0.9047619
    """
    if not 0 < difference < 2:
        raise ValueError(f"the difference is {difference:g}; it must be above 0 and below 2")
    kept = (2 - difference) / (2 + difference)
    if (start, end) == (0.0, 1.0):
        return kept
    return zone_factor(Profile.uniform(1.0, 1.0), start, end, kept * np.pi**2).factor
