"""Rods put together from pieces: cut, turned, joined, stiffened."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.profile import Profile
from mechanics.rods import half_of_chance

SAME = 1e-12  # relative


def inside(rod: Profile, n: int = 41) -> np.ndarray:
    """Places along a rod that are on none of its edges."""
    s = np.linspace(0, rod.length, n + 2)[1:-1]
    return s[np.abs(s[:, None] - np.array(rod.edges)).min(axis=1) > 1e-6 * rod.length]


@given(st.integers(0, 10_000))
def test_turning_a_rod_twice_gives_it_back(seed: int) -> None:
    """And once gives its mirror image."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)
    s = inside(rod)

    np.testing.assert_allclose(rod.reversed().at(rod.length - s), rod.at(s), rtol=SAME)
    np.testing.assert_allclose(rod.reversed().reversed().at(s), rod.at(s), rtol=SAME)


@given(st.integers(0, 10_000), st.floats(0.01, 0.99))
def test_a_rod_cut_in_two_and_joined_is_whole_again(seed: int, at: float) -> None:
    """At any place, a step or not."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)
    cut = at * rod.length
    joined = rod.part(0.0, cut).joined(rod.part(cut, rod.length))
    s = inside(joined)

    assert joined.length == pytest.approx(rod.length, rel=SAME)
    np.testing.assert_allclose(joined.at(s), rod.at(s), rtol=SAME)


@given(st.integers(0, 10_000), st.floats(0.0, 0.6), st.floats(0.05, 0.4), st.floats(0.2, 3.0))
def test_a_zone_changes_what_is_in_it_and_nothing_else(seed: int, start: float, long: float, f: float) -> None:
    """Inside times f, outside as it was."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)
    a, b = start * rod.length, (start + long) * rod.length
    shaved = rod.with_zone(a, b, f)
    s = inside(shaved)

    expected = np.where((s > a) & (s < b), f * rod.at(s), rod.at(s))
    np.testing.assert_allclose(shaved.at(s), expected, rtol=SAME)


@given(st.integers(0, 10_000), st.floats(0.3, 3.0))
def test_the_reading_follows_the_stiffness(seed: int, f: float) -> None:
    """Twice as stiff all along presses at twice the load; stiffer anywhere, at no less."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)
    load = pinned_column_load(rod)

    assert pinned_column_load(rod.scaled(f)) == pytest.approx(f * load, rel=1e-10)
    assert pinned_column_load(rod.plus(0.001)) > load
    assert pinned_column_load(rod.with_zone(0.1, 0.15, 1.3)) > load


@pytest.mark.parametrize(("start", "end"), [(-0.1, 0.2), (0.1, 0.4), (0.2, 0.1), (0.1, 0.1), (float("nan"), 0.2)])
def test_a_zone_off_the_half_is_refused(start: float, end: float) -> None:
    """The message says where the zone runs and where it may."""
    with pytest.raises(ValueError, match=r"the zone (runs )?from .* m"):
        Profile.uniform(1.0, 0.3).with_zone(start, end, 0.5)


def test_a_zone_that_all_but_reaches_an_edge_makes_no_sliver() -> None:
    """A third of a half is never an exact number; it still meets the third beside it."""
    rod = Profile.uniform(1.0, 0.3).with_zone(0.0, 0.1, 0.5).with_zone(0.3 / 3, 0.3 * (2 / 3) + 1e-14, 0.5)

    assert len(rod.edges) == 4


@pytest.mark.parametrize("edges", [(0.1, 0.3), (0.0, 0.0), (0.0,), (0.0, 0.2, 0.1)])
def test_edges_that_make_no_rod_are_refused(edges: tuple[float, ...]) -> None:
    """They start at 0, rise, and have a piece between any two."""
    with pytest.raises(ValueError, match="rod"):
        Profile.from_pieces(edges, [lambda s: 1.0 + 0 * s] * max(len(edges) - 1, 1))


def test_a_rod_that_is_soft_to_nothing_is_refused() -> None:
    """A stiffness of 0 somewhere has no column load; the message says where it is."""
    rod = Profile.from_pieces((0.0, 0.3), (lambda s: s - 0.1,))

    with pytest.raises(ValueError, match=r"the stiffness is not more than 0 at 0\.00\d+ m along the rod"):
        pinned_column_load(rod)
