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


def bent(length: float, span: float) -> tuple[float, float]:
    """Rise over length, and thrust over Euler's load, of a pinned bow of `length` strung to `span`; marched."""

    def integrals(k: float) -> tuple[float, float, float]:
        # Substitute sin(θ/2) = k sin φ in the pinned elastica: the integrals are then smooth in φ.
        phi = (np.arange(400) + 0.5) * (math.pi / 2) / 400
        root = np.sqrt(1 - (k * np.sin(phi)) ** 2)
        whole = float(np.mean(1 / root))
        return float(np.mean((2 * root**2 - 1) / root)) / whole, k * (2 / math.pi) / whole, whole**2

    low, high = 1e-4, 0.89
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if integrals(middle)[0] > span / length else (low, middle)
    return integrals(low)[1:]


def strung_rise(length: float, span: float) -> float:
    """How far a pinned bow of `length` stands off its chord when strung to `span`, m."""
    return bent(length, span)[0] * length


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


def thrust(EI: Array, length: float, span: float) -> float:
    """Thrust, N, of a bow strung to `span`: its column load, raised as a uniform bow's is by being bent so far."""
    return column_load(EI, length) * bent(length, span)[1]


def flex_wind(EI: Array, length: float, span: float, outline: list[tuple[float, float]], air: float) -> float:
    """Wind, m/s, at which both tips stand back by a tenth of the half span: pressure on hinged wings against thrust."""
    half = span / 2
    push = thrust(EI, length, 2 * half * math.sqrt(0.99))
    return math.sqrt(2 * push * half / 10 / wing_moment(outline) / air)


def wing_moment(outline: list[tuple[float, float]]) -> float:
    """Moment of the right half's area about the spine, m³: over its triangles with the nose's point on the spine."""
    corners = [(0.0, outline[0][1]), *outline, (0.0, outline[-1][1])]
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return abs(sum((a[0] * b[1] - b[0] * a[1]) * (a[0] + b[0]) for a, b in pairs)) / 6


def edge(points: list[tuple[float, float, float]]) -> list[tuple[float, float]]:
    """Corners (out, down, curve), m, with points along each curved edge: a parabola `curve` off its middle, outward."""
    run: list[tuple[float, float]] = []
    for i, (x, y, curve) in enumerate(points):
        run.append((x, y))
        if curve and i + 1 < len(points):
            dx, dy = points[i + 1][0] - x, points[i + 1][1] - y
            for t in (np.arange(1, 24) / 24).tolist():
                off = curve * (1 - (2 * t - 1) ** 2) / math.hypot(dx, dy)
                run.append((x + t * dx + off * dy, y + t * dy - off * dx))
    return run


def sail_area(outline: list[tuple[float, float]]) -> float:
    """Area of the whole sail, m²."""
    pairs = zip(outline, outline[1:] + outline[:1], strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs))
