"""The outline of a sail: area, width, height, and how tall it is at each distance from its centreline."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

from bowbook.mechanics.limits import positive

Outline: TypeAlias = Sequence[tuple[float, float]]


def area(outline: Outline) -> float:
    """The area of a whole sail.

    Parameters
    ----------
    outline : right half, (out from the centreline, down from the nose), m, three points at least

    Returns
    -------
    Area of both halves, m².

    Raises
    ------
    ValueError : fewer than three points, or none of them off the centreline.

    Source: the surveyor's formula.

    >>> area([(0.0, 0.0), (0.3, 0.19), (0.0, 0.52)])
    0.156
    """
    width(outline)
    return abs(sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(outline, _next(outline), strict=True)))


def width(outline: Outline) -> float:
    """The greatest width of a whole sail, tip to tip, m.

    Raises
    ------
    ValueError : fewer than three points, or none of them off the centreline.

    >>> width([(0.0, 0.0), (0.3, 0.19), (0.0, 0.52)])
    0.6
    """
    if len(outline) < 3:
        raise ValueError(f"the outline has {len(outline)} points; it must have three at least")
    positive("the half width of the sail", max(x for x, _ in outline), "m")
    return 2 * max(x for x, _ in outline)


def height(outline: Outline) -> float:
    """The greatest height of a sail, m.

    >>> height([(0.0, 0.0), (0.3, 0.19), (0.0, 0.52)])
    0.52
    """
    downs = [y for _, y in outline]
    return max(downs) - min(downs)


def chord(outline: Outline) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """How much sail there is, nose to tail, at each distance from the centreline.

    Parameters
    ----------
    outline : right half, (out from the centreline, down from the nose), m, closed along the centreline

    Returns
    -------
    Distances out, m, rising from 0 to the tip, and the chord at each, m: straight between them; a distance that
    stands twice is a step. Where the outline turns back on itself, gaps in the sail do not count.

    Raises
    ------
    ValueError : fewer than three points, or none of them off the centreline.

    >>> chord([(0.0, 0.0), (0.3, 0.19), (0.0, 0.52)])
    ((0.0, 0.3), (0.52, 0.0))
    """
    width(outline)
    outs = sorted({max(x, 0.0) for x, _ in outline} | {0.0})
    edges: list[float] = []
    values: list[float] = []
    for a, b in pairwise(outs):
        near, far = _extent(outline, a, b)
        if edges and abs(values[-1] - near) <= 1e-12 * outs[-1]:
            edges.append(b)
            values.append(far)
        else:
            edges += [a, b]
            values += [near, far]
    return tuple(edges), tuple(values)


def _extent(outline: Outline, a: float, b: float) -> tuple[float, float]:
    """The chord just inside either end of a stretch without a corner: signed heights of the sides that cross it."""
    near = far = 0.0
    for (x1, y1), (x2, y2) in zip(outline, _next(outline), strict=True):
        if min(x1, x2) <= a and max(x1, x2) >= b and x1 != x2:
            slope, sign = (y2 - y1) / (x2 - x1), 1.0 if x2 > x1 else -1.0
            near += sign * (y1 + slope * (a - x1))
            far += sign * (y1 + slope * (b - x1))
    return _sail(near), _sail(far)


def _sail(chord: float) -> float:
    """A signed sum of heights as a chord: either way round the outline, and nothing where it is only rounding."""
    return abs(chord) if abs(chord) > 1e-15 else 0.0


def _next(outline: Outline) -> list[tuple[float, float]]:
    return [*outline[1:], outline[0]]
