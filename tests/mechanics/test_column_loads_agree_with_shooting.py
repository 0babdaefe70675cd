"""Loads of columns of chance against an independent integration of the column's equation.

SciPy's eighth-order Runge-Kutta (DOP853) shoots y'' = −P y/EI from one end, and the load is the lowest at which the
other end comes back to the line of the push (Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 2.1).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from bowbook.mechanics.column import buckled, pinned_column_load
from bowbook.mechanics.profile import Profile
from mechanics.rods import half_of_chance

AGREE = 1e-8  # relative


def shot(rod: Profile, load: float) -> tuple[float, bool]:
    """Where the rod's far end comes to under a load, shot off at a slope of 1; whether it crossed before that."""
    y, crossed = np.array([0.0, 1.0]), False
    for start, end, piece in zip(rod.edges, rod.edges[1:], rod.pieces, strict=False):

        def turn(s: float, y: np.ndarray, piece=piece) -> list[float]:
            return [y[1], -load * y[0] / float(piece(np.array([s]))[0])]

        flown = solve_ivp(turn, (start, end), y, method="DOP853", rtol=1e-12, atol=1e-14)
        crossed = crossed or bool((flown.y[0, 1:-1] <= 0).any())
        y = flown.y[:, -1]
    return float(y[0]), crossed


@pytest.mark.parametrize("seed", range(12))
def test_columns_of_chance_agree_with_shooting(seed: int) -> None:
    """Even, tapering and shaved halves, and every third a whole bow of two: the load, and no crossing below it."""
    rng = np.random.default_rng(seed)
    rod = half_of_chance(rng, 0.3)
    rod = rod.reversed().joined(half_of_chance(rng, 0.3)) if seed % 3 == 0 else rod
    load = pinned_column_load(rod)

    assert brentq(lambda P: shot(rod, P)[0], 0.9 * load, 1.1 * load, rtol=1e-11) == pytest.approx(load, rel=AGREE)
    assert not shot(rod, 0.999 * load)[1]


def test_a_bow_that_is_stiff_in_its_middle_buckles_in_one_hump() -> None:
    """Two shapes are nearly as easy where a middle hardly bends; the lower one is found, to one side all along."""
    rod = Profile.uniform(0.02, 0.6).with_zone(0.05, 0.55, 1e4)
    load, _, y = buckled(rod)

    assert brentq(lambda P: shot(rod, P)[0], 0.9 * load, 1.1 * load, rtol=1e-11) == pytest.approx(load, rel=AGREE)
    assert not shot(rod, 0.999 * load)[1]
    assert (y > 0).all()
