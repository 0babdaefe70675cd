"""The strip over an edge against ASTM D1388, and what its half length rests on.

Source: ASTM D1388 option A and ISO 9073-7 (41.5°); F. T. Peirce, The handle of cloth as a measurable quantity,
J. Textile Institute 21 (1930) T377-T416. Peirce's closed form gives 0.509 of the overhang at 41.5°; the exact heavy
elastica, integrated here, gives the half that the standard takes. Worked figures derived with g₀ = 9.80665 m/s².
"""

from __future__ import annotations

from math import atan2, degrees

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.optimize import brentq

from bowbook.mechanics.fabric import bending_length_from_overhang, plate_rigidity, strip_rigidity

SIX_FIGURES = 1e-6
HALF = 2e-4  # of the overhang: how far the exact strip is from one half


def chord_angle(parameter: float) -> float:
    """Degrees below level of the chord of a strip over an edge, for (overhang/c)³: the exact heavy elastica."""

    def slopes(s: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.array([y[1], -parameter * (1 - s) * np.cos(y[0]), np.cos(y[0]), np.sin(y[0])])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0], b[1], a[2], a[3]])

    s = np.linspace(0, 1, 41)
    start = np.array([0.9 * s, 0.9 * (1 - s), s, 0.4 * s])
    found = solve_bvp(slopes, ends, s, start, tol=1e-8, max_nodes=20000)
    return degrees(atan2(found.y[3, -1], found.y[2, -1]))


def test_the_bending_length_is_half_the_overhang_at_the_standard_angle() -> None:
    """At 41.5° the exact strip has c/overhang 0.499913."""
    parameter = brentq(lambda p: chord_angle(p) - 41.5, 4.0, 14.0, xtol=1e-8)
    exact = parameter ** (-1 / 3)

    assert exact == pytest.approx(0.499913, abs=2e-6)
    assert bending_length_from_overhang(1.0) == pytest.approx(exact, abs=HALF)


def test_a_worked_strip() -> None:
    """50 g/m² with 96 mm of overhang: c = 48 mm, G = 54.226852 µN m = 552.96 mg cm."""
    c = bending_length_from_overhang(0.096)
    G = strip_rigidity(0.050, c)

    assert c == pytest.approx(0.048, rel=1e-12)
    assert pytest.approx(54.226852e-6, rel=1e-8) == G
    assert pytest.approx(552.96, rel=1e-9) == G / 9.80665e-8


@pytest.mark.parametrize(
    ("thick_um", "D", "c"), [(12, 0.757363e-6, 0.016667), (23, 5.332661e-6, 0.025717), (50, 54.786115e-6, 0.043157)]
)
def test_polyester_film_bends_as_a_plate(thick_um: float, D: float, c: float) -> None:
    """E 4.5 GPa, ν 0.38, 1390 kg/m³: E t³/12(1 − ν²), and the bending length that gives the same by its weight."""
    t = thick_um * 1e-6

    assert plate_rigidity(4.5e9, t, 0.38) == pytest.approx(D, rel=SIX_FIGURES)
    assert strip_rigidity(1390 * t, c) == pytest.approx(D, rel=1e-4)
