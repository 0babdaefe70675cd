"""How much of a rod's own weight a scale shows besides the press.

Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2, column under its own weight (½ for pinned
ends, from memory). For a rod clamped in the hand the share is from the perturbation integral below, which a
fourth-order integration of the column's equation confirmed (0.65404 in the limit of a light rod).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad

from bowbook.mechanics.column import CLAMPED, PINNED, weight_share

SHARE = 2e-5  # of the rod's weight


def share_of_weight(slope: object) -> float:
    """α = ∫(1 − x) w′² dx / ∫ w′² dx for a buckled shape's slope w′, x from the scale up."""
    top = quad(lambda x: (1 - x) * slope(x) ** 2, 0, 1)[0]
    return top / quad(lambda x: slope(x) ** 2, 0, 1)[0]


def test_pinned_ends_carry_half_the_weight() -> None:
    """w = sin πx: the scale shows half of the pressed length's weight besides the load."""
    alpha = share_of_weight(lambda x: np.cos(np.pi * x))

    assert alpha == pytest.approx(0.5, abs=1e-12)
    assert weight_share(PINNED) == pytest.approx(1 - alpha, abs=SHARE)


def test_a_hand_that_clamps_leaves_a_third_on_the_scale() -> None:
    """w = sin ux − u cos u · x, u = tan u, pinned on the scale at x = 0 and clamped in the hand at x = 1."""
    u = np.pi / CLAMPED
    alpha = share_of_weight(lambda x: np.cos(u * x) - np.cos(u))

    assert alpha == pytest.approx(0.65404, abs=SHARE)
    assert weight_share(CLAMPED) == pytest.approx(1 - alpha, abs=SHARE)


def test_ends_clamped_alike_carry_half_again() -> None:
    """w = 1 − cos 2πx, clamped at both ends: the rod stands the same either way up, so it is a half."""
    alpha = share_of_weight(lambda x: np.sin(2 * np.pi * x))

    assert alpha == pytest.approx(0.5, abs=1e-12)
    assert weight_share(0.5) == pytest.approx(1 - alpha, abs=SHARE)


def test_a_spring_in_the_hand_takes_a_share_between() -> None:
    """w = sin ux + b x with a turning spring at the hand: the straight line is within a fiftieth of the weight."""
    for factor in (0.75, 0.85, 0.95):
        u = np.pi / factor
        alpha = share_of_weight(lambda x, u=u: u * np.cos(u * x) - np.sin(u))
        assert weight_share(factor) == pytest.approx(1 - alpha, abs=0.02)


def test_a_carbon_rod_of_three_millimetres_reads_its_load_and_half_its_weight() -> None:
    """Derived: 6.574 g of rod, EI 0.516890 N m², 0.6 m pinned: 1445.02 g of load, 1448.31 g on the scale."""
    from bowbook.mechanics.air import STANDARD_GRAVITY

    load_g = 0.516890166 * (np.pi / 0.6) ** 2 / STANDARD_GRAVITY * 1000

    assert load_g == pytest.approx(1445.023, abs=0.001)
    assert load_g + weight_share(PINNED) * 6.574 == pytest.approx(1448.31, abs=0.01)
