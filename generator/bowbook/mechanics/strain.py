"""How far a bent rod's surface is stretched."""

from __future__ import annotations

import numpy as np

from bowbook.mechanics.profile import Array


def largest_strain(s: Array, curvature: Array, thickness: Array) -> float:
    """The largest strain at the surface of a bent rod.

    Parameters
    ----------
    s : places along the rod, m, (n,), not falling; a place that stands twice is a step between two pieces
    curvature : at those places, 1/m, (n,), positive
    thickness : of the rod in the plane of bending, m, (n,)

    Returns
    -------
    Largest curvature × thickness / 2, no unit: the greatest sample, refined by the parabola through its
    neighbours where all three lie on one smooth piece.

    Raises
    ------
    ValueError : fewer than three places, or arrays of unequal length.

    Source: Euler-Bernoulli bending, ε = κ t/2.

    >>> s = np.linspace(0.0, 1.0, 40)
    >>> largest_strain(s, np.sin(np.pi * s), np.full(40, 0.002))
    0.0010000
    """
    if not 3 <= len(s) == len(curvature) == len(thickness):
        raise ValueError(
            f"{len(s)} places, {len(curvature)} curvatures and {len(thickness)} thicknesses; all as many, 3+"
        )
    strain = 0.5 * curvature * thickness
    i = int(np.argmax(strain))
    if i in (0, len(s) - 1):
        return float(strain[i])
    h1, h2 = s[i] - s[i - 1], s[i + 1] - s[i]
    if not 0.5 < h1 / (h2 or 1e-300) < 2.0:  # a step in rigidity is beside it: no parabola runs across
        return float(strain[i])
    a, b, c = strain[i - 1 : i + 2]
    second = (a - 2 * b + c) / h1**2
    first = (c - a) / (2 * h1)
    return float(b - first**2 / (2 * second)) if second < 0 else float(b)
