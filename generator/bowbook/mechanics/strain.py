"""How far a bent rod's surface is stretched."""

from __future__ import annotations

import numpy as np
from numpy.polynomial import Polynomial

from bowbook.mechanics.profile import Array

_REACH = 3  # samples on either side of the greatest that the curve through it takes in


def largest_strain(s: Array, curvature: Array, thickness: Array) -> float:
    """The largest strain at the surface of a bent rod.

    Parameters
    ----------
    s : places along the rod, m, (n,), not falling; a place that stands twice is a step between two pieces
    curvature : at those places, 1/m, (n,), positive
    thickness : of the rod in the plane of bending, m, (n,)

    Returns
    -------
    Largest curvature × thickness / 2, no unit: the greatest value of a smooth curve through the samples of each piece.

    Raises
    ------
    ValueError : fewer than three places, or arrays of unequal length.

    Source: Euler-Bernoulli bending, ε = κ t/2.

    >>> s = np.linspace(0.0, 1.0, 40)
    >>> largest_strain(s, np.sin(np.pi * s), np.full(40, 0.002))
    0.00100000
    """
    if not 3 <= len(s) == len(curvature) == len(thickness):
        raise ValueError(
            f"{len(s)} places, {len(curvature)} curvatures and {len(thickness)} thicknesses; all as many, 3+"
        )
    strain = 0.5 * curvature * thickness
    steps = np.flatnonzero(np.diff(s) <= 1e-6 * (s[-1] - s[0])) + 1
    pieces = zip(np.split(s, steps), np.split(strain, steps), strict=True)
    return max(_greatest(places, values) for places, values in pieces)


def _greatest(s: Array, values: Array) -> float:
    """The greatest value of the curve through the samples about the largest one."""
    i = int(np.argmax(values))
    first = max(0, min(i - _REACH, len(s) - 2 * _REACH - 1))
    near = slice(first, first + 2 * _REACH + 1)
    if len(s[near]) < 3:
        return float(values[i])
    t = (s - s[i]) / (s[near][-1] - s[near][0])
    curve = Polynomial(np.linalg.solve(np.vander(t[near], increasing=True), values[near]))
    flat = curve.deriv().roots()
    inside = flat.real[
        (np.abs(flat.imag) < 1e-9) & (flat.real > t[max(i - 1, 0)]) & (flat.real < t[min(i + 1, len(s) - 1)])
    ]
    return float(max([values[i], *curve(inside)]))
