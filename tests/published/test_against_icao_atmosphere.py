"""Air against the ICAO standard atmosphere.

Source: ICAO Doc 7488/3, ISO 2533 (constants from memory, values computed to 1e-6).
"""

from __future__ import annotations

import pytest

from bowbook.mechanics.air import SEA_LEVEL_DENSITY, density, wind_for_pressure

SEVENTH_FIGURE = 6e-7  # kg/m³

TABLE = [
    (0, 1.225000, 1.0),
    (500, 1.167269, 1.024431),
    (1000, 1.111643, 1.049749),
    (1500, 1.058067, 1.075998),
    (2000, 1.006490, 1.103223),
]


@pytest.mark.parametrize(("altitude", "rho", "factor"), TABLE)
def test_air_thins_with_altitude(altitude: float, rho: float, factor: float) -> None:
    """Density, and how much faster the wind must blow for the same pressure: √(ρ₀/ρ)."""
    assert density(altitude) == pytest.approx(rho, abs=SEVENTH_FIGURE)
    ratio = wind_for_pressure(2.0, density(altitude)) / wind_for_pressure(2.0, SEA_LEVEL_DENSITY)
    assert ratio == pytest.approx(factor, abs=SEVENTH_FIGURE)


@pytest.mark.parametrize("altitude", [-600.0, 12000.0, float("nan")])
def test_an_altitude_outside_the_lowest_layer_is_refused(altitude: float) -> None:
    """The message names the altitude and what is allowed."""
    with pytest.raises(ValueError, match=r"the altitude is .* m; it must be from -500 to 11000 m"):
        density(altitude)
