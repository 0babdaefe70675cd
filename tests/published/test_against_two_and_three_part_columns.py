"""Uneven halves and shaved thirds against their characteristic equations.

Derived from the pinned column (Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2), with roots found at
30 digits and checked by finite differences: tan(k₁ℓ)/k₁ + tan(k₂ℓ)/k₂ = 0 for two halves, a transfer matrix for three.
"""

from __future__ import annotations

from math import pi, sqrt, tan

import pytest

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.shaving import zone_factor

EXACT = 1e-9  # relative, of figures written with nine decimals and more

TWO_HALVES = [(1.1, 10.3337317158), (1.5, 11.7277228980), (2.0, 12.8154029693), (4.0, 14.6020774538)]
# f; P/P_E with the middle third at f·EI, and with one end third.
THREE_PARTS = [
    (0.9, 0.936394332, 0.978370821),
    (0.8, 0.866954664, 0.951656401),
    (0.6, 0.707719672, 0.874576619),
    (0.4, 0.515717760, 0.739356231),
]


def load_of_halves(EI_left: float, EI_right: float, half: float) -> float:
    """The critical load of a whole bow of two uniform halves."""
    return pinned_column_load(Profile.uniform(EI_left, half).joined(Profile.uniform(EI_right, half)))


@pytest.mark.parametrize(("ratio", "factor"), TWO_HALVES)
def test_a_whole_bow_of_uneven_halves_presses_as_the_equation_says(ratio: float, factor: float) -> None:
    """P L²/EI₁ for EI₂/EI₁, either way round."""
    EI, half = 0.02, 0.32
    load = load_of_halves(EI, ratio * EI, half)

    assert load == pytest.approx(factor * EI / (2 * half) ** 2, rel=EXACT)
    assert load_of_halves(ratio * EI, EI, half) == pytest.approx(load, rel=1e-12)


@pytest.mark.parametrize("ratio", [1.03, 1.3, 3.0])
def test_the_load_of_two_halves_is_a_root_of_the_tangents(ratio: float) -> None:
    """The equation itself, at ratios that no table gives."""
    load = load_of_halves(1.0, ratio, 0.5)
    k1, k2 = sqrt(load), sqrt(load / ratio)

    assert tan(k1 / 2) / k1 + tan(k2 / 2) / k2 == pytest.approx(0.0, abs=1e-8 * abs(tan(k1 / 2)))


@pytest.mark.parametrize(("f", "middle", "end"), THREE_PARTS)
def test_a_third_shaved_lowers_the_reading_as_the_equation_says(f: float, middle: float, end: float) -> None:
    """The middle third counts three times an end third."""
    rod, P_E = Profile.uniform(1.0, 1.0), pi**2

    assert pinned_column_load(rod.with_zone(1 / 3, 2 / 3, f)) / P_E == pytest.approx(middle, rel=EXACT)
    assert pinned_column_load(rod.with_zone(0, 1 / 3, f)) / P_E == pytest.approx(end, rel=EXACT)
    assert pinned_column_load(rod.with_zone(2 / 3, 1, f)) / P_E == pytest.approx(end, rel=EXACT)


@pytest.mark.parametrize(("f", "middle", "end"), THREE_PARTS)
def test_the_factor_for_a_target_is_the_one_that_makes_it(f: float, middle: float, end: float) -> None:
    """Shaving read backwards: from the load wanted to what to leave of the zone."""
    rod = Profile.uniform(1.0, 1.0)

    assert zone_factor(rod, 1 / 3, 2 / 3, middle * pi**2).factor == pytest.approx(f, rel=1e-8)
    assert zone_factor(rod, 0.0, 1 / 3, end * pi**2).factor == pytest.approx(f, rel=1e-7)


def test_the_middle_third_holds_its_share_of_the_bending() -> None:
    """The first touch of the knife: d ln P/d ln f is 1/3 + √3/2π in the middle third, half the rest at either end."""
    rod, h = Profile.uniform(1.0, 1.0), 1e-5

    def share(start: float, end: float) -> float:
        up, down = (pinned_column_load(rod.with_zone(start, end, 1 + x)) for x in (h, -h))
        return (up - down) / (2 * h * pi**2)

    assert share(1 / 3, 2 / 3) == pytest.approx(0.608997781, abs=1e-7)
    assert share(0, 1 / 3) == pytest.approx(0.195501109, abs=1e-7)
