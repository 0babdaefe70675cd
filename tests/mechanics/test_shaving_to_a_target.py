"""How much of a zone to leave, in how many strokes."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.shaving import card_factor, zone_factor
from bowbook.mechanics.strokes import next_strokes, rate
from mechanics.rods import half_of_chance

EVEN = Profile.uniform(1.0, 1.0)


@settings(max_examples=30)
@given(st.integers(0, 10_000), st.floats(0.0, 0.5), st.floats(0.2, 0.5), st.floats(0.05, 1.0))
def test_the_half_presses_at_the_target_after_the_knife(seed: int, start: float, long: float, f: float) -> None:
    """Shave any zone of any half to any fraction: the target found from its load is that fraction again."""
    half = half_of_chance(np.random.default_rng(seed), 0.3)
    a, b = start * half.length, (start + long) * half.length
    target = pinned_column_load(half.with_zone(a, b, f))

    found = zone_factor(half, a, b, target)

    assert found.factor is not None
    assert pinned_column_load(half.with_zone(a, b, found.factor)) == pytest.approx(target, rel=1e-10)


def test_a_longer_zone_needs_less_taken_off() -> None:
    """Twelve parts in a hundred off the reading: the whole half gives least, an end third most. Common practice."""
    target = 0.88 * pinned_column_load(EVEN)
    left = [zone_factor(EVEN, *zone, target).factor for zone in ((0, 1), (1 / 3, 2 / 3), (2 / 3, 1))]

    assert left[0] == pytest.approx(0.88, rel=1e-10)
    assert None not in left
    assert left[0] > left[1] > left[2]


def test_a_zone_that_cannot_do_it_gives_its_reason() -> None:
    """A short stretch at the tip hardly counts; a half already softer than wanted has nothing to take off."""
    load = pinned_column_load(EVEN)

    assert zone_factor(EVEN, 0.99, 1.0, 0.5 * load) == (
        None,
        "shaving this stretch alone, even to nearly nothing, does not bring the half down so far",
    )
    softer = zone_factor(EVEN, 0.0, 1.0, 1.01 * load)
    assert softer.factor is None
    assert "nothing to take off" in str(softer.reason)
    assert zone_factor(EVEN, 0.0, 1.0, load).factor == pytest.approx(1.0, abs=1e-9)


def test_the_card_is_the_zone_s_own_factor() -> None:
    """A difference d of the mean leaves (2 − d)/(2 + d) of the reading."""
    kept = 0.95 / 1.05

    assert card_factor(0.10) == pytest.approx(kept, rel=1e-12)
    third = card_factor(0.10, 1 / 3, 2 / 3)
    assert third is not None
    shaved = pinned_column_load(EVEN.with_zone(1 / 3, 2 / 3, third))
    assert shaved / pinned_column_load(EVEN) == pytest.approx(kept, rel=1e-9)


def test_the_rate_is_all_the_fall_over_all_the_strokes() -> None:
    """Three shavings worked by hand: 0.30 N over 75 strokes, with the scatter of a shaving's own rate about it."""
    found = rate((0.10, 0.05, 0.15), (20, 20, 35))

    assert found.mean == pytest.approx(0.004, rel=1e-12)
    # Σ n (r − r̄)² = 20·0.001² + 20·0.0015² + 35·(0.15/35 − 0.004)², over 2, over the mean count of 25.
    squares = 20 * 0.001**2 + 20 * 0.0015**2 + 35 * (0.15 / 35 - 0.004) ** 2
    assert found.spread == pytest.approx((squares / 2 / 25) ** 0.5, rel=1e-12)
    assert rate((0.1,), (20,)).spread is None


def test_strokes_are_counted_short_never_long() -> None:
    """What is taken off does not grow back: rounded down, one at least."""
    assert next_strokes(0.1, 0.004) == 25
    assert next_strokes(0.0999, 0.004) == 24  # 24.975: the nearest would be 25
    assert next_strokes(0.001, 0.004) == 1
    with pytest.raises(ValueError, match=r"the logged strokes lowered the reading by -0\.001 N each"):
        next_strokes(0.1, -0.001)


@pytest.mark.parametrize(("falls", "strokes"), [((), ()), ((0.1,), ()), ((0.1,), (0,)), ((0.1,), (-5,))])
def test_strokes_that_say_nothing_are_refused(falls: tuple[float, ...], strokes: tuple[int, ...]) -> None:
    """None, other numbers of falls, or a count of nothing."""
    with pytest.raises(ValueError, match="strokes"):
        rate(falls, strokes)


@pytest.mark.parametrize("difference", [0.0, -0.1, 2.0, float("nan")])
def test_a_card_for_an_impossible_difference_is_refused(difference: float) -> None:
    """Above 0 and below 2."""
    with pytest.raises(ValueError, match="must be above 0 and below 2"):
        card_factor(difference)
