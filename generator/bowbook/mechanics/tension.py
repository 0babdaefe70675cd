"""The wind in which a kite flexes: its bow's tension against the wind's turning of each wing about the spine."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import asin, sqrt

from bowbook.mechanics.air import SEA_LEVEL_DENSITY, pressure_of_wind, wind_for_pressure
from bowbook.mechanics.limits import positive

FLEX_BACK = 0.1  # of the half span: where the tips stand back so far, a kite is said to flex
FARTHEST_BACK = 0.5


def folded_span(span: float) -> float:
    """The distance between the tips when both stand back by a tenth of the half span, m.

    >>> folded_span(0.59)
    0.5870426
    """
    return span * sqrt(1 - FLEX_BACK**2)


def first_moment(chord_edges: Sequence[float], chord_values: Sequence[float], half_span: float) -> float:
    """The first moment of half a sail about its spine.

    Parameters
    ----------
    chord_edges, chord_values : the sail's chord at distances from the centreline, m, as `sail.chord` gives
    half_span : as far out as the sail is held, m, > 0

    Returns
    -------
    ∫ c(y) y dy from the spine to the half span, m³.

    Raises
    ------
    ValueError : the half span is not positive.

    >>> first_moment((0.0, 0.295), (0.5, 0.0), 0.295)
    0.007252083
    """
    positive("the half span", half_span, "m")
    total = 0.0
    for (a, c), (b, d) in pairwise(zip(chord_edges, chord_values, strict=True)):
        end = min(b, half_span)
        if end <= a:
            continue
        slope = (d - c) / (b - a)
        total += (c - slope * a) * (end**2 - a**2) / 2 + slope * (end**3 - a**3) / 3
    return total


def flex_wind(thrust: float, span: float, moment: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The wind in which both tips stand back by a tenth of the half span.

    Parameters
    ----------
    thrust : of the bow at its folded span, N, > 0
    span : distance between the tips, strung, m, > 0
    moment : first moment of half the sail, m³, > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    √(2q/ρ) with q S₁ = T h/10; m/s, for a pressure coefficient of 1.

    Raises
    ------
    ValueError : a quantity is not positive.

    Source: balance of moments about the spine of a panel whose tip the bow pushes outward with its thrust.

    >>> flex_wind(0.5028276, 0.59, 7.252083e-3)
    1.827411
    """
    positive("the bow's tension", thrust, "N")
    positive("the span", span, "m")
    positive("the sail's moment about its spine", moment, "m³")
    return wind_for_pressure(thrust * FLEX_BACK * span / 2 / moment, rho)


def thrust_for_flex(flex: float, span: float, moment: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The tension of the bow, folded, that makes a kite flex in a wind.

    Parameters
    ----------
    flex : wind, m/s, > 0
    span : distance between the tips, strung, m, > 0
    moment : first moment of half the sail, m³, > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    Thrust, N.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> thrust_for_flex(1.8274107, 0.59, 7.252083e-3)
    0.5028276
    """
    positive("the span", span, "m")
    positive("the sail's moment about its spine", moment, "m³")
    return pressure_of_wind(flex, rho) * moment / (FLEX_BACK * span / 2)


def flex_from_tips(stiffness: float, span: float, moment: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The wind in which a kite flexes, from how hard its tips push back.

    Parameters
    ----------
    stiffness : force of one tip over its way, N/m, > 0
    span : distance between the tips, strung, m, > 0
    moment : first moment of half the sail, m³, > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    √(0.2 (F/δ) h²/(ρ S₁)), m/s.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> flex_from_tips(0.5028276 / 0.295, 0.59, 7.252083e-3)
    1.827411
    """
    positive("the stiffness of a tip", stiffness, "N/m")
    return flex_wind(stiffness * span / 2, span, moment, rho)


def fold_angle(wind: float, flex: float) -> float:
    """How far each wing folds back from the flat sail in a wind.

    Parameters
    ----------
    wind : m/s, > 0
    flex : the kite's flex wind, m/s, > 0

    Returns
    -------
    The angle whose sine is 0.1 (wind/flex)², rad: the tips stand back in proportion to the pressure, since the bow's
    tension hardly changes. No more than that of a sine of ½, beyond which it does.

    Raises
    ------
    ValueError : a wind is not positive.

    >>> fold_angle(5.0, 5.0), fold_angle(50.0, 5.0)
    (0.1001674, 0.5235988)
    """
    positive("the wind", wind, "m/s")
    positive("the flex wind", flex, "m/s")
    return asin(min(FARTHEST_BACK, FLEX_BACK * (wind / flex) ** 2))
