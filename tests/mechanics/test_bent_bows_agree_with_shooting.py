"""Bent bows of chance against an independent integration of the rod's equations.

The other method shares nothing with the program's: SciPy's eighth-order Runge-Kutta (DOP853) shoots from the left
tip and a general root finder aims it, where the program collocates. Uneven halves, tapers, shaved and stiffened
zones, span over length from 0.70 to 0.995.
"""

from __future__ import annotations

from dataclasses import fields

import pytest

from bowbook.mechanics.elastica import bend
from mechanics.rods import Shot, bow_of_chance, shoot

AGREE = 1e-6  # relative, of every figure
IN_THE_PLAIN_RUN = 20


def furthest_apart(seed: int) -> float:
    """The greatest relative difference between the two methods over all figures of one bow."""
    bow, span = bow_of_chance(seed)
    bent, shot = bend(bow, span), shoot(bow, span)
    return max(abs(getattr(bent, f.name) / getattr(shot, f.name) - 1) for f in fields(Shot))


@pytest.mark.long
def test_bows_of_chance_agree_with_shooting() -> None:
    """Thrust, both tip slopes, rise and where it is, for the first bows of the two hundred."""
    assert max(furthest_apart(seed) for seed in range(IN_THE_PLAIN_RUN)) < AGREE


@pytest.mark.fuzz
@pytest.mark.parametrize("tens", range(IN_THE_PLAIN_RUN // 10, 20))
def test_two_hundred_bows_of_chance_agree_with_shooting(tens: int) -> None:
    """The rest of the two hundred, ten at a time."""
    assert max(furthest_apart(seed) for seed in range(10 * tens, 10 * tens + 10)) < AGREE


def test_the_two_methods_would_be_seen_to_differ() -> None:
    """A bow a tenth of a percent stiffer on one half is further from the shot one than what is allowed."""
    bow, span = bow_of_chance(3)
    other = bow.with_zone(0.0, bow.length / 2, 1.001)

    assert abs(bend(other, span).thrust_N / shoot(bow, span).thrust_N - 1) > 50 * AGREE
