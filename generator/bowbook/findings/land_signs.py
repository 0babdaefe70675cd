"""The limits of the land signs of the wind, moved to the height at which the book compares winds."""

from __future__ import annotations

import itertools

from bowbook.mechanics import air


def sign_limits(height_m: float) -> tuple[tuple[float, float], ...]:
    """Weakest and strongest wind of Beaufort 0 to 6 at a height above the ground, m/s.

    The forces are limits of a wind at 10 m (WMO-No. 8); a smaller height has less, by the 1/7 power law.
    """
    edges = [0.0, *(air.move_height(limit, 10.0, height_m) for limit in air.BEAUFORT[:7])]
    return tuple(itertools.pairwise(edges))
