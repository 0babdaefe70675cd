"""Quantities no rod, bow or kite can have are refused in words: the quantity, its value, what is allowed."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from bowbook.mechanics.air import least_wind, move_height, wind_for_pressure
from bowbook.mechanics.balance import difference
from bowbook.mechanics.cantilever import droop_rigidity, droop_scale, sag_rigidity
from bowbook.mechanics.column import pinned_column_load, rigidity_from_load
from bowbook.mechanics.elastica import bend, bend_uniform
from bowbook.mechanics.fabric import plate_rigidity, strip_rigidity
from bowbook.mechanics.planning import rigidity_for_thrust
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.scatter import repeat_set
from bowbook.mechanics.tension import flex_wind, thrust_for_flex

ROD = Profile.uniform(0.02, 0.64)

REFUSED: dict[str, tuple[Callable[[], object], str]] = {
    "span over length": (lambda: bend(ROD, 0.65), r"the span is 0\.65 m and the bow 0\.64 m long"),
    "span of the length": (lambda: bend_uniform(0.02, 0.64, 0.64), "a bent bow's span is less than its length"),
    "no span": (lambda: bend(ROD, 0.0), r"the span is 0 m; it must be more than 0 m"),
    "span not a number": (lambda: bend(ROD, float("nan")), "the span is nan m"),
    "a hold of three": (lambda: rigidity_from_load(1.0, 0.3, 3.0), r"the hold factor is 3; it must be from 0\.5 to 2"),
    "a hold of nothing": (lambda: rigidity_from_load(1.0, 0.3, 0.0), "the hold factor is 0"),
    "a load of nothing": (lambda: rigidity_from_load(0.0, 0.3), "the load is 0 N; it must be more than 0 N"),
    "a length below nothing": (lambda: rigidity_from_load(1.0, -0.3), r"the free length is -0\.3 m"),
    "a droop beyond vertical": (lambda: droop_rigidity(0.5, 0.3, 0.4), "hangs straight down and says nothing"),
    "a weight beyond the rod": (lambda: droop_scale(ROD, 0.5, 0.7, 0.1), r"the weight hangs 0\.7 m from the clamp"),
    "a sag upwards": (lambda: sag_rigidity(1.0, 0.4, -0.001), r"the drop is -0\.001 m"),
    "a rod without stiffness": (lambda: Profile.uniform(0.0, 0.3), "the stiffness is 0 N m²"),
    "a half without stiffness": (lambda: difference(0.02, 0.0), "the stiffness of the right half is 0 N m²"),
    "a kite without mass": (lambda: least_wind(0.0, 0.2), "the mass of the kite is 0 kg"),
    "a kite without sail": (lambda: least_wind(0.02, 0.0), "the area of the sail is 0 m²"),
    "a wind meter in the ground": (lambda: move_height(5.0, 0.0, 2.0), "the height of the wind meter is 0 m"),
    "a pressure below nothing": (lambda: wind_for_pressure(-1.0), "the pressure is -1 Pa; it must not be negative"),
    "a skin without weight": (lambda: strip_rigidity(0.0, 0.04), "the weight of the skin is 0 kg/m²"),
    "rubber beyond rubber": (lambda: plate_rigidity(1e9, 2e-5, 0.6), "Poisson's ratio of the skin is 0.6"),
    "a flex wind of nothing": (lambda: thrust_for_flex(0.0, 0.6, 0.007), "the wind is 0 m/s"),
    "a bow without tension": (lambda: flex_wind(0.0, 0.6, 0.007), "the bow's tension is 0 N"),
    "a tension of nothing": (lambda: rigidity_for_thrust(0.0, 0.64, 0.6), "the bow's tension is 0 N"),
    "a reading of nothing": (lambda: repeat_set((200.0, 0.0)), "a reading is 0"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_is_refused_in_words(name: str) -> None:
    """One sentence, no traceback of arithmetic, no silent number."""
    ask, words = REFUSED[name]

    with pytest.raises(ValueError, match=words):
        ask()


@pytest.mark.parametrize("span", [1 - 1e-9, 1 - 2e-8, 0.999999, 0.999, 0.5, 0.2, 0.05])
def test_a_bow_is_found_at_any_span(span: float) -> None:
    """From barely bent to tips that nearly meet, a solved bow is the closed form's."""
    solved, closed = bend(Profile.uniform(1.0, 1.0), span), bend_uniform(1.0, 1.0, span)

    assert solved.thrust_N == pytest.approx(closed.thrust_N, rel=1e-9)
    assert solved.rise_m == pytest.approx(closed.rise_m, rel=2e-9)


@pytest.mark.parametrize("gap", [1e-15, 1e-12, 1e-9, 0.9e-8, 1.1e-8, 1e-7])
@pytest.mark.parametrize("weak", [0.03, 0.3, 1.0, 3.0])
def test_an_uneven_bow_is_found_within_a_hair_of_its_length(gap: float, weak: float) -> None:
    """Barely bent, it pushes with its critical load (Euler), and rises with the root of what it is drawn in by."""
    bow = Profile.uniform(0.02, 0.7).with_zone(0.11, 0.23, weak)
    span = 0.7 * (1 - gap)
    bent, further = bend(bow, span), bend(bow, 0.7 * (1 - 1e-6))

    assert bent.thrust_N == pytest.approx(pinned_column_load(bow), rel=1e-6)
    assert bent.rise_m == pytest.approx(further.rise_m * ((0.7 - span) / 0.7 / 1e-6) ** 0.5, rel=1e-4)


def test_a_very_uneven_bow_is_still_found() -> None:
    """One half a tenth as stiff as the other, and a stretch a hundred times stiffer: one hump, tips on the chord."""
    bow = Profile.uniform(1.0, 0.5).joined(Profile.uniform(0.1, 0.5)).with_zone(0.45, 0.55, 100.0)
    bent = bend(bow, 0.75)

    assert bent.thrust_N > 0
    assert bent.y_m.min() == 0.0
    assert bent.y_m[0] == bent.y_m[-1] == 0.0
    assert bent.x_m[-1] == pytest.approx(0.75, rel=1e-9)


def test_the_curve_is_a_curve() -> None:
    """As many places as depths, from tip to tip, never longer than the rod, its deepest sample near the rise."""
    bent = bend(Profile.uniform(0.02, 0.32).joined(Profile.uniform(0.03, 0.32)), 0.58)
    import numpy as np

    steps = np.hypot(np.diff(bent.x_m), np.diff(bent.y_m))
    assert bent.s_m.shape == bent.x_m.shape == bent.y_m.shape == bent.curvature_per_m.shape
    assert (bent.s_m[0], bent.s_m[-1]) == (0.0, 0.64)
    assert 0.6399 < steps.sum() <= 0.64 * (1 + 1e-9)
    assert bent.y_m.max() == pytest.approx(bent.rise_m, rel=1e-3)
    assert bent.y_m.max() <= bent.rise_m * (1 + 1e-12)
