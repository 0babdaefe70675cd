"""The edge of a sail through its corners."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bowbook.book.sail import Corner

_STEPS = 16  # straight pieces of a curved edge: a curve of 60 mm is followed to 0.2 mm


def edge_points(corners: Sequence[Corner]) -> tuple[tuple[float, float], ...]:
    """The corners, with points along every curved edge: a parabola that stands off by `curve_m` at its middle.

    >>> edge_points([Corner(0.0, 0.0), Corner(0.3, 0.2)])
    ((0.0, 0.0), (0.3, 0.2))
    >>> points = edge_points([Corner(0.0, 0.0, 0.01), Corner(0.0, 0.2)])
    >>> len(points), points[8]
    (17, (0.01, 0.1))
    """
    points: list[tuple[float, float]] = []
    for i, a in enumerate(corners):
        points.append((a.out_m, a.down_m))
        if not a.curve_m or i + 1 == len(corners):
            continue
        out, down = corners[i + 1].out_m - a.out_m, corners[i + 1].down_m - a.down_m
        rise = a.curve_m / (math.hypot(out, down) or 1.0)
        for step in range(1, _STEPS):
            t = step / _STEPS
            bulge = 4 * t * (1 - t) * rise  # away from the sail, at right angles to the straight edge
            points.append((a.out_m + t * out + bulge * down, a.down_m + t * down - bulge * out))
    return tuple(points)
