"""Differences, verdicts, and how many more readings would settle one."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from bowbook.mechanics.balance import MOST_READINGS, difference, expanded, more_readings, verdict
from bowbook.mechanics.uncertainty import reading, t95

FRACTION = st.floats(0.0, 0.5)


def test_what_both_halves_share_cancels() -> None:
    """A scale that reads a hundredth high, a hold that is not quite pinned: the same for both, so no difference."""
    left, right, shared = ufloat(0.0200, 0.0001), ufloat(0.0190, 0.0001), ufloat(1.0, 0.05)

    apart, together = difference(left, right), difference(left * shared, right * shared)

    assert together.nominal_value == pytest.approx(apart.nominal_value, rel=1e-12)
    assert together.std_dev == pytest.approx(apart.std_dev, rel=1e-9)


def test_the_difference_s_uncertainty_agrees_with_chance() -> None:
    """A hundred thousand draws of two halves spread as the formula says (JCGM 101, propagation by draws)."""
    import numpy as np

    rng = np.random.default_rng(7)
    left, right = rng.normal(214, 1.3, 100_000), rng.normal(198, 1.1, 100_000)
    drawn = 2 * (left - right) / (left + right)
    formula = difference(ufloat(214, 1.3), ufloat(198, 1.1))

    assert formula.nominal_value == pytest.approx(drawn.mean(), abs=1e-4)
    assert formula.std_dev == pytest.approx(drawn.std(), rel=0.01)
    assert expanded(formula, 2.0) == pytest.approx(2 * formula.std_dev, rel=1e-12)


@given(st.floats(-0.5, 0.5), FRACTION, st.floats(0.005, 0.2))
def test_a_verdict_turns_with_the_bow_and_is_never_both(d: float, U: float, T: float) -> None:
    """FileStamp from the back, left is right; a side is only called where the difference is above both limits."""
    turned = {"left stiffer": "right stiffer", "right stiffer": "left stiffer"}
    found = verdict(d, U, T)

    assert verdict(-d, U, T) == turned.get(found, found)
    assert (found in turned) == (abs(d) > max(T, U))
    if found == "even":
        assert abs(d) <= T


@pytest.mark.parametrize(
    ("d", "U", "T", "said"),
    [
        (0.031, 0.0309, 0.03, "left stiffer"),
        (-0.031, 0.0309, 0.03, "right stiffer"),
        (0.03, 0.03, 0.03, "even"),
        (0.031, 0.031, 0.03, "too close to call"),
        (0.0, 0.031, 0.03, "too close to call"),
    ],
)
def test_the_edges_of_the_rule(d: float, U: float, T: float, said: str) -> None:
    """Above, not at; no more than, so at."""
    assert verdict(d, U, T) == said


@pytest.mark.parametrize("degrees", [1, 2, 4])
def test_the_number_of_readings_is_the_least_that_settles_it(degrees: int) -> None:
    """Worked again with whole readings, each adding its degree of freedom: one fewer leaves it open."""
    left, right, s_rel, T = 209.0, 203.0, 0.012, 0.025

    extra = more_readings(left, right, 2, 2, s_rel, degrees, 1.0, T)
    assert extra is not None
    assert extra > 0

    def said(more: int) -> str:
        both = [reading((value,) * (2 + more), s_rel, 1.0) for value in (left, right)]
        d = difference(*both)
        return verdict(d.nominal_value, expanded(d, t95(degrees + 2 * more)), T)

    assert said(extra) != "too close to call"
    assert {said(n) for n in range(extra)} == {"too close to call"}


def test_what_readings_cannot_settle_is_said() -> None:
    """A scale too coarse for the difference, readings too scattered, no repeats to go by."""
    assert more_readings(21.0, 20.5, 2, 2, 0.01, 6, 1.0, 0.02) is None
    assert more_readings(203.0, 197.2, 2, 2, 0.12, 6, 0.0, 0.03) is None
    assert more_readings(209.0, 203.0, 1, 1, None, 0, 1.0, 0.025) is None
    assert more_readings(230.0, 203.0, 3, 3, 0.005, 8, 1.0, 0.03) == 0


def test_no_more_than_fifty_are_ever_asked_for() -> None:
    """A case that needs about sixty a side is given up on; its neighbour that needs fewer is not."""
    assert MOST_READINGS == 50
    counts = [more_readings(202.0, 198.0, 1, 1, s, 100, 0.0, 0.03) for s in (0.02, 0.05, 0.09, 0.12)]

    assert counts[0] is not None
    assert counts[0] < (counts[1] or 99)
    assert counts[-1] is None
    # |d| = 0.02 is within T, so what is wanted is t √(2/n) s ≤ 0.03, with t near 1.98.
    assert counts[1] == pytest.approx(2 * (1.98 * 0.05 / 0.03) ** 2 - 1, abs=2)


def test_more_repeats_make_a_surer_reading() -> None:
    """By one over the square root of their number, down to the scale's last digit."""
    one, four = reading((200.0,), 0.01, 0.0), reading((200.0,) * 4, 0.01, 0.0)

    assert four.std_dev == pytest.approx(one.std_dev / 2, rel=1e-12)
    assert reading((200.0,) * 10_000, 0.01, 1.0).std_dev == pytest.approx(1 / sqrt(12), rel=0.01)


@pytest.mark.parametrize("values", [(), (200.0, 0.0), (-1.0,), (float("nan"),)])
def test_readings_that_are_none_are_refused(values: tuple[float, ...]) -> None:
    """No values, or one that no scale shows."""
    with pytest.raises(ValueError, match=r"a reading (has no values|is .* more than 0)"):
        reading(values, 0.01, 1.0)
