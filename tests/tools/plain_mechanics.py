"""Plain mechanics for making believable readings: finite differences and quadrature, nothing of the program's own."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

G0 = 9.80665
Array = NDArray[np.float64]

CELLS = 240


def cells(length: float) -> Array:
    """Middles of the cells a rod of `length` metres is cut into."""
    return (np.arange(CELLS) + 0.5) * length / CELLS


def column_load(EI: Array, length: float) -> float:
    """Load, N, at which a pin-ended rod bows; `EI` in N·m² at the cell middles. Hill's central differences."""
    step = length / CELLS
    mean = np.concatenate(([EI[0]], 0.5 * (EI[1:] + EI[:-1]), [EI[-1]]))
    inner = mean[1:-1]
    root = np.sqrt(inner)
    away = np.diag(np.full(CELLS - 1, 2.0)) - np.diag(np.ones(CELLS - 2), 1) - np.diag(np.ones(CELLS - 2), -1)
    return float(np.linalg.eigvalsh(root[:, None] * away * root[None, :])[0] / step**2)


def second_moment(section: dict[str, float]) -> float:
    """Second moment of area, m⁴, of {"round": d}, {"tube": outer, "inner": inner} or {"wide": w, "thick": t}, in m."""
    if "round" in section:
        return math.pi * section["round"] ** 4 / 64
    if "tube" in section:
        return math.pi * (section["tube"] ** 4 - section["inner"] ** 4) / 64
    return section["wide"] * section["thick"] ** 3 / 12


def area_of(section: dict[str, float]) -> float:
    """Area of the same sections, m²."""
    if "round" in section:
        return math.pi * section["round"] ** 2 / 4
    if "tube" in section:
        return math.pi * (section["tube"] ** 2 - section["inner"] ** 2) / 4
    return section["wide"] * section["thick"]


def strung_rise(length: float, span: float) -> float:
    """How far a pinned bow of `length` stands off its chord when strung to `span`, m; marched, not looked up."""

    def chord_and_rise(tip_slope: float) -> tuple[float, float]:
        # Substitute sin(θ/2) = k sin φ in the pinned elastica: both integrals are then smooth in φ.
        k = math.sin(tip_slope / 2)
        phi = (np.arange(400) + 0.5) * (math.pi / 2) / 400
        root = np.sqrt(1 - (k * np.sin(phi)) ** 2)
        whole = float(np.mean(1 / root))
        return float(np.mean((2 * root**2 - 1) / root)) / whole, k * (2 / math.pi) / whole

    low, high = 1e-4, 2.2
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if chord_and_rise(middle)[0] > span / length else (low, middle)
    return chord_and_rise(low)[1] * length


def rise_factor(rise: float, length: float) -> float:
    """How much more than its critical load a pinned rod pushes when bowed out by `rise`, from the series in it."""
    d = (math.pi * rise / (2 * length)) ** 2
    return 1 + d / 2 + 19 * d**2 / 32 + 29 * d**3 / 32


def droop(load: float, length: float, EI: float) -> float:
    """Tip drop, m, of a rod clamped level with a weight on its tip, large deflection, by shooting with small steps."""

    def shoot(curvature: float) -> tuple[float, float]:
        steps = 800
        h = length / steps
        theta, kappa, drop = 0.0, curvature, 0.0
        for _ in range(steps):
            middle = theta + 0.5 * h * kappa
            bend = kappa - 0.5 * h * load * math.cos(theta) / EI
            drop += h * math.sin(middle)
            theta += h * bend
            kappa -= h * load * math.cos(middle) / EI
        return kappa, drop

    low, high = 0.0, load * length / EI
    for _ in range(50):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if shoot(middle)[0] < 0 else (low, middle)
    return shoot(low)[1]


def chord_at(outline: list[tuple[float, float]], y: Array) -> Array:
    """Chord of the sail, m, at distances `y` out from the centreline; `outline` is the right half, nose to tail."""
    out = np.array([p[0] for p in outline])
    down = np.array([p[1] for p in outline])
    tip = int(out.argmax())
    upper = np.interp(y, out[: tip + 1], down[: tip + 1])
    lower = np.interp(y, out[tip:][::-1], down[tip:][::-1])
    return np.maximum(lower - upper, 0.0)


def tip_drop(EI: Array, half: float, outline: list[tuple[float, float]]) -> float:
    """Drop of a half's tip per unit wind pressure, m/Pa: a cantilever from the spine under the sail's own chord."""
    s = cells(half)
    step = half / CELLS
    width = max(p[0] for p in outline)
    load = chord_at(outline, s * width / half) * step
    moment = np.array([float(np.sum(load[i:] * (s[i:] - s[i]))) for i in range(CELLS)])
    return float(np.sum(moment / EI * (half - s)) * step)


def flex_wind(left: Array, right: Array, half: float, outline: list[tuple[float, float]], air: float) -> float:
    """Wind, m/s, at which the tips drop back by a tenth of a half."""
    drop = 0.5 * (tip_drop(left, half, outline) + tip_drop(right, half, outline))
    return math.sqrt(2 * 0.1 * half / drop / air)


def sail_area(outline: list[tuple[float, float]]) -> float:
    """Area of the whole sail, m²."""
    pairs = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs))
