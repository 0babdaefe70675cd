"""Gauss points on the smooth pieces of a rod, and integration along it from them."""

from __future__ import annotations

from bisect import bisect
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.polynomial import legendre

from bowbook.mechanics.profile import Array, Profile

POINTS = 14  # per piece: a half bow of one section is resolved at any bend a bow takes
SAMPLES = 33  # per piece, where a curve is wanted: odd, so that the middle is among them
_SOFTNESS_RESOLVED = 1e-8  # last coefficients over the largest value; what is integrated errs by far less
_DEEPEST = 6  # halvings of a piece


class Rule(Struct, frozen=True):
    """Matrices on the reference piece [−1, 1], for values at its Gauss points, in order.

    points, weights: (n,). integral: (n, n), from −1 to each point. coefficients: (n, n), to Legendre series;
    last_coefficients: (2, n), to its last two; slope_coefficients: (n − 1, n), to the series of the slope.
    even: (SAMPLES,), even spacing. sample, sample_integral: (SAMPLES, n), the value at even spacing and the integral
    from −1 to it.
    """

    points: Array
    weights: Array
    integral: Array
    coefficients: Array
    last_coefficients: Array
    slope_coefficients: Array
    even: Array
    sample: Array
    sample_integral: Array


def integrals(t: Array, n: int) -> Array:
    """Integrals of the first n Legendre polynomials from −1 to each t; shape (len(t), n)."""
    P = legendre.legvander(t, n)
    out = np.empty((len(t), n))
    out[:, 0] = t + 1.0
    out[:, 1:] = (P[:, 2:] - P[:, :-2]) / (2 * np.arange(1, n) + 1)
    return out


@lru_cache(maxsize=2)
def rule(n: int = POINTS) -> Rule:
    """The matrices for n Gauss points."""
    points, weights = legendre.leggauss(n)
    to_series = np.linalg.inv(legendre.legvander(points, n - 1))
    even = np.linspace(-1.0, 1.0, SAMPLES)
    return Rule(
        points,
        weights,
        integrals(points, n) @ to_series,
        np.asarray(to_series, dtype=float),
        np.asarray(to_series[-2:], dtype=float),
        np.asarray(legendre.legder(to_series), dtype=float),
        even,
        legendre.legvander(even, n - 1) @ to_series,
        integrals(even, n) @ to_series,
    )


class Mesh(Struct, frozen=True):
    """Gauss points along a rod: s, weights and softness (1/EI) of shape (N,); integral (N, N), from the start to each.

    `edges` are those of the pieces the points lie in, shape (p + 1,); N = p · POINTS.
    """

    edges: Array
    s: Array
    weights: Array
    integral: Array
    softness: Array


def unresolved(values: Array, coarsest: float) -> Array:
    """Which pieces need halving for `values`, shape (p, POINTS), to be a short series on each; shape (p,), bool.

    `coarsest` is how large the last coefficients may be against the largest value.
    """
    series = np.abs(values @ rule().last_coefficients.T)
    return np.asarray(series.max(axis=1) > coarsest * np.abs(values).max())


def halved(edges: Array, which: Array) -> Array:
    """The edges with one more in the middle of each piece that `which`, shape (p,), marks."""
    middles = 0.5 * (edges[:-1] + edges[1:])
    return np.sort(np.concatenate([edges, middles[which]]))


def mesh(profile: Profile, edges: Array | None = None) -> Mesh:
    """Gauss points for a rod, its pieces (or those between `edges`) halved until the softness is resolved.

    Raises
    ------
    ValueError : the rigidity is not positive somewhere.
    """
    edges = np.array(profile.edges) if edges is None else edges
    for deep in range(_DEEPEST + 1):
        half = 0.5 * (edges[1:] - edges[:-1])
        s = (edges[:-1] + half)[:, None] + half[:, None] * rule().points
        EI = _rigidity(profile, s)
        softness = 1.0 / EI
        more = unresolved(softness, _SOFTNESS_RESOLVED)
        if deep == _DEEPEST or not more.any():
            break
        edges = halved(edges, more)
    weights = (half[:, None] * rule().weights).ravel()
    return Mesh(edges, s.ravel(), weights, _along(half, weights), softness.ravel())


def _rigidity(profile: Profile, s: Array) -> Array:
    """The rigidity at the points of each piece, (p, POINTS), asked of the rod's own pieces one by one."""
    EI = np.empty_like(s)
    for i, row in enumerate(s):
        EI[i] = profile.pieces[bisect(profile.edges, row[0]) - 1](row)
    right = (EI > 0) & np.isfinite(EI)
    if not right.all():
        wrong = float(s[~right][0])
        raise ValueError(f"the stiffness is not more than 0 at {wrong:g} m along the rod")
    return EI


def _along(half: Array, weights: Array) -> Array:
    """The integration matrix of all pieces: whole pieces before a point, then the part of its own."""
    n = POINTS
    out = np.zeros((len(weights), len(weights)))
    for i, h in enumerate(half):
        out[i * n : (i + 1) * n, i * n : (i + 1) * n] = h * rule().integral
        out[(i + 1) * n :, i * n : (i + 1) * n] = weights[i * n : (i + 1) * n]
    return out
