"""Differences, verdicts, and how many more readings would settle one."""

from __future__ import annotations

from math import inf, sqrt

import numpy as np
import pytest
from scipy.stats import norm, t

from bowbook.mechanics.balance import DifferenceSureness, bound, difference, mark_uncertainty, promise, verdict


def test_a_mark_off_the_middle_makes_a_difference_of_four_times_its_part() -> None:
    """Euler's loads of one rod held 1 mm off its middle, 319 and 321 mm long: 1.25 % for halves of 320 mm."""
    left, right = 1 / 0.319**2, 1 / 0.321**2

    assert difference(left, right) == pytest.approx(4 * 0.001 / 0.320, rel=1e-4)


def test_a_mark_by_a_ruler_is_off_by_a_triangle() -> None:
    """A hundred thousand marks: the ruler laid to a tip and read at the middle, each to the nearest half millimetre."""
    rng = np.random.default_rng(1)
    readings = rng.uniform(-0.25, 0.25, (100_000, 2))  # what rounding each reading leaves, mm
    off = readings.sum(axis=1) * 1e-3
    made = 4 * off / 0.320

    assert mark_uncertainty(0.0005, 0.320) == pytest.approx(float(np.std(made)), rel=0.01)


@pytest.mark.parametrize(("n", "p"), [(3, 0.975), (4, 0.9875)])
@pytest.mark.parametrize("degrees", [3.0, 12.5, inf])
def test_the_limits_are_quantiles_of_student_s_t(n: int, p: float, degrees: float) -> None:
    """scipy.stats.t: even by t₀.₉₇₅ up to three readings and t₀.₉₈₇₅ after, stiffer by t₀.₉₉₃₇₅ at every look."""
    of = norm if degrees == inf else t(degrees)
    sure = DifferenceSureness(((0.01, degrees),), 0.0, n)
    even, stiffer = 0.2 - of.ppf(p) * 0.01, of.ppf(0.99375) * 0.01

    assert verdict(even - 1e-9, sure, 0.2) == "even"
    assert verdict(even + 1e-9, sure, 0.2) == "too close to call"
    assert bound(-0.01, sure) == pytest.approx(0.01 + 0.2 - even, rel=1e-9)
    assert verdict(stiffer + 1e-9, sure, 0.0) == "left stiffer"
    assert verdict(-stiffer - 1e-9, sure, 0.0) == "right stiffer"
    assert sure.expanded == pytest.approx(of.ppf(0.975) * 0.01, rel=1e-9)


def test_a_mark_known_for_certain_adds_to_the_uncertainty_and_to_the_degrees() -> None:
    """Equal parts from scatter with three degrees and from the mark: √2 of either, twelve degrees."""
    sure = DifferenceSureness(((0.01, 3.0),), 0.01, 3)

    assert sure.u == pytest.approx(0.01 * sqrt(2), rel=1e-12)
    assert sure.degrees == pytest.approx(12.0, rel=1e-12)


@pytest.mark.parametrize(("d", "n"), [(0.01, 3), (0.02, 3), (0.03, 5), (0.045, 3), (0.0, 8)])
def test_a_promise_comes_true_as_often_as_it_says(d: float, n: int) -> None:
    """Draws of true differences and of readings to come, given what was read so far: within 2 in 100.

    The prior is a difference of standard deviation 3 %; scatter of 1.2 % on 20 degrees, drawn as s²ν/χ².
    """
    rng = np.random.default_rng(11)
    draws, nu, s = 200_000, 20, 0.012
    sure = DifferenceSureness(((s * sqrt(2 / n), float(nu)),), 0.0026, n)
    sigma = s * np.sqrt(nu / rng.chisquare(nu, draws))
    v = 2 * sigma**2 / n
    k = 0.03**2 / (0.03**2 + v)
    true = k * d + np.sqrt(k * v) * rng.normal(size=draws)
    for m in (2, 6, 12):
        after = (n * d + m * (true + sigma * np.sqrt(2 / m) * rng.normal(size=draws))) / (n + m)
        later = DifferenceSureness(((s * sqrt(2 / (n + m)), nu + 2.0 * m),), 0.0026, n + m)
        settled = np.mean((abs(after) > max(0.03, later.to_be_stiffer)) | (abs(after) <= 0.03 - later.to_be_even))
        found = promise(d, sure, (n, n), 0.03)
        if m == 12:
            assert found.by_twelve == pytest.approx(settled, abs=0.02)
        if found.more is not None and found.more <= m:
            assert settled > 0.83
        if found.more is None or found.more > m:
            assert settled < 0.87


def test_what_readings_cannot_settle_is_not_promised() -> None:
    """A difference near the tolerance, and fingers that scatter by a tenth."""
    assert promise(0.03, DifferenceSureness(((0.005, 20.0),), 0.0026, 3), (3, 3), 0.03).more is None
    assert promise(0.0, DifferenceSureness(((0.08, 20.0),), 0.0, 3), (3, 3), 0.03).more is None
