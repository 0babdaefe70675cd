"""What a flyer's records say about the wind they like, against how stiff the kite is."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, log, sqrt
from typing import NamedTuple

from bowbook.bench.checks import positive
from bowbook.bench.uncertain import t95

FEWEST_KITES = 3  # for a prediction
FEWEST_FOR_SLOPE = 6


class RatioFit(NamedTuple):
    """Ratios of liked wind to flex wind, in logs: mean, standard deviation, how many kites."""

    mean_log: float
    spread: float
    kites: int

    @property
    def ratio(self) -> float:
        """The geometric mean of the ratios."""
        return exp(self.mean_log)

    def interval(self) -> tuple[float, float]:
        """The 95 % interval for the ratio of one more kite: mean ± t s √(1 + 1/n), n − 1 degrees of freedom."""
        half = t95(self.kites - 1) * self.spread * sqrt(1 + 1 / self.kites)
        return exp(self.mean_log - half), exp(self.mean_log + half)


class Line(NamedTuple):
    """A straight line by least squares, with standard errors, and the 95 % interval of its slope."""

    slope: float
    intercept: float
    s_slope: float
    s_intercept: float
    s_residual: float
    low: float
    high: float


def geometric_mean(values: Sequence[float]) -> float:
    """The geometric mean.

    Parameters
    ----------
    values : any unit, > 0, one at least

    Returns
    -------
    Their geometric mean, in the same unit.

    Raises
    ------
    ValueError : no values, or one that is not positive.

    >>> geometric_mean((2.0, 8.0))
    4.0
    """
    if not values:
        raise ValueError("there are no winds to average; there must be one at least")
    for value in values:
        positive("a wind", value, "m/s")
    return exp(fsum(log(value) for value in values) / len(values))


def fit_ratios(ratios: Sequence[float]) -> RatioFit | None:
    """The mean and the spread of ln(liked wind / flex wind) over kites.

    Parameters
    ----------
    ratios : one for each kite, > 0

    Returns
    -------
    The fit, or None from fewer than three kites.

    Raises
    ------
    ValueError : a ratio is not positive.

    >>> fit_ratios((0.5, 1.0, 2.0))
    RatioFit(mean_log=0.0, spread=0.693147, kites=3)
    """
    for ratio in ratios:
        positive("the ratio of liked wind to flex wind", ratio, "")
    n = len(ratios)
    if n < FEWEST_KITES:
        return None
    logs = [log(ratio) for ratio in ratios]
    mean = fsum(logs) / n
    return RatioFit(mean, sqrt(fsum((x - mean) ** 2 for x in logs) / (n - 1)), n)


def left_out(flex: Sequence[float], middles: Sequence[float]) -> list[float] | None:
    """For each kite, the middle of the liked wind that the other kites would have foretold.

    Parameters
    ----------
    flex : flex wind of each kite, m/s, > 0
    middles : middle of the wind liked with it, m/s, > 0

    Returns
    -------
    Foretold middles, m/s; None from fewer than three kites.

    >>> left_out((2.0, 3.0, 4.0), (4.0, 6.0, 8.0))
    [4.0, 6.0, 8.0]
    """
    n = len(flex)
    if n < FEWEST_KITES:
        return None
    logs = [log(middle / wind) for wind, middle in zip(flex, middles, strict=True)]
    total = fsum(logs)
    return [wind * exp((total - own) / (n - 1)) for wind, own in zip(flex, logs, strict=True)]


def left_out_error(flex: Sequence[float], middles: Sequence[float]) -> float | None:
    """How far off the foretold middles are, each kite left out in turn.

    Parameters
    ----------
    flex : flex wind of each kite, m/s, > 0
    middles : middle of the wind liked with it, m/s, > 0

    Returns
    -------
    Root mean square of ln(foretold / actual); None from fewer than three kites.

    >>> left_out_error((1.0, 1.0, 1.0), (1.0, 1.0, 8.0))
    1.4703872
    """
    foretold = left_out(flex, middles)
    if foretold is None:
        return None
    return sqrt(fsum(log(f / m) ** 2 for f, m in zip(foretold, middles, strict=True)) / len(foretold))


def line(x: Sequence[float], y: Sequence[float]) -> Line | None:
    """The straight line through points by ordinary least squares.

    Parameters
    ----------
    x, y : (n,), any units

    Returns
    -------
    The line; None from fewer than three points, or where all x are the same.

    >>> line((0.0, 1.0, 2.0, 3.0), (1.0, 3.0, 5.0, 7.0)).slope
    2.0
    """
    n = len(x)
    if n < 3:
        return None
    x_mean, y_mean = fsum(x) / n, fsum(y) / n
    xx = fsum((a - x_mean) ** 2 for a in x)
    if xx <= (1e-12 * (abs(x_mean) + 1e-300)) ** 2:
        return None
    slope = fsum((a - x_mean) * (b - y_mean) for a, b in zip(x, y, strict=True)) / xx
    intercept = y_mean - slope * x_mean
    s = sqrt(fsum((b - y_mean - slope * (a - x_mean)) ** 2 for a, b in zip(x, y, strict=True)) / (n - 2))
    s_slope = s / sqrt(xx)
    half = t95(n - 2) * s_slope
    s_intercept = s * sqrt(1 / n + x_mean**2 / xx)
    return Line(slope, intercept, s_slope, s_intercept, s, slope - half, slope + half)


def slope_check(flex: Sequence[float], middles: Sequence[float]) -> Line | None:
    """How the liked wind grows with the flex wind: the line of ln(middle) on ln(flex).

    Parameters
    ----------
    flex : flex wind of each kite, m/s, > 0
    middles : middle of the wind liked with it, m/s, > 0

    Returns
    -------
    The line; None from fewer than six kites, or where all flex winds are the same. A slope of 1 is what stiffness
    alone would give.

    >>> slope_check((1.0, 2.0, 3.0, 4.0, 5.0, 6.0), (2.0, 4.0, 6.0, 8.0, 10.0, 12.0)).slope
    1.0
    """
    if len(flex) < FEWEST_FOR_SLOPE:
        return None
    return line([log(v) for v in flex], [log(v) for v in middles])
