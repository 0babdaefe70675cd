"""Columns, bows and droops by plain shooting: the equations of Timoshenko & Gere, ch. 2, by fourth-order Runge-Kutta.

Nothing of the program's own. A rod is a list of stretches, each (length in m, EI of the place in it in N m²), so that
a step between two stretches is a step of the integration too.
"""

import math
from collections.abc import Callable
from itertools import pairwise
from typing import NamedTuple

from scipy.optimize import brentq

Rod = list[tuple[float, Callable[[float], float]]]
STEPS = 200  # a stretch: 100 left 1.1e-6 of a cut's depth, and the error goes with the fourth power


class Bent(NamedTuple):
    """A strung bow: thrust, rise, slopes of both tips, where along the chord it is deepest, and how it curves."""

    thrust: float
    rise: float
    left: float
    right: float
    deepest: float
    curvature: list[list[tuple[float, float]]]  # stretch by stretch: place along the rod, 1/m


def turned(rod: Rod) -> Rod:
    """The rod from its other end."""
    return [(length, lambda s, length=length, EI=EI: EI(length - s)) for length, EI in reversed(rod)]


def table(rod: Rod, steps: int = STEPS) -> list[tuple[float, list[float]]]:
    """Each stretch's step, and 1/EI at both ends and the middle of every step."""
    return [(length / steps, [1 / EI(length * i / (2 * steps)) for i in range(2 * steps + 1)]) for length, EI in rod]


def far_end(tabled, load: float, pull: float, slope: float, length: float) -> float:
    """How far off the line the far end of a column lands: y'' = (−P y + R (ℓ − s))/EI from y = 0 and a slope."""
    y, v, left = 0.0, slope, length
    for h, soft in tabled:
        for i in range(0, len(soft) - 1, 2):
            a, b, c = soft[i], soft[i + 1], soft[i + 2]
            k1 = (pull * left - load * y) * a
            k2 = (pull * (left - h / 2) - load * (y + h / 2 * v)) * b
            k3 = (pull * (left - h / 2) - load * (y + h / 2 * v + h * h / 4 * k1)) * b
            k4 = (pull * (left - h) - load * (y + h * v + h * h / 2 * k2)) * c
            y += h * v + h * h / 6 * (k1 + k2 + k3)
            v += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            left -= h
    return y


def misses(rod: Rod, load: float, spring: float | None = 0.0) -> float:
    """Nought where a rod bows under a load, its end in the hand held by a spring in N m/rad; None for a vice."""
    length = sum(part for part, _ in rod)
    held = (1.0, 0.0) if spring is None else (spring / length, 1.0)
    return far_end(table(rod), load, *held, length)


def column(rod: Rod, spring: float | None = 0.0) -> float:
    """The load at which a rod bows: a hinge at its far end, at s = 0 a spring, N m/rad, or with None a vice."""
    length = sum(part for part, _ in rod)
    tabled = table(rod)
    soft = sum(h * sum(values) / len(values) * STEPS for h, values in tabled) / length
    scale = math.pi**2 / soft / length**2
    held = (1.0, 0.0) if spring is None else (spring / length, 1.0)

    def far(p: float) -> float:
        return far_end(tabled, p * scale, *held, length)

    low, high = (0.7, 1.2) if spring == 0 else (0.7, 2.2)  # the first root: the second lies far beyond
    while far(low) < 0:
        low *= 0.8
    while far(high) > 0:
        high *= 1.1
    return scale * brentq(far, low, high, xtol=1e-13, rtol=1e-13)


def bend(rod: Rod, span: float) -> Bent:
    """The bow of a rod between two tips: thrust and left slope such that the far tip lies on the chord, at the span."""
    length = sum(part for part, _ in rod)
    tabled = table(rod)
    soft = sum(h * sum(values) / len(values) * STEPS for h, values in tabled) / length
    euler = math.pi**2 / soft / length**2

    def end(thrust: float, slope: float) -> tuple[float, float]:
        _, x, y = _along(tabled, thrust * euler, slope)[-1][-1]
        return x / span - 1, y / span

    slack = 1 - span / length
    thrust, slope = solve2(end, 1 + slack / 2, 2 * math.sqrt(slack))
    path = _along(tabled, thrust * euler, slope)
    rise, deepest = _deepest(rod, path, thrust * euler)
    curvature, start = [], 0.0
    for (h, values), states in zip(tabled, path, strict=True):
        at = [(start + i * h, thrust * euler * y * values[2 * i]) for i, (_, _, y) in enumerate(states)]
        curvature.append(at)
        start = at[-1][0]
    return Bent(thrust * euler, rise, slope, -path[-1][-1][0], deepest, curvature)


def _step(state, h, load, a, b, c):
    """One step of θ' = −P y/EI, x' = cos θ, y' = sin θ."""
    t, x, y = state
    k1, c1, s1 = -load * y * a, math.cos(t), math.sin(t)
    t2 = t + h / 2 * k1
    k2, c2, s2 = -load * (y + h / 2 * s1) * b, math.cos(t2), math.sin(t2)
    t3 = t + h / 2 * k2
    k3, c3, s3 = -load * (y + h / 2 * s2) * b, math.cos(t3), math.sin(t3)
    t4 = t + h * k3
    k4, c4, s4 = -load * (y + h * s3) * c, math.cos(t4), math.sin(t4)
    return (
        t + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4),
        x + h / 6 * (c1 + 2 * c2 + 2 * c3 + c4),
        y + h / 6 * (s1 + 2 * s2 + 2 * s3 + s4),
    )


def _along(tabled, load: float, slope: float):
    """(θ, x, y) at every step of every stretch."""
    state, path = (slope, 0.0, 0.0), []
    for h, soft in tabled:
        states = [state]
        for i in range(0, len(soft) - 1, 2):
            state = _step(state, h, load, soft[i], soft[i + 1], soft[i + 2])
            states.append(state)
        path.append(states)
    return path


def _deepest(rod: Rod, path, load: float) -> tuple[float, float]:
    """Depth and place of the point where the bow runs along its chord."""
    for (length, EI), states in zip(rod, path, strict=True):
        h = length / (len(states) - 1)
        for i, (before, after) in enumerate(pairwise(states)):
            if before[0] > 0 >= after[0]:

                def part(d, i=i, before=before, EI=EI, h=h):
                    soft = (1 / EI(i * h + f * d) for f in (0, 0.5, 1))
                    return _step(before, d, load, *soft)

                d = brentq(lambda d, part=part: part(d)[0], 0.0, h, xtol=1e-15)
                _, x, y = part(d)
                return y, x
    raise AssertionError("no deepest point")


def solve2(miss, a: float, b: float) -> tuple[float, float]:
    """Newton's method in two unknowns, its slopes by differences."""
    for _ in range(30):
        f, g = miss(a, b)
        ha, hb = 1e-6 * (abs(a) + 1e-3), 1e-6 * (abs(b) + 1e-3)
        (fa, ga), (fb, gb) = miss(a + ha, b), miss(a, b + hb)
        fa, ga, fb, gb = (fa - f) / ha, (ga - g) / ha, (fb - f) / hb, (gb - g) / hb
        det = fa * gb - fb * ga
        da, db = (f * gb - g * fb) / det, (g * fa - f * ga) / det
        a, b = a - da, b - db
        if abs(da) < 1e-11 * abs(a) and abs(db) < 1e-11 * max(abs(b), 1e-3):
            return a, b
    raise AssertionError("Newton's method did not settle")


def droop(unit: Rod, load: float, drop: float) -> float:
    """What a rod's EI is to be multiplied by, so that a weight on its tip pulls it down by a drop; s = 0 at the clamp.

    θ' = M/EI, M' = −F cos θ from θ = 0, with M nought at the tip and the tip `drop` below the clamp.
    """
    length = sum(part for part, _ in unit)
    tabled = table(unit)

    def slopes(t, m, q, soft):
        return m * soft, -q * math.cos(t), math.sin(t)

    def end(q: float, m: float) -> tuple[float, float]:  # q = F/scale, m = M/scale at the clamp
        t, y = 0.0, 0.0
        for h, soft in tabled:
            for i in range(0, len(soft) - 1, 2):
                k = slopes(t, m, q, soft[i])
                k2 = slopes(t + h / 2 * k[0], m + h / 2 * k[1], q, soft[i + 1])
                k3 = slopes(t + h / 2 * k2[0], m + h / 2 * k2[1], q, soft[i + 1])
                k4 = slopes(t + h * k3[0], m + h * k3[1], q, soft[i + 2])
                t, m, y = (v + h / 6 * (k[j] + 2 * k2[j] + 2 * k3[j] + k4[j]) for j, v in enumerate((t, m, y)))
        return m / (q * length), y / drop - 1

    soft = sum(h * sum(values) / len(values) * STEPS for h, values in tabled) / length
    q, m = 3 * min(drop, 0.5 * length) / soft / length**3, 3 * min(drop, 0.5 * length) / soft / length**2
    return load / solve2(end, q, m)[0]
