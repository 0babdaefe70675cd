"""The three-point bend against ASTM F2031, the spine of arrow shafts.

Source: ASTM F2031-05, 28 in between supports and 1.94 lb at mid-span (the figures found on several pages that quote
it); EI = F s³/48δ from any text on beams. Deflections derived to ten figures.
"""

from __future__ import annotations

import pytest

from bowbook.mechanics.cantilever import sag_rigidity, sag_scale
from bowbook.mechanics.profile import Profile

INCH = 0.0254  # m
LOAD = 0.45359237 * 1.94 * 9.80665  # N
SPAN = 28 * INCH

EXACT = 1e-9  # relative
SIX_FIGURES = 2e-6  # relative: half a unit of the sixth figure, at the worst

SPINES = [(0.250, 10.1847), (0.340, 7.48875), (0.400, 6.36544), (0.700, 3.63739), (1.000, 2.54618)]


def test_half_an_inch_of_spine_is_five_newton_square_metres() -> None:
    """0.500 in of deflection: EI = 5.092352185 N m²."""
    assert pytest.approx(8.6295499336, rel=1e-10) == LOAD
    assert sag_rigidity(LOAD, SPAN, 0.500 * INCH) == pytest.approx(5.092352185, rel=EXACT)


@pytest.mark.parametrize(("spine_in", "EI"), SPINES)
def test_a_shaft_of_a_given_spine_has_its_rigidity(spine_in: float, EI: float) -> None:
    """EI times deflection in inches is 2.546176092 N m² in."""
    assert sag_rigidity(LOAD, SPAN, spine_in * INCH) == pytest.approx(EI, rel=SIX_FIGURES)
    assert sag_scale(Profile.uniform(EI, SPAN), LOAD, SPAN, spine_in * INCH) == pytest.approx(1.0, rel=SIX_FIGURES)


def test_a_carbon_rod_sags_by_ten_millimetres() -> None:
    """3 mm at 130 GPa, 0.5 m between supports, 200 g: 9.881461 mm; derived."""
    assert sag_rigidity(0.2 * 9.80665, 0.5, 9.881461e-3) == pytest.approx(0.516890166, rel=SIX_FIGURES)


def test_supports_stand_centred_on_the_rod() -> None:
    """What is outside them does not count; a stiffer stretch between them does, as the unit-load theorem says."""
    rod = Profile.uniform(1.0, 0.9).with_zone(0.0, 0.2, 7.0).with_zone(0.7, 0.9, 7.0)
    stiff_middle = Profile.uniform(1.0, 0.5).with_zone(0.15, 0.35, 2.0)

    assert sag_scale(rod, 1.0, 0.5, 0.5**3 / 48) == pytest.approx(1.0, rel=1e-12)
    # δ = F/2 ∫₀^{s/2} x²/EI dx = F/6 [0.15³ + (0.25³ − 0.15³)/2]
    assert sag_scale(stiff_middle, 1.0, 0.5, (0.15**3 + (0.25**3 - 0.15**3) / 2) / 6) == pytest.approx(1.0, rel=1e-12)


def test_supports_beyond_the_rod_are_refused() -> None:
    """The message names both lengths."""
    with pytest.raises(ValueError, match=r"supports stand 0\.5 m apart; the rod is 0\.4 m long"):
        sag_scale(Profile.uniform(1.0, 0.4), 1.0, 0.5, 0.01)
