"""Gauss points on the smooth pieces of a rod, and integration along it from them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial import legendre

from bowbook.bench.profile import Array, Profile

POINTS = 12  # per piece: exact to rounding for a uniform rod at any bend a bow takes
SAMPLES = 33  # per piece, where a curve is wanted: odd, so that the middle is among them
_UNRESOLVED = 1e-8  # of the largest coefficient; what is integrated errs by far less than what is resolved
_DEEPEST = 6  # halvings of a piece


@dataclass(frozen=True, slots=True)
class Rule:
    """Matrices on the reference piece [−1, 1], for values at its Gauss points, in order.

    points, weights: (n,). integral: (n, n), from −1 to each point. coefficients: (n, n), to Legendre series.
    sample, sample_integral: (SAMPLES, n), the value at even spacing and the integral from −1 to it.
    """

    points: Array
    weights: Array
    integral: Array
    coefficients: Array
    sample: Array
    sample_integral: Array


def _integrals(t: Array, n: int) -> Array:
    """Integrals of the first n Legendre polynomials from −1 to each t; shape (len(t), n)."""
    P = legendre.legvander(t, n)
    out = np.empty((len(t), n))
    out[:, 0] = t + 1.0
    k = np.arange(1, n)
    out[:, 1:] = (P[:, 2:] - P[:, :-2]) / (2 * k + 1)
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
        _integrals(points, n) @ to_series,
        np.asarray(to_series, dtype=float),
        legendre.legvander(even, n - 1) @ to_series,
        _integrals(even, n) @ to_series,
    )


@dataclass(frozen=True, slots=True)
class Mesh:
    """Gauss points along a rod: s, weights and softness (1/EI) of shape (N,); integral (N, N), from the start to each.

    `edges` are those of the pieces the points lie in, shape (p + 1,); N = p · POINTS.
    """

    edges: Array
    s: Array
    weights: Array
    integral: Array
    softness: Array


def _points(edges: Array) -> Array:
    half = 0.5 * np.diff(edges)
    return (edges[:-1] + half)[:, None] + half[:, None] * rule().points


def unresolved(values: Array) -> Array:
    """Which pieces need halving for `values`, shape (p, POINTS), to be a short series on each; shape (p,), bool."""
    series = np.abs(values @ rule().coefficients.T)
    return np.asarray(series[:, -2:].max(axis=1) > _UNRESOLVED * max(float(series[:, 0].max()), 1e-300))


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
    for _ in range(_DEEPEST):
        s = _points(edges)
        EI = profile.at(s.ravel()).reshape(s.shape)
        if not (EI > 0).all() or not np.isfinite(EI).all():
            wrong = float(s[~((EI > 0) & np.isfinite(EI))][0])
            raise ValueError(f"the stiffness is not more than 0 at {wrong:g} m along the rod")
        more = unresolved(1.0 / EI)
        if not more.any():
            break
        edges = halved(edges, more)
    s = _points(edges)
    softness = 1.0 / profile.at(s.ravel())
    half = 0.5 * np.diff(edges)
    weights = (half[:, None] * rule().weights).ravel()
    return Mesh(edges, s.ravel(), weights, _along(half, weights), softness)


def _along(half: Array, weights: Array) -> Array:
    """The integration matrix of all pieces: whole pieces before a point, then the part of its own."""
    p, n = len(half), POINTS
    out = np.zeros((p, n, p, n))
    for i in range(p):
        out[i, :, i, :] = half[i] * rule().integral
        out[i, :, :i, :] = weights.reshape(p, n)[None, :i, :]
    return out.reshape(p * n, p * n)
