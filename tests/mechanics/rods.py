"""Rods and bows of chance for the tests of the bench, and a second way to bend them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import root

from bowbook.mechanics.profile import Profile
from bowbook.mechanics.taper import tapered_second_moment


def half_of_chance(rng: np.random.Generator, length: float) -> Profile:
    """A half that is even, flat and tapering by stations, or round and coned; every other one with a zone shaved."""
    kind = rng.integers(3)
    if kind == 0:
        half = Profile.uniform(rng.uniform(0.01, 0.05), length)
    elif kind == 1:
        n = int(rng.integers(2, 5))
        at = np.sort(rng.uniform(0.0, length, n))
        thick = np.linspace(0.003, 0.003 * rng.uniform(0.5, 1.0), n)
        stations = [("flat", float(t), 0.004, None) for t in thick]
        half = tapered_second_moment(at.tolist(), stations, length).scaled(2e9)
    else:
        ends = [("round", d, None, None) for d in (0.003, 0.003 * rng.uniform(0.6, 1.2))]
        half = tapered_second_moment((0.0, length), ends, length).scaled(5e9)
    if rng.random() < 0.5:
        start, end = np.sort(rng.uniform(0.0, length, 2))
        half = half.with_zone(float(start), float(end), rng.uniform(0.4, 3.0))
    return half


def bow_of_chance(seed: int) -> tuple[Profile, float]:
    """A bow of two such halves, left tip to right tip, and a span from 0.70 to 0.995 of its length."""
    rng = np.random.default_rng(seed)
    length = rng.uniform(0.2, 0.5)
    bow = half_of_chance(rng, length).reversed().joined(half_of_chance(rng, length))
    return bow, bow.length * rng.uniform(0.70, 0.995)


@dataclass(frozen=True)
class Shot:
    """A bow found by shooting: SI, as `BentBow` names them."""

    thrust_N: float
    slope_left_rad: float
    slope_right_rad: float
    rise_m: float
    deepest_x_m: float


def _fly(bow: Profile, slope: float, thrust: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(angle, x, y) at the right tip and where the rod runs level, integrated piece by piece from the left tip."""
    y, level = np.array([slope, 0.0, 0.0]), np.zeros(3)
    for start, end, piece in zip(bow.edges, bow.edges[1:], bow.pieces, strict=False):

        def turn(s: float, y: NDArray[np.float64], piece=piece) -> list[float]:
            return [-thrust * y[2] / float(piece(np.array([s]))[0]), np.cos(y[0]), np.sin(y[0])]

        def levels(_s: float, y: NDArray[np.float64]) -> float:
            return float(y[0])

        found = solve_ivp(turn, (start, end), y, method="DOP853", rtol=1e-10, atol=1e-13, events=levels)
        if len(found.y_events[0]):
            level = found.y_events[0][0]
        y = found.y[:, -1]
    return y, level


def shoot(bow: Profile, span: float) -> Shot:
    """The bent bow by shooting: dθ/ds = −P y/EI with an eighth-order Runge-Kutta, aimed at y = 0 at x = span.

    The first aim is that of a uniform rod of the bow's mean softness, so that nothing comes from what is tested.
    """
    s = np.linspace(0, bow.length, 402)[1:-1]
    even = 1.0 / np.mean(1.0 / bow.at(s))
    aim = [2 * np.sqrt(1 - span / bow.length), np.pi**2 * even / bow.length**2]

    def miss(p: NDArray[np.float64]) -> list[float]:
        tip, _ = _fly(bow, p[0], p[1] * aim[1])
        return [tip[1] - span, tip[2]]

    found = root(miss, [aim[0], 1.0], tol=1e-11)
    assert found.success or max(abs(np.array(miss(found.x)))) < 1e-9 * span
    slope, thrust = float(found.x[0]), float(found.x[1]) * aim[1]
    tip, level = _fly(bow, slope, thrust)
    return Shot(thrust, slope, -float(tip[0]), float(level[2]), float(level[1]))
