"""The flex wind from the bow's tension, against folds in three dimensions and against hand work."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import minimize

from bowbook.mechanics.elastica import bend, bend_uniform, load_ratio_on_taper
from bowbook.mechanics.planning import folded_thrust, rigidity_for_thrust, skinned_thrust
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.tension import (
    first_moment,
    flex_from_tips,
    flex_wind,
    fold_angle,
    folded_span,
    thrust_for_flex,
)
from mechanics.rods import half_of_chance, shoot

EI, LENGTH, SPAN, RHO = 0.02, 0.64, 0.59, 1.225
DIAMOND = (0.0, 0.295), (0.5, 0.0)  # chord of 0.5 m at the spine, m


def test_the_worked_kite_flexes_at_less_than_two_metres_a_second() -> None:
    """Tension by the closed form, moment by quadrature, wind by hand: 0.5028276 N, 7.252083e-3 m³, 1.827411 m/s."""
    half = Profile.uniform(EI, LENGTH / 2)
    T = folded_thrust(half, half, SPAN)
    S = quad(lambda y: 0.5 * (1 - y / 0.295) * y, 0, 0.295)[0]

    assert pytest.approx(0.5028276, rel=2e-7) == T
    assert first_moment(*DIAMOND, SPAN / 2) == pytest.approx(S, rel=1e-10)
    assert flex_wind(T, SPAN, S, RHO) == pytest.approx(math.sqrt(2 * (SPAN / 20) * T / (RHO * S)), rel=1e-12)
    assert flex_wind(T, SPAN, S, RHO) == pytest.approx(1.827411, rel=3e-7)
    assert rigidity_for_thrust(thrust_for_flex(1.827411, SPAN, S, RHO), LENGTH, SPAN) == pytest.approx(EI, rel=1e-6)


@pytest.mark.parametrize("seed", range(6))
def test_what_the_tension_hangs_on(seed: int) -> None:
    """Its slopes by both halves and the skin, against bows of chance that are a little stiffer and a little softer."""
    rng = np.random.default_rng(seed)
    left, right, skin = half_of_chance(rng, 0.32), half_of_chance(rng, 0.32), 0.003 * seed
    found = skinned_thrust(left, right, skin, SPAN)

    def slope(a: float, b: float, s: float) -> float:
        """The central difference along factors on the halves and an addition to the skin."""
        more, less = (
            folded_thrust(left.scaled(1 + h * a).plus(skin + h * s), right.scaled(1 + h * b).plus(skin + h * s), SPAN)
            for h in (1e-4, -1e-4)
        )
        return (more - less) / 2e-4

    assert found.thrust == pytest.approx(folded_thrust(left.plus(skin), right.plus(skin), SPAN), rel=1e-12)
    assert found.by_left == pytest.approx(slope(1, 0, 0), rel=1e-6)
    assert found.by_right == pytest.approx(slope(0, 1, 0), rel=1e-6)
    assert found.by_skin == pytest.approx(slope(0, 0, 0.01) / 0.01, rel=1e-6)
    assert found.by_left + found.by_right + found.by_skin * skin == pytest.approx(found.thrust, rel=1e-9)


def test_the_sail_counts_as_far_out_as_it_is_held() -> None:
    """A step in the chord, and an outline that reaches past the tips, by quadrature."""
    edges, values = (0.0, 0.1, 0.1, 0.4), (0.2, 0.3, 0.5, 0.1)

    def chord(y: float) -> float:
        return 0.2 + y if y < 0.1 else 0.5 - 0.4 * (y - 0.1) / 0.3

    S = quad(lambda y: chord(y) * y, 0, 0.3, points=[0.1])[0]
    assert first_moment(edges, values, 0.3) == pytest.approx(S, rel=1e-10)


@pytest.mark.parametrize("wind", [1.0, 2.5, 3.5])
def test_a_wing_folds_until_the_tension_holds_the_wind(wind: float) -> None:
    """q S₁ = T h sin θ about the spine, by hand: q = ½ ρ V²."""
    half = Profile.uniform(EI, LENGTH / 2)
    T, S = folded_thrust(half, half, SPAN), first_moment(*DIAMOND, SPAN / 2)
    angle = fold_angle(wind, flex_wind(T, SPAN, S, RHO))
    assert 0.5 * RHO * wind**2 * S == pytest.approx(T * SPAN / 2 * math.sin(angle), rel=1e-9)


N = 30  # links of the chain


def energy(fold: float) -> float:
    """Least bending energy of an inextensible chain whose tips stand on two wings folded back by `fold`, rad.

    Its middle may slide along the spine and off the sail; it may leave every plane. Free angles: up and out of plane.
    """
    link = LENGTH / N
    half = SPAN / 2 * math.cos(fold)

    def tangents(p: np.ndarray) -> np.ndarray:
        a, b = p[:N], p[N:]
        return np.stack([np.cos(a) * np.cos(b), np.sin(a) * np.cos(b), np.sin(b)], axis=1)

    def bending(p: np.ndarray) -> float:
        t = tangents(p)
        cosine = np.clip((t[1:] * t[:-1]).sum(axis=1), -1, 1)
        return float(EI / link * np.sum(1 - cosine))

    def gap(p: np.ndarray) -> np.ndarray:
        return tangents(p).sum(axis=0) * link - np.array([2 * half, 0.0, 0.0])

    lean = 2 * math.sqrt(1 - SPAN / LENGTH)
    start = np.concatenate([lean * np.cos(np.pi * (np.arange(N) + 0.5) / N), 0.01 * np.ones(N)])
    found = minimize(
        bending, start, constraints={"type": "eq", "fun": gap}, method="SLSQP", tol=1e-13, options={"maxiter": 400}
    )
    assert found.success
    return float(found.fun)


def test_a_fold_in_three_dimensions_costs_the_thrust_times_the_way_back() -> None:
    """The energy of a folded chain rises with the fold as twice the thrust times how far the tips stand back.

    Two wings turn through dφ and each tip stands back by h sin φ: dU/dφ = 2 T h sin φ, with the thrust at that fold.
    """
    fold, step = 0.08, 0.01
    rise = (energy(fold + step) - energy(fold - step)) / (2 * step)
    thrust = bend_uniform(EI, LENGTH, SPAN * math.cos(fold)).thrust_N

    assert rise == pytest.approx(2 * thrust * SPAN / 2 * math.sin(fold), rel=0.02)


def test_the_tips_test_finds_the_wind_of_its_own_bow() -> None:
    """Both tips pressed back by a tenth of the half span push back with the fold's force; 15 g at a 6 mph kite.

    The scale's force is the moment T δ over the arm h on each wing, so F/δ = T/h: the two ways agree exactly.
    """
    half = Profile.uniform(EI, LENGTH / 2)
    T, S = folded_thrust(half, half, SPAN), first_moment(*DIAMOND, SPAN / 2)
    back = SPAN / 20
    both = 2 * T * back / (SPAN / 2)

    assert folded_span(SPAN) == pytest.approx(2 * math.sqrt((SPAN / 2) ** 2 - back**2), rel=1e-12)
    assert flex_from_tips(both / (2 * back), SPAN, S, RHO) == pytest.approx(flex_wind(T, SPAN, S, RHO), rel=1e-12)


@pytest.mark.parametrize(("mph", "grams"), [(3, 4), (6, 15), (12, 60)])
def test_tips_pressed_by_twenty_millimetres_read_a_few_grams(mph: float, grams: float) -> None:
    """A kite of half a metre by 0.6 m span: four grams at 3 mph, four times as much at every doubling."""
    S = first_moment((0.0, 0.3), (0.52, 0.0), 0.3)
    stiffness = grams * 0.00980665 / (2 * 0.02)

    assert flex_from_tips(stiffness, 0.6, S, RHO) / 0.44704 == pytest.approx(mph, rel=0.15)


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("slack", [0.02, 0.10, 0.20])
def test_a_rise_on_a_taper_is_the_elastica_s(seed: int, slack: float) -> None:
    """A half of chance shot to a span: its rise gives the ratio of its thrust to its critical load back."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)
    shot = shoot(rod, rod.length * (1 - slack))
    slender = shoot(rod, rod.length * (1 - 1e-4)).thrust_N * (1 - 0.5e-4)  # all but the critical load

    assert load_ratio_on_taper(rod, shot.rise_m) == pytest.approx(shot.thrust_N / slender, rel=2e-4)
    assert bend(rod, rod.length * (1 - slack)).rise_m == pytest.approx(shot.rise_m, rel=1e-7)
