"""Student's t for any degrees of freedom, whole or not, and how the degrees of several parts combine."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from math import exp, fsum, inf, isinf, lgamma, log, pi, sqrt

from bowbook.mechanics.limits import positive

_TINY = 1e-300
_NEAR = 1e-6  # a step of Halley's as short leaves its third power


def t_cdf(t: float, degrees: float) -> float:
    """The probability that Student's t is below a value.

    Parameters
    ----------
    t : the value, no unit
    degrees : of freedom, > 0; infinite gives the normal distribution

    Returns
    -------
    Probability, 0 to 1.

    Raises
    ------
    ValueError : the degrees are not more than 0.

    Source: Abramowitz & Stegun 26.7.1, with the incomplete beta function by its continued fraction, 26.5.8.

    >>> t_cdf(2.446912, 6)
    0.9750000
    """
    if isinf(degrees) and degrees > 0:
        from statistics import NormalDist

        return NormalDist().cdf(t)
    positive("the number of degrees of freedom", degrees, "")
    tail = 0.5 * _incomplete_beta(0.5 * degrees, 0.5, degrees / (degrees + t * t))
    return 1 - tail if t > 0 else tail


def _incomplete_beta(a: float, b: float, x: float) -> float:
    """The regularised incomplete beta function."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    if x > (a + 1) / (a + b + 2):
        return 1 - _incomplete_beta(b, a, 1 - x)
    front = exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1 - x)) / a
    c, d = 1.0, 1 / (1 - (a + b) * x / (a + 1) or _TINY)
    value = d
    for m in range(1, 500):
        for step in (
            m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
            -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1)),
        ):
            d = 1 / (1 + step * d or _TINY)
            c = 1 + step / c or _TINY
            value *= c * d
        if abs(c * d - 1) < 1e-15:
            break
    return front * value


@lru_cache(maxsize=4096)
def t_quantile(p: float, degrees: float) -> float:
    """The value that Student's t is below with a given probability.

    Parameters
    ----------
    p : probability, above 0 and below 1
    degrees : of freedom, > 0; infinite gives the normal distribution

    Returns
    -------
    The p-quantile, no unit.

    Raises
    ------
    ValueError : a quantity is outside its range.

    Source: `t_cdf` solved by Halley's method, beginning with Abramowitz & Stegun 26.7.5; values in NIST Technical
    Note 1297, table B.1.

    >>> t_quantile(0.975, 6), t_quantile(0.975, 12.5)
    (2.446912, 2.169186)
    """
    from statistics import NormalDist

    if not 0 < p < 1:
        raise ValueError(f"the probability is {p:g}; it must be above 0 and below 1")
    if isinf(degrees) and degrees > 0:
        return NormalDist().inv_cdf(p)
    positive("the number of degrees of freedom", degrees, "")
    if p < 0.5:
        return -t_quantile(1 - p, degrees)
    z = NormalDist().inv_cdf(p)
    t = z + (z**3 + z) / (4 * degrees) + (5 * z**5 + 16 * z**3 + 3 * z) / (96 * degrees**2)
    peak = exp(lgamma((degrees + 1) / 2) - lgamma(degrees / 2)) / sqrt(degrees * pi)
    low, high = 0.0, inf
    for _ in range(1000):
        miss = t_cdf(t, degrees) - p
        low, high = (low, t) if miss > 0 else (t, high)
        step: float = miss / (peak * (1 + t * t / degrees) ** (-(degrees + 1) / 2))
        new = t - step / (1 + step * (degrees + 1) * t / (2 * (degrees + t * t)))
        if not low <= new <= high:
            new = 0.5 * (low + high) if high < inf else 2 * t
        if abs(new - t) <= _NEAR * (1 + abs(t)):
            return new
        t = new
    return t


def combined_degrees(parts: Iterable[tuple[float, float]]) -> float:
    """The effective degrees of freedom of a sum of independent parts.

    Parameters
    ----------
    parts : (standard uncertainty, degrees of freedom) of each; uncertainties in one unit, ≥ 0

    Returns
    -------
    (Σu²)²/Σ(u⁴/ν): infinite where no part with finite degrees has any uncertainty.

    Raises
    ------
    ValueError : degrees of freedom that are not more than 0.

    Source: the Welch-Satterthwaite formula, JCGM 100:2008, G.4.

    >>> round(combined_degrees([(0.25, 9), (0.57, 4), (0.82, 14)]), 1)
    19.0
    """
    given = [(u * u, degrees) for u, degrees in parts]
    for _, degrees in given:
        if not degrees > 0:
            raise ValueError(f"the degrees of freedom are {degrees:g}; they must be more than 0")
    below = fsum(square * square / degrees for square, degrees in given if not isinf(degrees))
    total = fsum(square for square, _ in given)
    return total * total / below if below > 0 else inf
