"""Tapered rods against the columns of Dinnik.

Source: A. N. Dinnik, Design of columns of varying cross section, Trans. ASME 51 (1929) and 54 (1932), tabled in
Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 2.14 (named from memory). The cone's load is a closed
form, P = π² E √(I₀I₁)/L²; the others were found by integrating the column's equation to 1e-6.
"""

from __future__ import annotations

from math import pi, sqrt

import numpy as np
import pytest

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.section import second_moment_round
from bowbook.mechanics.taper import tapered_second_moment

ODE = 2e-6  # relative
CLOSED = 1e-9


@pytest.mark.parametrize("thin", [0.9, 0.5**0.5, 0.5, 0.3])
def test_a_cone_presses_by_the_geometric_mean_of_its_ends(thin: float) -> None:
    """A round rod whose diameter runs straight from d to `thin` d, pinned at both ends."""
    E, d, L = 70e9, 0.003, 0.3
    stations = (("round", d, None, None), ("round", thin * d, None, None))
    rod = tapered_second_moment((0.0, L), stations, L).scaled(E)

    ends = second_moment_round(d), second_moment_round(thin * d)
    assert pinned_column_load(rod) == pytest.approx(pi**2 * E * sqrt(ends[0] * ends[1]) / L**2, rel=CLOSED)


@pytest.mark.parametrize(("power", "factor"), [(1, 0.582363), (2, 0.526675), (3, 0.508751), (4, 0.5)])
def test_a_rod_that_tapers_by_a_power_presses_as_tabled(power: int, factor: float) -> None:
    """I ∝ xⁿ with a quarter of the second moment at the thin end, over the load of the thick end all along."""
    a = 0.25 ** (1 / power)  # x runs from a to 1

    def EI(s: np.ndarray) -> np.ndarray:
        return (a + (1 - a) * s) ** power

    load = pinned_column_load(Profile.from_pieces((0.0, 1.0), (EI,)))

    assert load / pi**2 == pytest.approx(factor, rel=ODE)


def test_a_strip_of_even_width_is_the_cubic_taper() -> None:
    """A flat strip that only thins has I ∝ x³: the section's stations give Dinnik's third column."""
    thin = 0.25 ** (1 / 3)
    stations = (("flat", 0.002, 0.004, None), ("flat", thin * 0.002, 0.004, None))
    rod = tapered_second_moment((0.0, 0.3), stations, 0.3)

    thick = 0.004 * 0.002**3 / 12
    assert pinned_column_load(rod) / (pi**2 * thick / 0.3**2) == pytest.approx(0.508751, rel=ODE)
