"""How much a reading scatters: the fit against a second one, and what it says of other readings."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.special import stdtrit

from bowbook.mechanics.scatter import (
    RereadChange,
    Scatter,
    degrees_in_use,
    fit_scatter,
    mean_reading,
    repeat_set,
    session_scatter,
)


def second_fit(sets: list[list[float]]) -> tuple[float, float]:
    """The fit by numpy's least squares on the weighted rows, in the readings' own unit."""
    m = np.array([np.mean(one) for one in sets])
    v = np.array([np.var(one, ddof=1) for one in sets])
    nu = np.array([len(one) - 1.0 for one in sets])
    middle = np.exp(np.sum(nu * np.log(m)) / nu.sum())
    m, v, nu = np.append(m, middle), np.append(v, (0.02 * middle) ** 2), np.append(nu, 3)
    b2 = np.sum(nu * v / m**2) / nu.sum()
    a2 = 0.1 * b2 * middle**2
    for _ in range(25):
        root = np.sqrt(nu) / (a2 + b2 * m**2)
        rows = np.stack([root, root * m**2 / middle**2], axis=1)
        a2, b2 = np.linalg.lstsq(rows, root * v, rcond=None)[0] / (1, middle**2)
        w = root**2
        if a2 < 0:
            a2, b2 = 0.0, np.sum(w * v * m**2) / np.sum(w * m**4)
        elif b2 < 0:
            a2, b2 = np.sum(w * v) / np.sum(w), 0.0
    return float(f"{np.sqrt(a2):.2g}"), float(f"{np.sqrt(b2):.2g}")


@settings(max_examples=40)
@given(st.integers(0, 10_000))
def test_the_fit_is_least_squares_with_weights_of_the_pass_before(seed: int) -> None:
    """On books of chance of three to thirty sets, fixed, proportional or both."""
    rng = np.random.default_rng(seed)
    fixed, relative = rng.choice([0.0, 1.0, 3.0]), rng.choice([0.0, 0.01, 0.03])
    sets = []
    for _ in range(rng.integers(3, 31)):
        force = rng.uniform(40, 600)
        sets.append(list(force + np.hypot(fixed, relative * force) * rng.normal(size=rng.integers(2, 6)) + 1e-6))
    found = fit_scatter([repeat_set(one) for one in sets])
    a, b = second_fit(sets)

    assert found.fixed == pytest.approx(a, rel=0.06)  # a neighbour in the second digit, where it is on an edge
    assert found.relative == pytest.approx(b, rel=0.06)
    assert found.degrees == 3 + sum(len(one) - 1 for one in sets)


def test_a_large_book_finds_what_fingers_really_do() -> None:
    """Ten thousand sets of 1 g and 1 %: both parts come back to the second digit."""
    rng = np.random.default_rng(5)
    force = rng.uniform(40, 600, 10_000)
    draws = force[:, None] + np.hypot(1.0, 0.01 * force)[:, None] * rng.normal(size=(10_000, 3))
    found = fit_scatter([repeat_set(one) for one in draws.tolist()])

    assert found.fixed == pytest.approx(1.0, abs=0.1)
    assert found.relative == pytest.approx(0.010, abs=0.0005)


@given(st.integers(3, 200_000))
def test_degrees_in_use_never_claim_more_and_hardly_claim_less(degrees: int) -> None:
    """Every quantile asked for (scipy's) is as large as with all degrees, and larger by 1 % at most."""
    used = degrees_in_use(degrees)

    assert used == degrees if degrees < 100 else degrees_in_use(used) == used <= degrees
    for p in (0.975, 0.9875, 0.99375, 0.995):
        assert 1 <= stdtrit(used, p) / stdtrit(degrees, p) <= 1.01


def test_outside_the_repeated_readings_scatter_does_not_shrink_and_grows_in_proportion() -> None:
    """A light reading scatters like the lightest repeated one; a heavy one by as many per cent as the heaviest."""
    found = Scatter(2.0, 0.01, 20, 100.0, 400.0)

    assert found.of(10.0) == found.of(100.0)
    assert found.of(800.0) == pytest.approx(2 * found.of(400.0), rel=1e-12)


def test_more_repeats_make_a_surer_reading_down_to_the_step() -> None:
    """By one over the square root of their number; what the scale's step leaves open stays."""
    scatter = Scatter(0.1, 0.0, 20, 100.0, 400.0)
    one, four = mean_reading((200.0,), scatter, 1.0), mean_reading((200.0,) * 4, scatter, 1.0)

    assert four.scatter == pytest.approx(one.scatter / 2, rel=1e-12)
    assert four.step == one.step > 0


def test_sessions_scatter_is_found_again() -> None:
    """Five thousand halves read on two days, 2 % apart on each beside readings of 1 %: 2 % comes back."""
    rng = np.random.default_rng(3)
    moved = np.diff(0.02 * rng.normal(size=(5000, 2)) + 0.01 * rng.normal(size=(5000, 2)))[:, 0]
    found = session_scatter([RereadChange(float(change), 0.01, 0.01) for change in moved])

    assert found.relative == pytest.approx(0.02, rel=0.05)
    assert found.degrees == 5003


def test_readings_steadier_than_their_scatter_leave_no_scatter_between_days() -> None:
    """Never the root of a negative number."""
    assert session_scatter([RereadChange(0.0, 0.02, 0.02)] * 9).relative == 0.0


@pytest.mark.parametrize("values", [(), (200.0, 0.0), (-1.0,), (float("nan"),)])
def test_readings_that_are_none_are_refused(values: tuple[float, ...]) -> None:
    """No values, or one that no scale shows."""
    with pytest.raises(ValueError, match=r"a reading (has no values|is .* more than 0)"):
        mean_reading(values, Scatter(), 1.0)
