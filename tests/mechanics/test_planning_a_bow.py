"""From a wind to a stiffness and back, worked by hand for a sail of even chord; derived from the definition of flex."""

from __future__ import annotations

import pytest

from bowbook.mechanics.planning import drop_per_pressure, flex_wind, press_target, rigidity_for_flex
from bowbook.mechanics.profile import Profile

HALF, WIDTH, CHORD, RHO = 0.32, 0.6, 0.26, 1.2  # m, m, m, kg/m³
BOARD = (0.0, WIDTH / 2), (CHORD, CHORD)


def test_a_board_flexes_where_its_tips_give_a_tenth() -> None:
    """q c ℓ⁴/8EI = ℓ/10, so V = √(1.6 EI/(ρ c ℓ³)), whatever the sail's width is against the bow's length."""
    EI = 0.02
    half = Profile.uniform(EI, HALF)
    by_hand = (1.6 * EI / (RHO * CHORD * HALF**3)) ** 0.5

    assert flex_wind(drop_per_pressure(half, *BOARD, WIDTH), HALF, RHO) == pytest.approx(by_hand, rel=1e-12)
    assert rigidity_for_flex(by_hand, HALF, *BOARD, WIDTH, RHO) == pytest.approx(EI, rel=1e-12)


def test_the_sail_is_laid_along_the_whole_half() -> None:
    """A diamond's chord falls to nothing at the tip: w₀ℓ⁴/30EI, over the half and not over the sail's own width."""
    half = Profile.uniform(0.02, HALF)

    drop = drop_per_pressure(half, (0.0, WIDTH / 2), (CHORD, 0.0), WIDTH)
    assert drop == pytest.approx(CHORD * HALF**4 / (30 * 0.02), rel=1e-12)


def test_twice_the_wind_asks_for_four_times_the_stiffness() -> None:
    """And so for four times the reading on the scale."""
    slow, fast = (rigidity_for_flex(v, HALF, *BOARD, WIDTH, RHO) for v in (2.0, 4.0))

    assert fast == pytest.approx(4 * slow, rel=1e-12)
    assert press_target(fast, HALF) == pytest.approx(4 * press_target(slow, HALF), rel=1e-12)
