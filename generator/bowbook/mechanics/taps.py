"""What taps at the field teach: between which winds an edge of what a flyer likes must lie."""

from __future__ import annotations

from collections.abc import Sequence
from math import erfc, exp, fsum, log, sqrt
from typing import NamedTuple

from bowbook.mechanics.limits import positive

SCATTER = 0.15  # standard deviation of ln(wind felt / wind noted); common practice, no source
DOUBT = 0.05  # what is left outside the interval
_STEPS = 400


class EdgeBounds(NamedTuple):
    """The 95 % interval of an edge and, where both its sides are known, the wind it most evenly parts; m/s or None."""

    least: float | None
    middle: float | None
    most: float | None


def edge_bounds(under: Sequence[float], over: Sequence[float], scatter: float = SCATTER) -> EdgeBounds:
    """Between which winds an edge of the liked wind lies, from taps on either side of it.

    A tap in the wind w is taken as felt in a wind w exp(e), e normal with mean 0: a wind read between gusts, or told
    by eye, is not quite the one that the answer was about. A tap is under the edge with the probability
    Φ((ln edge − ln w)/scatter).

    Parameters
    ----------
    under : winds of taps that say the edge is higher, m/s, > 0 (for the upper edge: too little, and liked)
    over : winds of taps that say it is lower, m/s, > 0 (for the upper edge: too much)
    scatter : standard deviation of e, no unit, > 0

    Returns
    -------
    With taps on both sides: the middle 95 % and the median of the edge's likelihood, taken flat in ln edge.
    With taps on one side only: the one limit that such taps would leave behind in 5 % of cases, and None for the
    rest. With no tap: three times None.

    Raises
    ------
    ValueError : a wind or the scatter is not positive.

    Source: test inversion and flat-prior likelihood of a probit threshold, such as in Finney, Probit Analysis.

    >>> edge_bounds((7.0,), ()).least  # 7 exp(−1.644854 × 0.15)
    5.469472
    >>> edge_bounds((7.0,), (9.0,)).middle  # the geometric mean, by symmetry
    7.937254
    """
    positive("the scatter of a wind", scatter, "")
    for wind in (*under, *over):
        positive("a wind", wind, "m/s")
    low, high = [log(wind) for wind in under], [log(wind) for wind in over]
    if low and high:
        least, middle, most = (exp(x) for x in _quantiles(low, high, scatter, (DOUBT / 2, 0.5, 1 - DOUBT / 2)))
        return EdgeBounds(least, middle, most)
    if low:
        return EdgeBounds(exp(_limit(low, scatter, 1.0)), None, None)
    if high:
        return EdgeBounds(None, None, exp(_limit(high, scatter, -1.0)))
    return EdgeBounds(None, None, None)


def _below(z: float) -> float:
    """The standard normal distribution at z."""
    return 0.5 * erfc(-z / sqrt(2.0))


def _chance(edge: float, low: Sequence[float], high: Sequence[float], scatter: float) -> float:
    """The likelihood of all taps for an edge; everything in logarithms of winds."""
    chance = 1.0
    for x in low:
        chance *= _below((edge - x) / scatter)
    for x in high:
        chance *= _below((x - edge) / scatter)
    return chance


def _quantiles(low: Sequence[float], high: Sequence[float], scatter: float, shares: Sequence[float]) -> list[float]:
    """Where the likelihood, summed from below, reaches these shares of its whole."""
    start, end = min(*low, *high) - 8 * scatter, max(*low, *high) + 8 * scatter
    step = (end - start) / _STEPS
    places = [start + step * (n + 0.5) for n in range(_STEPS)]
    heights = [_chance(x, low, high, scatter) for x in places]
    whole = fsum(heights)
    if whole == 0.0:  # answers so far against each other that no edge explains them: it lies somewhere among them
        return [start + 8 * scatter, (start + end) / 2, end - 8 * scatter]
    found, so_far, n = [], 0.0, 0
    for share in shares:
        while so_far + heights[n] < share * whole and n < _STEPS - 1:
            so_far += heights[n]
            n += 1
        inside = (share * whole - so_far) / heights[n] if heights[n] else 0.5
        found.append(places[n] + step * (inside - 0.5))
    return found


def _limit(winds: Sequence[float], scatter: float, side: float) -> float:
    """The edge for which taps all on one side of it have a chance of 5 %; `side` 1 for under it, −1 for over it."""
    mirrored = [side * x for x in winds]
    low, high = min(mirrored) - 8 * scatter, max(mirrored) + 8 * scatter
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _chance(middle, mirrored, (), scatter) < DOUBT else (low, middle)
    return side * (low + high) / 2
