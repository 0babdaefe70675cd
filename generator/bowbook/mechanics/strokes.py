"""Strokes of a blade: how much each lowers the reading, and how many to make next."""

from __future__ import annotations

from collections.abc import Sequence
from math import floor, sqrt
from typing import NamedTuple

from bowbook.mechanics.limits import positive

FIRST_STEP = 0.6  # of the advice: take this, then measure again


class Rate(NamedTuple):
    """How much a stroke lowers the reading, N: mean, and the spread of a shaving's own rate (None from one)."""

    mean: float
    spread: float | None


def rate(falls: Sequence[float], strokes: Sequence[int]) -> Rate:
    """How much one stroke lowered the reading, from logged shavings.

    Parameters
    ----------
    falls : by how much each shaving lowered the reading, N
    strokes : number of strokes of each, > 0

    Returns
    -------
    Mean fall per stroke, N, and the standard deviation of a shaving's own rate about it (None from one shaving).

    Raises
    ------
    ValueError : no shavings, other numbers of falls and of strokes, or a count that is not positive.

    >>> rate((0.08, 0.13), (20, 30))
    Rate(mean=0.0042, spread=0.00024)
    """
    if len(falls) != len(strokes) or not falls:
        raise ValueError(f"{len(falls)} falls and {len(strokes)} counts of strokes; they must be as many, one at least")
    for count in strokes:
        positive("the number of strokes", count, "")
    total, n = sum(strokes), len(falls)
    mean = sum(falls) / total
    if n == 1:
        return Rate(mean, None)
    squares = sum(count * (fall / count - mean) ** 2 for fall, count in zip(falls, strokes, strict=True))
    return Rate(mean, sqrt(squares / (n - 1) / (total / n)))


def next_strokes(fall: float, rate_N: float) -> int:
    """How many strokes to make next.

    Parameters
    ----------
    fall : by how much the reading should come down, N, > 0
    rate_N : fall of the reading per stroke, N, > 0

    Returns
    -------
    Strokes, rounded down, one at least.

    Raises
    ------
    ValueError : the fall is not positive, or the logged strokes did not lower the reading.

    >>> next_strokes(0.1, 0.0042)
    23
    """
    positive("the fall of the reading", fall, "N")
    if not rate_N > 0:
        raise ValueError(f"the logged strokes lowered the reading by {rate_N:g} N each; it must be more than 0 N")
    return max(floor(fall / rate_N + 1e-9), 1)
