"""The pooled scatter against the pooled standard deviation.

Source: IUPAC Gold Book P04758 (from Pure and Applied Chemistry 53 (1981) 1805): s² = Σνᵢsᵢ²/Σνᵢ, νᵢ = nᵢ − 1, and the
pooled relative one. The worked figures are derived from it.
"""

from __future__ import annotations

import pytest

from bowbook.mechanics.scatter import Scatter, fit_scatter, repeat_set

SETS = [(212.0, 215.0, 214.0), (208.0, 209.0), (231.0, 228.0, 230.0, 229.0)]  # g
MANY = 2000  # books of these sets: what was assumed before them no longer counts


def test_sets_of_one_size_are_pooled_by_their_degrees_of_freedom() -> None:
    """Three sets brought to one mean, six degrees: 0.58970504 % of a reading, rounded to two digits."""
    alike = [tuple(value / (sum(one) / len(one)) * 100.0 for value in one) for one in SETS]
    found = fit_scatter([repeat_set(one) for one in alike] * MANY)

    assert found.relative == 0.0059
    assert found.fixed == 0.0
    assert found.degrees == 3 + 6 * MANY


def test_single_readings_say_nothing() -> None:
    """A set of one is no set; without any the scatter is what is assumed: 2 % with three degrees."""
    assert repeat_set((500.0,)) is None
    assert fit_scatter([]) == Scatter(0.0, 0.02, 3, None, None)


@pytest.mark.parametrize("unit", [0.00980665, 0.0352739619, 1.0])
def test_the_unit_of_the_readings_does_not_matter(unit: float) -> None:
    """Readings in newton, in ounces and in grams scatter alike, to the rounding."""
    grams = fit_scatter([repeat_set(one) for one in SETS])
    other = fit_scatter([repeat_set([value * unit for value in one]) for one in SETS])

    assert other.relative == grams.relative
    assert other.of(210.0 * unit) / unit == pytest.approx(grams.of(210.0), rel=0.05)
