"""Tip drops of a half under a spread load, against an independent integration and against large deflection."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from bowbook.mechanics.cantilever import tip_drop, uniform_tip_drop
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.shaving import tip_mismatch
from mechanics.rods import half_of_chance

LENGTH = 0.3  # m


def integrated(rod: Profile, at: list[float], load: list[float]) -> float:
    """The tip drop by integrating shear, moment, slope and drop as an initial-value problem from the tip inwards."""
    y = np.zeros(4)
    stops = sorted({*rod.edges, *at})
    for end, start in zip(stops[:0:-1], stops[-2::-1], strict=True):
        middle = (start + end) / 2
        piece = rod.pieces[sum(edge < middle for edge in rod.edges) - 1]

        def down(s: float, y: np.ndarray, piece=piece) -> list[float]:
            w = float(np.interp(s, at, load, left=0.0, right=0.0))
            return [-w, -y[0], -y[1] / float(piece(np.array([s]))[0]), -y[2]]

        y = solve_ivp(down, (end, start), y, method="DOP853", rtol=1e-10, atol=1e-16).y[:, -1]
    # y[2] and y[3] are the tip's turn and drop against the clamp, which is level and at rest.
    return float(y[2] * rod.length - y[3])


@settings(max_examples=20)
@given(st.integers(0, 10_000), st.integers(2, 5))
def test_a_spread_load_drops_the_tip_as_an_integration_says(seed: int, n: int) -> None:
    """Straight lines between any places, on any half."""
    rng = np.random.default_rng(seed)
    rod = half_of_chance(rng, LENGTH)
    at = np.sort(rng.uniform(0, LENGTH, n)).tolist()
    load = rng.uniform(0.1, 2.0, n).tolist()

    assert tip_drop(rod, at, load) == pytest.approx(integrated(rod, at, load), rel=1e-7)


def test_textbook_loads() -> None:
    """wL⁴/8EI even; w₀L⁴/30EI falling to the tip; 11w₀L⁴/120EI rising to it. Any text on beams."""
    rod, unit = Profile.uniform(0.02, LENGTH), LENGTH**4 / 0.02

    assert uniform_tip_drop(rod, 3.0) == pytest.approx(3 * unit / 8, rel=1e-12)
    assert tip_drop(rod, (0, LENGTH), (1, 0)) == pytest.approx(unit / 30, rel=1e-12)
    assert tip_drop(rod, (0, LENGTH), (0, 1)) == pytest.approx(11 * unit / 120, rel=1e-12)


def test_a_place_that_stands_twice_is_a_step_in_the_load() -> None:
    """Load on the outer half only: from the whole, less the inner half's own tip drop and the turn at its end."""
    rod = Profile.uniform(1.0, 1.0)
    step = tip_drop(rod, (0.0, 0.5, 0.5, 1.0), (0.0, 0.0, 1.0, 1.0))

    assert step == pytest.approx(1 / 8 - (0.5**4 / 8 + 0.5**3 / 6 * 0.5), rel=1e-12)


@pytest.mark.parametrize(("third", "share"), [(0, 65 / 81), (1, 15 / 81), (2, 1 / 81)])
def test_the_inner_third_gives_most_of_the_drop(third: int, share: float) -> None:
    """Under an even load, 65, 15 and 1 of 81 parts, from the spine outwards; derived from the unit-load theorem."""
    soft = Profile.uniform(1.0, 1.0).with_zone(third / 3, (third + 1) / 3, 0.5)  # twice the share

    assert uniform_tip_drop(soft) / uniform_tip_drop(Profile.uniform(1.0, 1.0)) == pytest.approx(1 + share, rel=1e-12)


def test_the_tips_differ_by_where_a_half_was_shaved() -> None:
    """A half shaved near the spine gives more in the wind than one shaved by as much in the middle."""
    rod = Profile.uniform(1.0, 1.0)
    inner, middle = rod.with_zone(0, 1 / 3, 0.8), rod.with_zone(1 / 3, 2 / 3, 0.8)

    assert tip_mismatch(inner, middle) > 0.1
    assert tip_mismatch(middle, inner) == pytest.approx(-tip_mismatch(inner, middle), rel=1e-12)
    assert tip_mismatch(middle, middle) == 0.0


def test_the_linear_tenth_is_within_a_hundredth_of_the_large_deflection() -> None:
    """Where the tip drops by 0.1 L the even load is 0.80646 EI/L³ dead and linear theory says 0.8: shooting here."""

    def dropped(load: float) -> float:
        def turn(s: float, y: np.ndarray) -> list[float]:
            return [y[1], -load * (1 - s) * np.cos(y[0]), np.sin(y[0])]

        def end_moment(k: float) -> float:
            return float(solve_ivp(turn, (0, 1), [0, k, 0], rtol=1e-10, atol=1e-12).y[1, -1])

        k = brentq(end_moment, 0.0, 1.0)
        return float(solve_ivp(turn, (0, 1), [0, k, 0], rtol=1e-10, atol=1e-12).y[2, -1])

    large = brentq(lambda w: dropped(w) - 0.1, 0.5, 1.2, xtol=1e-9)
    linear = 0.1 / uniform_tip_drop(Profile.uniform(1.0, 1.0))

    assert large == pytest.approx(0.80646, abs=1e-5)
    assert linear == pytest.approx(large, rel=0.01)


@pytest.mark.parametrize(
    ("at", "load", "what"),
    [
        ((0.2, 0.1), (1, 1), "must rise"),
        ((0.0, 0.4), (1, 1), "within 0 m and 0.3 m"),
        ((0.0,), (1,), "two at least"),
        ((0.0, 0.1), (1,), "must be as many"),
    ],
)
def test_loads_off_the_half_are_refused(at: tuple, load: tuple, what: str) -> None:
    """Each in words."""
    with pytest.raises(ValueError, match=what):
        tip_drop(Profile.uniform(1.0, LENGTH), at, load)
