"""Even cuts brought to a reading, and how the bow stands after them, against finite differences and known figures."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from scipy.optimize import brentq

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.pressing import Hold, pressed_load
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.shaving import Stations, after_cut, deepest_cut, even_cut, lean
from mechanics.rods import shoot

HALF = 0.32  # m
CONE: Stations = ((0.0, HALF), (("flat", 0.0021, 0.004, None), ("flat", 0.0016, 0.003, None)))
SPAN = 0.92 * 2 * HALF


def by_differences(EI: np.ndarray, length: float) -> float:
    """The pinned critical load by central differences on cells of equal length."""
    n = len(EI)
    h = length / n
    mean = 0.5 * (EI[1:] + EI[:-1])
    away = 2 * np.eye(n - 1) - np.eye(n - 1, k=1) - np.eye(n - 1, k=-1)
    return float(np.linalg.eigvalsh(np.sqrt(mean)[:, None] * away * np.sqrt(mean)[None, :])[0] / h**2)


@pytest.mark.parametrize("zone", [(0.0, HALF), (HALF / 3, 2 * HALF / 3), (0.05, 0.13)])
@pytest.mark.parametrize("width", [False, True])
def test_the_same_depth_comes_off_everywhere_in_the_zone(zone: tuple[float, float], width: bool) -> None:
    """On a taper the factor varies along the zone: the cut that a column of cells wants."""
    E, cells = 9e9, 960
    s = (np.arange(cells) + 0.5) * HALF / cells
    thick, wide = 0.0021 - 0.0005 * s / HALF, 0.004 - 0.001 * s / HALF
    inside = (s > zone[0]) & (s < zone[1])

    def load(depth: float) -> float:
        t = thick - (0 if width else depth) * inside
        w = wide - (depth if width else 0) * inside
        return by_differences(E * w * t**3 / 12, HALF)

    target = 0.97 * load(0.0)
    found = even_cut(
        lambda depth: pinned_column_load(after_cut(CONE, HALF, zone, depth, width).scaled(E)),
        0.97 * pinned_column_load(after_cut(CONE, HALF, zone, 0.0, width).scaled(E)),
        deepest_cut(CONE, zone, width),
    )

    assert found.taken_m == pytest.approx(brentq(lambda x: load(x) - target, 0, 0.001), rel=2e-3)


def test_a_zone_that_cannot_do_it_gives_its_reason() -> None:
    """A short stretch at the tip hardly counts; a half already softer has nothing to take off."""
    zone = (0.98 * HALF, HALF)

    def load(depth: float) -> float:
        return pinned_column_load(after_cut(CONE, HALF, zone, depth, False).scaled(9e9))

    refused = even_cut(load, 0.8 * load(0.0), deepest_cut(CONE, zone, False))
    assert refused.taken_m is None
    assert "does not bring the half down so far" in str(refused.reason)
    assert "nothing to take off" in str(even_cut(load, 1.01 * load(0.0), 0.0005).reason)


@pytest.mark.parametrize(
    ("zone", "asymmetry"),
    [(None, 0.027), ((0, 1), 0.0), ((1 / 3, 2 / 3), 0.012), ((2 / 3, 1), 0.019), ((0, 1 / 3), -0.037)],
)
def test_where_a_half_is_shaved_shows_in_how_the_bow_stands(zone: tuple[float, float] | None, asymmetry: float) -> None:
    """A difference of 10 % spread over the left half, at a span of 0.92: the figures worked out before the program was.

    Positive towards the right tip: the stiffer left bends less, so the deepest point lies right.
    """
    soft, stiff = Profile.uniform(0.95, HALF), Profile.uniform(1.05, HALF)
    if zone is not None:
        start, end = zone[0] * HALF, zone[1] * HALF
        f = brentq(lambda f: pinned_column_load(stiff.with_zone(start, end, f)) - 0.95 * (pi / HALF) ** 2, 0.2, 0.999)
        stiff = stiff.with_zone(start, end, f)
    found = lean(stiff, soft, SPAN)
    shot = shoot(stiff.reversed().joined(soft), SPAN)

    assert found.asymmetry == pytest.approx(asymmetry, abs=0.0006)
    assert found.asymmetry == pytest.approx(2 * shot.deepest_x_m / SPAN - 1, abs=1e-7)
    assert found.slopes_apart_rad == pytest.approx(shot.slope_left_rad - shot.slope_right_rad, abs=1e-7)


@pytest.mark.long
@pytest.mark.parametrize("hold", [Hold(), Hold(0.85), Hold(spring=0.3)])
def test_pressing_again_after_the_cut_shows_what_was_promised(hold: Hold) -> None:
    """Sixty tapered halves pressed short by a hand of any kind: the scale shows the target to 0.5 %."""
    rng = np.random.default_rng(23)
    for _ in range(60):
        length = rng.uniform(0.25, 0.45)
        free = length * rng.uniform(0.8, 1.0)
        ends = [("flat", rng.uniform(0.0014, 0.0024), rng.uniform(0.003, 0.005), None) for _ in range(2)]
        stations: Stations = ((0.0, length), ends)
        E = rng.uniform(9e9, 30e9)
        zone = (0.0, length) if rng.random() < 0.5 else (length / 3, 2 * length / 3)

        def load(depth: float, stations=stations, length=length, zone=zone, E=E, free=free) -> float:
            return pressed_load(after_cut(stations, length, zone, depth, False).scaled(E), free, hold)

        promised = load(0.0) * rng.uniform(0.9, 0.99)
        found = even_cut(load, promised, deepest_cut(stations, zone, False))
        assert found.taken_m is not None
        s = np.linspace(0, length, 40_001)[1:-1]
        shaved = after_cut(stations, length, zone, found.taken_m, False).at(s) * E  # the rod as a scale feels it
        out = s > length - free
        read = sprung_by_differences(shaved[out], free, hold)
        assert read == pytest.approx(promised, rel=0.005)


def sprung_by_differences(EI: np.ndarray, length: float, hold: Hold) -> float:
    """The load of a column held by a spring or by a constant factor, on 400 cells: M y'' with the spring's reaction."""
    n = 400
    s = np.linspace(0, length, n + 1)
    soft = 1 / np.interp(s, np.linspace(0, length, len(EI)), EI)
    if hold.spring is None:
        inner = soft[1:-1]
        away = (2 * np.eye(n - 1) - np.eye(n - 1, k=1) - np.eye(n - 1, k=-1)) * (n / length) ** 2
        roots = 1 / np.sqrt(inner)
        return float(np.linalg.eigvalsh(roots[:, None] * away * roots[None, :])[0]) / hold.factor**2

    def far_end(load: float) -> float:
        h, y, slope = length / n, 0.0, 1.0
        R = hold.spring / length
        for i in range(n):
            middle = 0.5 * (soft[i] + soft[i + 1])
            half_y = y + 0.5 * h * slope
            bend = middle * (-load * half_y + R * (length - s[i] - 0.5 * h))
            y, slope = y + h * slope + 0.5 * h * h * bend, slope + h * bend
        return y

    euler = (pi / length) ** 2 / soft.mean()
    return brentq(far_end, 0.8 * euler, 2.0 * euler)
