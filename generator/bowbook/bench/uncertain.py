"""How sure a reading is: repeats pooled over the book, the scale's last digit, Student's t."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import hypot, sqrt
from typing import TYPE_CHECKING

from bowbook.bench.checks import positive

if TYPE_CHECKING:
    from uncertainties import UFloat

FEWEST_DEGREES = 2  # of freedom, where nothing was repeated


def pooled_relative(sets: Iterable[Sequence[float]]) -> tuple[float | None, int]:
    """The relative repeatability of one reading, pooled over all sets of repeats.

    Parameters
    ----------
    sets : repeats of one reading each, any unit, all > 0; sets of one say nothing

    Returns
    -------
    Pooled relative standard deviation (None where nothing was repeated), and its degrees of freedom.

    Raises
    ------
    ValueError : a reading is not positive.

    Source: IUPAC Gold Book P04758, s² = Σ νᵢ sᵢ²/Σ νᵢ with νᵢ = nᵢ − 1, each sᵢ over its own mean.

    >>> pooled_relative([(212, 215, 214), (208, 209), (231, 228, 230, 229)])
    (0.0058970504, 6)
    """
    total, degrees = 0.0, 0
    for values in sets:
        for value in values:
            positive("a reading", value, "")
        if len(values) > 1:
            mean = sum(values) / len(values)
            total += sum((value / mean - 1) ** 2 for value in values)
            degrees += len(values) - 1
    return (sqrt(total / degrees) if degrees else None), degrees


def t95(degrees: int) -> float:
    """Student's t for 95 % both ways.

    Parameters
    ----------
    degrees : of freedom; 0 or less stands for nothing repeated and counts as 2

    Returns
    -------
    The 0.975 quantile.

    Source: NIST Technical Note 1297, table B.1.

    >>> t95(6), t95(0)
    (2.446912, 4.302653)
    """
    from scipy.special import stdtrit

    return float(stdtrit(degrees if degrees > 0 else FEWEST_DEGREES, 0.975))


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
