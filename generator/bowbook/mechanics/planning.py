"""From a wind back to a bow: the stiffness it asks for, and what the scale must say."""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.mechanics.air import SEA_LEVEL_DENSITY, pressure_of_wind, wind_for_pressure
from bowbook.mechanics.cantilever import tip_drop
from bowbook.mechanics.column import PINNED, critical_load
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.section import Dimensions
from bowbook.mechanics.shaving import Taken, shave_depth

FLEX_DROP = 0.1  # of the half's length: where the tips have dropped back so far, a kite is said to flex


def drop_per_pressure(
    half: Profile, chord_edges: Sequence[float], chord_values: Sequence[float], width: float
) -> float:
    """How far one tip gives for each pascal on the sail.

    Parameters
    ----------
    half : EI(s) of bow and skin together, N m², s = 0 at the spine
    chord_edges, chord_values : the sail's chord at distances from the centreline, m, as `sail.chord` gives
    width : of the sail, m, > 0

    Returns
    -------
    Drop of the tip over pressure, m/Pa. The chord at s is the sail's own at s · (width/2)/length of the half.

    Raises
    ------
    ValueError : a quantity is not positive, or the chord reaches past the width.

    >>> drop_per_pressure(Profile.uniform(0.02, 0.3), (0.0, 0.3), (0.26, 0.26), 0.6)
    0.01316250
    """
    positive("the width of the sail", width, "m")
    along = 2 * half.length / width
    return tip_drop(half, [min(edge * along, half.length) for edge in chord_edges], chord_values)


def flex_wind(drop_m_per_Pa: float, half_length: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The wind in which a kite flexes: where its tips drop back by a tenth of the half.

    Parameters
    ----------
    drop_m_per_Pa : drop of the tip over pressure, m/Pa, mean of both sides, > 0
    half_length : m, > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    √(2q/ρ) with q = 0.1 ℓ / drop per pressure; m/s.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> flex_wind(0.01316250, 0.3)
    1.929027
    """
    positive("the drop of the tip", drop_m_per_Pa, "m/Pa")
    positive("the length of the half", half_length, "m")
    return wind_for_pressure(FLEX_DROP * half_length / drop_m_per_Pa, rho)


def rigidity_for_flex(
    flex: float,
    half_length: float,
    chord_edges: Sequence[float],
    chord_values: Sequence[float],
    width: float,
    rho: float = SEA_LEVEL_DENSITY,
) -> float:
    """The stiffness, bow and skin together, that makes a sail flex in a wind.

    Parameters
    ----------
    flex : wind, m/s, > 0
    half_length : of the bow, m, > 0
    chord_edges, chord_values : the sail's chord at distances from the centreline, m, as `sail.chord` gives
    width : of the sail, m, > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    Flexural rigidity of an even half with its skin, N m².

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> rigidity_for_flex(1.9290274, 0.3, (0.0, 0.3), (0.26, 0.26), 0.6)
    0.0200000
    """
    unit = drop_per_pressure(Profile.uniform(1.0, half_length), chord_edges, chord_values, width)
    return pressure_of_wind(flex, rho) * unit / (FLEX_DROP * half_length)


def press_target(EI: float, length: float, hold: float = PINNED) -> float:
    """What the scale must say, in N, of an even half with rigidity `EI`, N m², over a free `length`, m.

    Raises
    ------
    ValueError : a quantity is not positive, or the hold factor is outside what ends can do.

    >>> press_target(0.02, 0.32)
    1.92765711
    """
    return critical_load(EI, length, hold)


def shave_to(EI: float, target: float, section: Dimensions) -> Taken:
    """How much to take off a rod all along so that its rigidity comes down to a target.

    Parameters
    ----------
    EI : rigidity of the rod as it comes, N m², > 0
    target : rigidity wanted, N m², > 0
    section : (kind, thick, wide, inner), m

    Returns
    -------
    What comes off the thickness or diameter, m; None with a reason where the rod is too soft as it comes or would be
    left too thin.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> shave_to(0.025, 0.020, ("flat", 0.002, 0.004, None)).taken_m
    0.00014336
    """
    positive("the stiffness of the rod", EI, "N m²")
    positive("the stiffness wanted", target, "N m²")
    if target > EI:
        return Taken(None, f"it is too soft: {EI / target:.0%} of the stiffness wanted")
    return shave_depth(section, target / EI)
