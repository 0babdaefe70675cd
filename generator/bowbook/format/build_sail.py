"""A sail's plain values to its record: corners, the edge through them, panels."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from bowbook.book.sail import Corner, Panels, Sail

_STEPS = 16  # straight pieces of a curved edge: a curve of 60 mm is followed to 0.2 mm


def sail(values: Mapping[str, Any]) -> Sail:
    """The sail as its keys say; its drawing is read later, from the kite's folder."""
    corners = tuple(
        Corner(point["at"][0], point["at"][1], point.get("curve", 0.0))
        for point in values.get("outline", ())
        if isinstance(point, dict) and "at" in point
    )
    return Sail(
        values.get("skin"),
        edge_points(corners),
        tuple(values.get("colours", ())),
        corners,
        _panels(values.get("panels", {})),
        values.get("decoration"),
    )


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


def _panels(found: Mapping[str, Any]) -> Panels | None:
    if "lay" not in found or "colours" not in found:
        return None
    return Panels(found["lay"], tuple(found["colours"]), found.get("count"))
