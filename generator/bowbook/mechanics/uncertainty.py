"""How sure a reading is: repeats pooled over the book, the scale's last digit, Student's t."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from math import atan, cos, exp, hypot, lgamma, pi, sin, sqrt, tan
from typing import TYPE_CHECKING, NamedTuple

from bowbook.mechanics.limits import positive

if TYPE_CHECKING:
    from uncertainties import UFloat

FEWEST_DEGREES = 2  # of freedom, where nothing was repeated


class Repeats(NamedTuple):
    """What some sets of repeats say together: the sum of their (x/mean − 1)², and its degrees of freedom."""

    squares: float = 0.0
    degrees: int = 0


def repeats(sets: Iterable[Sequence[float]]) -> Repeats:
    """What sets of repeats of one reading each say; sets of one say nothing.

    Parameters
    ----------
    sets : repeats of one reading each, any unit, all > 0

    Returns
    -------
    Sum of squares of the relative deviations from each set's mean, and degrees of freedom.

    Raises
    ------
    ValueError : a reading is not positive.

    >>> repeats([(212, 215, 214), (208, 209)])
    Repeats(squares=0.00011372097, degrees=3)
    """
    total, degrees = 0.0, 0
    for values in sets:
        for value in values:
            positive("a reading", value, "")
        if len(values) > 1:
            mean = sum(values) / len(values)
            total += sum((value / mean - 1) ** 2 for value in values)
            degrees += len(values) - 1
    return Repeats(total, degrees)


def pooled(parts: Iterable[Repeats]) -> tuple[float | None, int]:
    """The relative repeatability of one reading, pooled over all parts.

    Parameters
    ----------
    parts : what some sets of repeats say, as `repeats` gives it; no unit

    Returns
    -------
    Pooled relative standard deviation (None where nothing was repeated), and its degrees of freedom.

    Source: IUPAC Gold Book P04758, s² = Σ νᵢ sᵢ²/Σ νᵢ with νᵢ = nᵢ − 1, each sᵢ over its own mean.

    >>> pooled([Repeats(0.0002, 3), Repeats(0.0001, 3)])
    (0.0070710678, 6)
    """
    total, degrees = 0.0, 0
    for part in parts:
        total += part.squares
        degrees += part.degrees
    return (sqrt(total / degrees) if degrees else None), degrees


@cache
def t95(degrees: int) -> float:
    """Student's t for 95 % both ways.

    Parameters
    ----------
    degrees : of freedom; 0 or less stands for nothing repeated and counts as 2

    Returns
    -------
    The 0.975 quantile.

    Source: Abramowitz & Stegun 26.7.3 and 26.7.4, solved for t; values in NIST Technical Note 1297, table B.1.

    >>> t95(6), t95(0)
    (2.446912, 4.302653)
    """
    degrees = degrees if degrees > 0 else FEWEST_DEGREES
    slope = 2 / sqrt(pi) * exp(lgamma((degrees + 1) / 2) - lgamma(degrees / 2))
    angle = atan(1.96 / sqrt(degrees))  # tan(angle) = t/√degrees; 1.96 is t of very many
    for _ in range(30):  # Newton's steps on a curve that bends one way; five or six are enough
        step = (0.95 - _within(angle, degrees)) / (slope * cos(angle) ** (degrees - 1))
        angle += step
        if abs(step) < 1e-15:
            break
    return sqrt(degrees) * tan(angle)


def _within(angle: float, degrees: int) -> float:
    """Probability of Student's t staying within ±√degrees tan(angle)."""
    square = cos(angle) ** 2
    odd = degrees % 2
    term = cos(angle) if odd else 1.0
    total = term if degrees > 1 else 0.0
    for n in range(2 + odd, degrees - 1, 2):
        term *= square * (n - 1) / n
        total += term
    return (angle + sin(angle) * total) * 2 / pi if odd else sin(angle) * total


def reading(values: Sequence[float], s_rel: float | None, resolution: float) -> UFloat:
    """The mean of some repeats, with its standard uncertainty.

    Parameters
    ----------
    values : repeats, any unit, > 0, one at least
    s_rel : relative repeatability of one reading, or None where nothing was repeated
    resolution : of the scale or ruler, in the same unit as the values; 0 or more

    Returns
    -------
    Mean ± √((s_rel · mean)²/n + resolution²/12), a variable of its own.

    Raises
    ------
    ValueError : no values, or one that is not positive.

    Source: GUM, JCGM 100:2008, 4.2.4 for a pooled repeatability and F.2.2.1 for resolution.

    >>> reading((214.0, 213.0, 215.0), 0.006, 1.0).std_dev
    0.795541
    """
    from uncertainties import ufloat

    if not values:
        raise ValueError("a reading has no values; it must have one at least")
    for value in values:
        positive("a reading", value, "")
    mean = sum(values) / len(values)
    return ufloat(mean, hypot((s_rel or 0.0) * mean / sqrt(len(values)), resolution / sqrt(12)))
