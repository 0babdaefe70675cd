"""The three-point bend against ASTM F2031, the spine of arrow shafts, and against the exact elastica.

Source: ASTM F2031-05, 28 in between supports and 1.94 lb at mid-span (the figures found on several pages that quote
it); EI = F s³/48δ from any text on beams. Deflections derived to ten figures.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from bowbook.mechanics.cantilever import sag_rigidity, sag_scale
from bowbook.mechanics.profile import Profile

INCH = 0.0254  # m
LOAD = 0.45359237 * 1.94 * 9.80665  # N
SPAN = 28 * INCH

EXACT = 1e-9  # relative
SIX_FIGURES = 2e-6  # relative: half a unit of the sixth figure, at the worst

SPINES = [(0.250, 10.1847), (0.340, 7.48875), (0.400, 6.36544), (0.700, 3.63739), (1.000, 2.54618)]


def deep(slope: float) -> float:
    """The factor for a deep sag, checked against the elastica below."""
    return 1 + 10.3 * slope**2


def small(load: float, span: float, drop: float) -> float:
    """The rigidity as the standard reckons it, which takes every sag as small."""
    return sag_rigidity(load, span, drop) / deep(drop / span)


def sagged(load: float, span: float) -> float:
    """Drop of a rod with EI 1 across two smooth supports that it slides over, by shooting along the rod.

    Each support pushes square to the rod, so with the slope α there the reaction is F/2 up and F/2 tan α inwards.
    """

    def from_middle(alpha: float) -> tuple[float, float, float]:
        up, along = load / 2, -load / 2 * math.tan(alpha)

        def turn(_s: float, y: np.ndarray) -> list[float]:
            theta, x, depth = y  # from the support inwards: slope, way along, way down
            moment = up * x - along * depth
            return [-moment, math.cos(theta), math.sin(theta)]

        def reached(_s: float, y: np.ndarray) -> float:
            return float(y[1] - span / 2)

        reached.terminal = True
        found = solve_ivp(turn, (0, span), [alpha, 0, 0], events=reached, rtol=1e-11, atol=1e-14)
        return tuple(found.y[:, -1])

    alpha = brentq(lambda a: from_middle(a)[0], 1e-6, 0.6)
    return from_middle(alpha)[2]


@pytest.mark.parametrize(("load", "close"), [(0.5, 2e-5), (2.0, 2e-4), (3.0, 7e-4), (4.2, 4e-3)])
def test_a_deep_sag_is_the_elastica_s(load: float, close: float) -> None:
    """Against a rod shot over smooth supports; uncorrected, the last would read 9 % low."""
    drop = sagged(load, 1.0)

    assert 0.01 < drop <= 0.1
    assert sag_rigidity(load, 1.0, drop) == pytest.approx(1.0, rel=close)
    assert sag_scale(Profile.uniform(1.0, 1.0), load, 1.0, drop) == pytest.approx(1.0, rel=close)


def test_a_sag_deeper_than_a_tenth_is_refused() -> None:
    """There a rod slips through its supports."""
    with pytest.raises(ValueError, match="no more than a tenth of the span"):
        sag_rigidity(6.0, 1.0, 0.101)


def test_half_an_inch_of_spine_is_five_newton_square_metres() -> None:
    """0.500 in of deflection: EI = 5.092352185 N m²."""
    assert pytest.approx(8.6295499336, rel=1e-10) == LOAD
    assert small(LOAD, SPAN, 0.500 * INCH) == pytest.approx(5.092352185, rel=EXACT)


@pytest.mark.parametrize(("spine_in", "EI"), SPINES)
def test_a_shaft_of_a_given_spine_has_its_rigidity(spine_in: float, EI: float) -> None:
    """EI times deflection in inches is 2.546176092 N m² in."""
    assert small(LOAD, SPAN, spine_in * INCH) == pytest.approx(EI, rel=SIX_FIGURES)
    scale = sag_scale(Profile.uniform(EI, SPAN), LOAD, SPAN, spine_in * INCH)
    assert scale / deep(spine_in * INCH / SPAN) == pytest.approx(1.0, rel=SIX_FIGURES)


def test_a_carbon_rod_sags_by_ten_millimetres() -> None:
    """3 mm at 130 GPa, 0.5 m between supports, 200 g: 9.881461 mm; derived."""
    assert small(0.2 * 9.80665, 0.5, 9.881461e-3) == pytest.approx(0.516890166, rel=SIX_FIGURES)


def test_supports_stand_centred_on_the_rod() -> None:
    """What is outside them does not count; a stiffer stretch between them does, as the unit-load theorem says."""
    rod = Profile.uniform(1.0, 0.9).with_zone(0.0, 0.2, 7.0).with_zone(0.7, 0.9, 7.0)
    stiff_middle = Profile.uniform(1.0, 0.5).with_zone(0.15, 0.35, 2.0)

    small_drop = 0.5**3 / 48
    assert sag_scale(rod, 1.0, 0.5, small_drop) / deep(small_drop / 0.5) == pytest.approx(1.0, rel=1e-12)
    # δ = F/2 ∫₀^{s/2} x²/EI dx = F/6 [0.15³ + (0.25³ − 0.15³)/2]
    drop = (0.15**3 + (0.25**3 - 0.15**3) / 2) / 6
    assert sag_scale(stiff_middle, 1.0, 0.5, drop) / deep(drop / 0.5) == pytest.approx(1.0, rel=1e-12)


def test_supports_beyond_the_rod_are_refused() -> None:
    """The message names both lengths."""
    with pytest.raises(ValueError, match=r"supports stand 0\.5 m apart; the rod is 0\.4 m long"):
        sag_scale(Profile.uniform(1.0, 0.4), 1.0, 0.5, 0.01)
