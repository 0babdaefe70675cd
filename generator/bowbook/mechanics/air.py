"""Air and wind: density, pressure, height, the Beaufort scale."""

from __future__ import annotations

from math import sqrt

from bowbook.mechanics.limits import positive, within

STANDARD_GRAVITY = 9.80665  # m/s²
SEA_LEVEL_DENSITY = 1.225  # kg/m³
BEAUFORT = (0.3, 1.6, 3.4, 5.5, 8.0, 10.8, 13.9, 17.2, 20.8, 24.5, 28.5, 32.7)  # lower limits of 1 to 12, m/s at 10 m


def density(altitude_m: float) -> float:
    """The density of standard air.

    Parameters
    ----------
    altitude_m : above sea level, −500 to 11000 m

    Returns
    -------
    Density, kg/m³.

    Raises
    ------
    ValueError : the altitude is outside the lowest layer of the standard atmosphere.

    Source: ICAO Doc 7488/3, ISO 2533: T = 288.15 − 0.0065 h, p = 101325 (T/288.15)^5.25588, R = 287.05287 J/kg K.

    >>> density(1000)
    1.111643
    """
    within("the altitude", altitude_m, -500.0, 11000.0, "m")
    T = 288.15 - 0.0065 * altitude_m
    p = 101325.0 * float((T / 288.15) ** 5.25588)
    return p / (287.05287 * T)


def wind_for_pressure(q: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The wind whose full pressure is q.

    Parameters
    ----------
    q : pressure, Pa, ≥ 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    √(2q/ρ), m/s, for a pressure coefficient of 1.

    Raises
    ------
    ValueError : the pressure is negative or the density not positive.

    >>> wind_for_pressure(61.25, 1.225)
    10.0
    """
    positive("the density of air", rho, "kg/m³")
    if not q >= 0:
        raise ValueError(f"the pressure is {q:g} Pa; it must not be negative")
    return sqrt(2 * q / rho)


def pressure_of_wind(v: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The full pressure of a wind, ½ρv², Pa.

    Raises
    ------
    ValueError : the wind or the density is not positive.

    >>> pressure_of_wind(10.0)
    61.25
    """
    positive("the wind", v, "m/s")
    positive("the density of air", rho, "kg/m³")
    return 0.5 * rho * v * v


def least_wind(mass: float, area: float, rho: float = SEA_LEVEL_DENSITY) -> float:
    """The wind under which a kite cannot carry its own weight.

    Parameters
    ----------
    mass : of the kite as it flies, kg, > 0
    area : of its sail, m², > 0
    rho : density of air, kg/m³, > 0

    Returns
    -------
    √(2 m g₀/(ρ A)), m/s, for a force coefficient of 1.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> least_wind(0.021, 0.156)
    1.468
    """
    positive("the mass of the kite", mass, "kg")
    positive("the area of the sail", area, "m²")
    return wind_for_pressure(mass * STANDARD_GRAVITY / area, rho)


def move_height(v: float, from_m: float, to_m: float) -> float:
    """A wind moved from the height it was measured at to another, over open ground.

    Parameters
    ----------
    v : wind, m/s
    from_m, to_m : heights above ground, m, > 0

    Returns
    -------
    v (to/from)^(1/7), m/s.

    Raises
    ------
    ValueError : a height is not positive.

    Source: the 1/7 power law, such as in Manwell, McGowan & Rogers, Wind Energy Explained.

    >>> move_height(1.0, 10.0, 2.0)
    0.7945974
    """
    positive("the height of the wind meter", from_m, "m")
    positive("the height of the wind", to_m, "m")
    return float(v * (to_m / from_m) ** (1 / 7))
