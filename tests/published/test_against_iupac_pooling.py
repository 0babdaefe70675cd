"""Repeatability against the pooled standard deviation.

Source: IUPAC Gold Book P04758 (from Pure and Applied Chemistry 53 (1981) 1805): s² = Σνᵢsᵢ²/Σνᵢ, νᵢ = nᵢ − 1, and the
pooled relative one. The worked figures are derived from it.
"""

from __future__ import annotations

import pytest

from bowbook.mechanics.uncertainty import pooled, repeats

SETS = [(212.0, 215.0, 214.0), (208.0, 209.0), (231.0, 228.0, 230.0, 229.0)]  # g


def test_sets_of_different_sizes_are_pooled_by_their_degrees_of_freedom() -> None:
    """Three sets, six degrees: 0.58970504 % of a reading."""
    s, degrees = pooled([repeats(SETS)])

    assert degrees == 6
    assert s == pytest.approx(0.0058970504, rel=1e-8)


def test_single_readings_say_nothing() -> None:
    """A set of one adds no degree of freedom; nothing but sets of one gives no repeatability at all."""
    assert pooled([repeats([*SETS, (500.0,)])]) == pooled([repeats(SETS)])
    assert pooled([repeats([(500.0,), (3.0,)])]) == (None, 0)
    assert pooled([repeats([])]) == (None, 0)


def test_the_unit_of_a_set_does_not_matter() -> None:
    """A set read in newton pools like the same set in grams."""
    mixed = [tuple(v * 0.00980665 for v in SETS[0]), *SETS[1:]]

    assert pooled([repeats(mixed)])[0] == pytest.approx(pooled([repeats(SETS)])[0], rel=1e-12)
