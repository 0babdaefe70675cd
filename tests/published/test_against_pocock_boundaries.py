"""The verdict's quantile against group-sequential boundaries.

Source: S. J. Pocock, Biometrika 64 (1977) 191–199, constants for two-sided 5 % over 2 to 5 looks of equal size (values
from memory); the chance of crossing is recomputed here by the recursive integration of Armitage, McPherson & Rowe,
Journal of the Royal Statistical Society A 132 (1969) 235–244.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import norm

from bowbook.mechanics.balance import STIFFER
from bowbook.mechanics.student import t_quantile

POCOCK = {1: 1.960, 2: 2.178, 3: 2.289, 4: 2.361, 5: 2.413}


def crossed(limit: float, looks: int) -> float:
    """The chance that a sum of independent steps ever lies outside ±limit·√k over k = 1 to `looks` looks."""
    nodes, weights = np.polynomial.legendre.leggauss(201)
    x, density, out = limit * nodes, norm.pdf(limit * nodes), 2 * norm.sf(limit)
    w = limit * weights
    for k in range(2, looks + 1):
        edge = limit * math.sqrt(k)
        out += float(np.sum(w * density * (norm.sf(edge - x) + norm.cdf(-edge - x))))
        after = edge * nodes
        density = (norm.pdf(after[:, None] - x[None, :]) * (w * density)[None, :]).sum(axis=1)
        x, w = after, edge * weights
    return out


@pytest.mark.parametrize("looks", POCOCK)
def test_the_integration_gives_pocock_s_constants(looks: int) -> None:
    """Five in a hundred at each printed constant, to its last digit."""
    slack = abs(crossed(POCOCK[looks] - 0.0005, looks) - crossed(POCOCK[looks] + 0.0005, looks))

    assert crossed(POCOCK[looks], looks) == pytest.approx(0.05, abs=slack)


def test_five_looks_call_an_even_bow_stiffer_less_than_five_times_in_a_hundred() -> None:
    """The one-sided quantile is above Pocock's constant for five looks, so nobody need keep count of them."""
    quantile = t_quantile(STIFFER, math.inf)

    assert quantile > POCOCK[5]
    assert 0.03 < crossed(quantile, 5) < 0.05
