"""Holds between a hinge and a vice, against columns integrated as initial-value problems."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from bowbook.mechanics.column import CLAMPED, PINNED, clamped_column_load, pinned_column_load, sprung_column_load
from bowbook.mechanics.hand import HandSample, factor_of, hold_shown, learn_hand, spring_of
from bowbook.mechanics.pressing import Hold, added_rigidity, pressed_load, rigidity_scale, uniform_rigidity
from bowbook.mechanics.profile import Profile
from mechanics.rods import half_of_chance


def integrated(rod: Profile, spring: float) -> float:
    """The load at which a column with a turning spring at s = 0 bows: y'' = M/EI, M = −P y + R (L − s), by shooting."""
    inside = np.linspace(0, rod.length, 403)[1:-1]
    soft, stiff = 1 / np.max(1 / rod.at(inside)), rod.at(inside).max()

    def far_end(load: float) -> float:
        y = np.array([0.0, 1.0])  # deflection, slope; the spring's moment is what the reaction makes at s = 0
        R = spring / rod.length
        for start, end, piece in zip(rod.edges, rod.edges[1:], rod.pieces, strict=False):

            def turn(s: float, y: np.ndarray, piece=piece) -> list[float]:
                return [y[1], (-load * y[0] + R * (rod.length - s)) / float(piece(np.array([s]))[0])]

            y = solve_ivp(turn, (start, end), y, method="DOP853", rtol=1e-11, atol=1e-14).y[:, -1]
        return float(y[0])

    loads = np.linspace(9.0 * soft, 21 * stiff, 60) / rod.length**2
    before = far_end(loads[0])
    for a, b in pairwise(loads):
        after = far_end(b)
        if before * after < 0:
            return brentq(far_end, a, b, xtol=1e-12, rtol=1e-12)
        before = after
    raise AssertionError("no load found")


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.01, 3.0))
def test_a_column_held_by_a_spring_bows_as_an_integration_says(seed: int, spring: float) -> None:
    """On any half, uniform, tapered, coned or shaved."""
    rod = half_of_chance(np.random.default_rng(seed), 0.3)

    assert sprung_column_load(rod, spring) == pytest.approx(integrated(rod, spring), rel=1e-7)


def test_a_spring_lies_between_a_hinge_and_a_vice() -> None:
    """None at all is a hinge; one without end is a vice."""
    rod = half_of_chance(np.random.default_rng(4), 0.3)

    assert sprung_column_load(rod, 0.0) == pytest.approx(pinned_column_load(rod), rel=1e-10)
    assert sprung_column_load(rod, 1e9) == pytest.approx(clamped_column_load(rod), rel=1e-6)


@pytest.mark.parametrize("factor", [0.705, 0.8, 0.93, 0.995])
def test_the_closed_form_is_that_column(factor: float) -> None:
    """u cot u − 1 = P ℓ/c against the column of the same spring and rigidity."""
    EI, length = 0.02, 0.32
    load = np.pi**2 * EI / (factor * length) ** 2
    spring = spring_of(factor, load, length)

    assert sprung_column_load(Profile.uniform(EI, length), spring) == pytest.approx(load, rel=1e-9)
    assert factor_of(spring, load, length) == pytest.approx(factor, rel=1e-10)
    assert uniform_rigidity(load, length, Hold(spring=spring)) == pytest.approx(EI, rel=1e-9)


@settings(max_examples=10, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([Hold(), Hold(CLAMPED), Hold(0.85), Hold(spring=0.4)]))
def test_a_press_gives_the_half_and_its_skin_back(seed: int, hold: Hold) -> None:
    """Any half, pressed over its whole length or its outer part, bare and with a skin all along."""
    rng = np.random.default_rng(seed)
    half = half_of_chance(rng, 0.3)
    free = half.length * rng.uniform(0.6, 1.0)
    EI, skin = rng.uniform(0.5, 2.0), rng.uniform(0.0005, 0.004)
    bare = half.scaled(EI)

    assert rigidity_scale(half, pressed_load(bare, free, hold), free, hold) == pytest.approx(EI, rel=1e-9)
    covered = pressed_load(bare.plus(skin), free, hold)
    assert added_rigidity(bare, covered, free, hold) == pytest.approx(skin, rel=1e-7)
    softer = pressed_load(bare.plus(-0.0002), free, hold)
    assert added_rigidity(bare, softer, free, hold) == pytest.approx(-0.0002, rel=1e-6)


def test_uneven_halves_do_not_mislead_the_hold() -> None:
    """Halves a fifth apart, pressed with a factor of 0.85: a whole press between hinges shows 0.985 · 0.85."""
    left, right = Profile.uniform(0.022, 0.32), Profile.uniform(0.018, 0.32)
    whole = pinned_column_load(left.reversed().joined(right))
    as_read = [half.scaled(1 / 0.85**2) for half in (left, right)]

    assert hold_shown(whole, *as_read) == pytest.approx(0.985 * 0.85, rel=1e-9)


@pytest.mark.parametrize("kind", ["K", "spring"])
def test_a_hand_is_known_for_what_it_is(kind: str) -> None:
    """Five bows from 0.01 to 0.05 N m² pressed by a hand of either kind: the kind and its size come back."""
    samples = []
    for EI in (0.01, 0.015, 0.02, 0.03, 0.05):
        rod = Profile.uniform(EI, 0.32)
        load = sprung_column_load(rod, 0.3) if kind == "spring" else pinned_column_load(rod) / 0.85**2
        samples.append(HandSample(float(np.sqrt(pinned_column_load(rod) / load)), load * 0.32))
    hand = learn_hand(samples)

    assert hand.kind == kind
    assert hand.bows == 5
    if kind == "spring":
        assert hand.spring == pytest.approx(0.3, rel=1e-6)
    else:
        assert hand.factor == pytest.approx(0.85, rel=1e-9)
    # the spread between bows that share it is the assumed one, of three bows' weight: 2 · 0.03/K · √(3/7 · 6/5), 1.7 %
    middle = np.mean([one.factor for one in samples])
    assert hand.u == pytest.approx(np.hypot(0.06 / middle * np.sqrt(3 / 7 * 6 / 5), 0.017), rel=1e-3)


def test_two_bows_are_too_few_for_a_spring() -> None:
    """Below three bows the hand is a constant, and without any 0.93 give or take 9 % of the rigidity."""
    assert learn_hand([HandSample(0.8, 0.6), HandSample(0.9, 0.2)]).kind == "K"
    assert learn_hand([])[:3] == (0.93, None, 0.09)
    assert PINNED == 1.0


@pytest.mark.long
@pytest.mark.parametrize("kind", ["K", "spring"])
def test_a_learnt_hand_measures_rods_to_a_few_per_cent(kind: str) -> None:
    """A thousand makers, bows of 0.01 to 0.05 N m² uneven by 10 %: root mean square of the next bow's error.

    Every maker has a hand of their own, which wavers by 3 % between bows; readings are means of three with 1 %. The
    whole press stands on 0.985 ± 0.009.
    """
    rng = np.random.default_rng(17)

    def pressed(EI: float, hand: float) -> float:
        waver = 1 + 0.015 * rng.normal()
        if kind == "K":
            return np.pi**2 * EI / (hand * waver * 0.32) ** 2
        spring = hand * waver**8
        return brentq(lambda P: factor_of(spring, P, 0.32) ** 2 * P - np.pi**2 * EI / 0.32**2, 1e-3, 60.0)

    errors: dict[int, list[float]] = {3: [], 5: []}
    for _ in range(400):
        hand = rng.uniform(0.78, 0.95) if kind == "K" else np.exp(rng.uniform(np.log(0.1), np.log(1.5)))
        end = 0.985 + 0.009 * rng.normal()
        samples, bows = [], []
        for _bow in range(6):
            EI = np.exp(rng.uniform(np.log(0.01), np.log(0.05)))
            halves = EI * 1.05, EI * 0.95
            read = [pressed(one, hand) * (1 + 0.006 * rng.normal()) for one in halves]
            apart = Profile.uniform(halves[0], 0.32).joined(Profile.uniform(halves[1], 0.32))
            whole = pinned_column_load(apart) / end**2 * (1 + 0.006 * rng.normal())
            shown = [Profile.uniform(uniform_rigidity(P, 0.32, Hold()), 0.32) for P in read]
            samples.append(HandSample(hold_shown(whole, *shown), float(np.mean(read)) * 0.32))
            bows.append((EI, float(np.mean(read))))
        for n, found in errors.items():
            learnt = learn_hand(samples[:n])
            hold = Hold(learnt.factor or 1.0, learnt.spring)
            EI, P = bows[5]
            found.append(uniform_rigidity(P, 0.32, hold) / EI - 1)

    assert np.sqrt(np.mean(np.square(errors[3]))) < 0.06
    assert np.sqrt(np.mean(np.square(errors[5]))) < 0.045
