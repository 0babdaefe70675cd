"""What a flyer's records say about the wind they like, against how stiff the kite is."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, log, sqrt
from typing import TypeAlias

from msgspec import Struct

from bowbook.mechanics.limits import positive
from bowbook.mechanics.student import t_quantile

FEWEST_KITES = 3  # for a prediction
FEWEST_FOR_SLOPE = 6

Point: TypeAlias = tuple[float, float, float]  # flex wind, lower and upper edge of the liked wind; m/s


class Edge(Struct, frozen=True):
    """Over kites: mean and standard deviation of ln(an edge of the liked wind / flex wind)."""

    mean_log: float
    spread: float


class ComfortFit(Struct, frozen=True):
    """One flyer's records: how the liked wind stands to the flex wind.

    spread : standard deviation of ln(middle of the liked wind / flex wind)
    left_out_middles : for each kite, the middle that the other kites would have foretold, m/s
    left_out_error : root mean square of ln(foretold / actual middle)
    """

    kites: int
    low: Edge
    high: Edge
    spread: float
    left_out_middles: tuple[float, ...]
    left_out_error: float

    @property
    def ratio_low(self) -> float:
        """Geometric mean of lower edge over flex wind."""
        return exp(self.low.mean_log)

    @property
    def ratio_high(self) -> float:
        """Geometric mean of upper edge over flex wind."""
        return exp(self.high.mean_log)


class Prediction(Struct, frozen=True):
    """Where a flyer is expected to like a kite, m/s, and the 95 % interval of either edge."""

    low: float
    high: float
    low_interval: tuple[float, float]
    high_interval: tuple[float, float]


class Slope(Struct, frozen=True):
    """Slope of ln(middle of the liked wind) on ln(flex wind), its standard error and 95 % interval."""

    value: float
    u: float
    low: float
    high: float


class FittedLine(Struct, frozen=True):
    """A straight line by least squares, with standard errors and the residual standard deviation."""

    slope: float
    intercept: float
    s_slope: float
    s_intercept: float
    s_residual: float


def geometric_mean(values: Sequence[float]) -> float:
    """The geometric mean.

    Parameters
    ----------
    values : all in the same unit, > 0, one at least

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


def fit(points: Sequence[Point]) -> ComfortFit:
    """How the wind a flyer likes stands to the flex wind, over kites.

    Parameters
    ----------
    points : (flex wind, lower edge, upper edge) of each kite, m/s, all > 0; three kites at least

    Returns
    -------
    Means and spreads of the log ratios, and what leaving each kite out in turn would have foretold.

    Raises
    ------
    ValueError : fewer than three kites, or a wind that is not positive.

    >>> found = fit([(1.0, 0.5, 2.0), (2.0, 1.0, 4.0), (3.0, 1.5, 6.0)])
    >>> found.ratio_low, found.ratio_high, found.left_out_middles
    (0.5, 2.0, (1.0, 2.0, 3.0))
    """
    n = len(points)
    if n < FEWEST_KITES:
        raise ValueError(f"{n} kites have both a liked wind and a flex wind; {FEWEST_KITES} at least are needed")
    for point in points:
        for value in point:
            positive("a wind", value, "m/s")
    middles = [log(low * high) / 2 - log(flex) for flex, low, high in points]
    together = fsum(middles)
    others = [(together - own) / (n - 1) for own in middles]
    return ComfortFit(
        n,
        _edge([log(low / flex) for flex, low, _ in points]),
        _edge([log(high / flex) for flex, _, high in points]),
        _edge(middles).spread,
        tuple(flex * exp(other) for (flex, _, _), other in zip(points, others, strict=True)),
        sqrt(fsum((other - own) ** 2 for other, own in zip(others, middles, strict=True)) / n),
    )


def _edge(logs: Sequence[float]) -> Edge:
    mean = fsum(logs) / len(logs)
    return Edge(mean, sqrt(fsum((x - mean) ** 2 for x in logs) / (len(logs) - 1)))


def predict(found: ComfortFit, flex: float) -> Prediction:
    """Where a flyer is expected to like a kite not yet in their records.

    Parameters
    ----------
    found : the flyer's records, fitted; its ratios have no unit
    flex : the kite's flex wind, m/s, > 0

    Returns
    -------
    Flex wind times the mean ratios; for either edge the 95 % interval of a new observation,
    mean ± t s √(1 + 1/n) of the logs with n − 1 degrees of freedom; m/s.

    Raises
    ------
    ValueError : the flex wind is not positive.

    Source: any text on prediction intervals, such as NIST/SEMATECH e-Handbook of Statistical Methods.

    >>> found = fit([(1.0, 0.5, 2.0), (2.0, 1.0, 4.0), (3.0, 1.5, 6.0)])
    >>> predict(found, 4.0).low, predict(found, 4.0).high_interval
    (2.0, (8.0, 8.0))
    """
    positive("the flex wind", flex, "m/s")
    return Prediction(
        flex * found.ratio_low,
        flex * found.ratio_high,
        _interval(found, found.low, flex),
        _interval(found, found.high, flex),
    )


def _interval(found: ComfortFit, edge: Edge, flex: float) -> tuple[float, float]:
    half = t_quantile(0.975, found.kites - 1) * edge.spread * sqrt(1 + 1 / found.kites)
    return flex * exp(edge.mean_log - half), flex * exp(edge.mean_log + half)


def line(x: Sequence[float], y: Sequence[float]) -> FittedLine | None:
    """The straight line through points by ordinary least squares.

    Parameters
    ----------
    x, y : (n,), each in the same unit throughout

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
    gradient = fsum((a - x_mean) * (b - y_mean) for a, b in zip(x, y, strict=True)) / xx
    intercept = y_mean - gradient * x_mean
    s = sqrt(fsum((b - y_mean - gradient * (a - x_mean)) ** 2 for a, b in zip(x, y, strict=True)) / (n - 2))
    s_slope = s / sqrt(xx)
    s_intercept = s * sqrt(1 / n + x_mean**2 / xx)
    return FittedLine(gradient, intercept, s_slope, s_intercept, s)


def slope(points: Sequence[Point]) -> Slope | None:
    """How the liked wind grows with the flex wind: the slope of ln(middle) on ln(flex).

    Parameters
    ----------
    points : (flex wind, lower edge, upper edge) of each kite, m/s, all > 0

    Returns
    -------
    The slope; 1 is what stiffness alone would give. None from fewer than six kites, or where all flex winds
    are the same.

    >>> slope([(v, 1.5 * v, 2.0 * v) for v in (1.0, 2.0, 3.0, 4.0, 5.0, 6.0)]).value
    1.0
    """
    if len(points) < FEWEST_FOR_SLOPE:
        return None
    found = line([log(flex) for flex, _, _ in points], [log(low * high) / 2 for _, low, high in points])
    if found is None:
        return None
    half = t_quantile(0.975, len(points) - 2) * found.s_slope
    return Slope(found.slope, found.s_slope, found.slope - half, found.slope + half)
