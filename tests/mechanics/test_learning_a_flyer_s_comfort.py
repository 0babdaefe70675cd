"""What records say about a flyer: ratios, prediction, the left-out error, the slope.

The other method is numpy's and SciPy's own statistics; a prediction interval is checked by drawing new kites.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from bowbook.mechanics.comfort import fit, geometric_mean, line, predict, slope

# Flex wind, lower and upper edge of the liked wind, m/s; invented.
POINTS = [
    (1.9, 1.2, 2.9),
    (2.4, 1.7, 3.3),
    (3.1, 1.9, 4.9),
    (3.6, 2.6, 5.0),
    (4.4, 2.9, 6.9),
    (2.0, 1.5, 2.6),
    (5.1, 3.1, 7.0),
]


def test_ratios_and_spread_are_those_of_the_logs() -> None:
    """Geometric means of edge over flex wind; the standard deviation of the log ratio of the middles."""
    found = fit(POINTS)
    flex, low, high = np.array(POINTS).T

    assert found.kites == len(POINTS)
    assert found.ratio_low == pytest.approx(stats.gmean(low / flex), rel=1e-12)
    assert found.ratio_high == pytest.approx(stats.gmean(high / flex), rel=1e-12)
    assert found.spread == pytest.approx(np.std(np.log(np.sqrt(low * high) / flex), ddof=1), rel=1e-12)


def test_the_interval_is_that_of_a_new_observation() -> None:
    """SciPy's t, s √(1 + 1/n)."""
    found, flex = fit(POINTS), 3.0
    f, low, _ = np.array(POINTS).T
    logs = np.log(low / f)
    half = stats.t.ppf(0.975, len(logs) - 1) * logs.std(ddof=1) * np.sqrt(1 + 1 / len(logs))

    foretold = predict(found, flex)

    assert foretold.low == pytest.approx(flex * np.exp(logs.mean()), rel=1e-12)
    assert foretold.low_interval == pytest.approx(tuple(flex * np.exp(logs.mean() + np.array([-half, half]))), rel=1e-9)
    assert foretold.high_interval[0] < foretold.high < foretold.high_interval[1]


def test_nineteen_of_twenty_new_kites_fall_inside() -> None:
    """Drawn again and again: five kites to learn from, a sixth foretold."""
    rng = np.random.default_rng(11)
    inside = 0
    for _ in range(2000):
        ratios = np.exp(rng.normal(0.2, 0.15, 6))
        found = fit([(1.0, r, r) for r in ratios[:5]])
        low, high = predict(found, 1.0).low_interval
        inside += low <= ratios[5] <= high

    assert inside / 2000 == pytest.approx(0.95, abs=0.015)  # three standard deviations of the draw


def test_each_kite_is_foretold_by_the_others_alone() -> None:
    """Worked again by fitting without it."""
    found = fit(POINTS)
    off = []
    for i, (flex, low, high) in enumerate(POINTS):
        others = fit(POINTS[:i] + POINTS[i + 1 :])
        middle = flex * np.sqrt(others.ratio_low * others.ratio_high)
        assert found.left_out_middles[i] == pytest.approx(middle, rel=1e-12)
        off.append(np.log(middle / np.sqrt(low * high)))

    assert found.left_out_error == pytest.approx(np.sqrt(np.mean(np.square(off))), rel=1e-12)


def test_the_slope_is_scipy_s() -> None:
    """With its standard error and its 95 % interval."""
    found = slope(POINTS)
    flex, low, high = np.array(POINTS).T
    other = stats.linregress(np.log(flex), np.log(np.sqrt(low * high)))
    half = stats.t.ppf(0.975, len(POINTS) - 2) * other.stderr

    assert found is not None
    assert found.value == pytest.approx(other.slope, rel=1e-10)
    assert found.u == pytest.approx(other.stderr, rel=1e-10)
    assert (found.low, found.high) == pytest.approx((other.slope - half, other.slope + half), rel=1e-9)


def test_too_few_records_say_nothing() -> None:
    """Three kites for a prediction, six for a slope, flex winds that differ for any."""
    with pytest.raises(ValueError, match="2 kites have both a liked wind and a flex wind; 3 at least are needed"):
        fit(POINTS[:2])
    assert slope(POINTS[:5]) is None
    assert slope([(2.0, 1.0 + i / 10, 3.0) for i in range(8)]) is None
    assert line([1.0, 2.0], [1.0, 2.0]) is None


def test_geometric_means() -> None:
    """Of one value itself; of none, or of a calm, refused."""
    assert geometric_mean([3.0]) == pytest.approx(3.0, rel=1e-12)
    for winds in ([], [0.0, 2.0], [-1.0]):
        with pytest.raises(ValueError, match="wind"):
            geometric_mean(winds)
