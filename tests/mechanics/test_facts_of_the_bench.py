"""What every maker knows from the bench and the field, as tests. Common practice, no source."""

from __future__ import annotations

from math import pi

import pytest

from bowbook.mechanics.balance import DifferenceSureness, difference, verdict
from bowbook.mechanics.cantilever import droop_rigidity, sag_rigidity
from bowbook.mechanics.column import CLAMPED, pinned_column_load, rigidity_from_load
from bowbook.mechanics.elastica import bend, load_ratio_from_rise
from bowbook.mechanics.planning import folded_thrust
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.taper import tapered_second_moment
from bowbook.mechanics.tension import flex_wind

HALF = 0.32  # m
EVEN = Profile.uniform(0.02, HALF)


def test_half_a_bow_reads_four_times_the_whole() -> None:
    """Half the length, four times the load."""
    assert pinned_column_load(EVEN) / pinned_column_load(EVEN.joined(EVEN)) == pytest.approx(4.0, rel=1e-12)


def test_the_reading_barely_grows_with_more_bow() -> None:
    """A rod bowed out by a tenth of its length pushes back by a little more than one part in a hundred."""
    assert 1.010 < load_ratio_from_rise(0.10) < 1.015
    assert load_ratio_from_rise(0.0) == pytest.approx(1.0, abs=1e-12)


def test_equal_halves_read_equal_when_turned_over() -> None:
    """Two halves cut alike are even whichever way round they lie, even where they taper."""
    stations = (("flat", 0.0021, 0.004, None), ("flat", 0.0016, 0.003, None))
    half = tapered_second_moment((0.0, HALF), stations, HALF).scaled(10e9)
    left, right = pinned_column_load(half), pinned_column_load(half.reversed().reversed())

    d = difference(rigidity_from_load(left, HALF), rigidity_from_load(right, HALF))
    assert d == pytest.approx(0.0, abs=1e-12)
    assert verdict(d, DifferenceSureness(((0.01, 20.0),), 0.0, 3), 0.03) == "even"

    bow = half.reversed().joined(half)
    bent = bend(bow, 1.8 * HALF)
    assert bent.slope_left_rad == pytest.approx(bent.slope_right_rad, rel=1e-9)
    assert bent.deepest_x_m == pytest.approx(0.9 * HALF, rel=1e-9)


def test_the_softer_side_bends_more() -> None:
    """With the left half softer, the deepest point lies left of the middle and the left tip stands steeper."""
    bent = bend(Profile.uniform(0.018, HALF).joined(Profile.uniform(0.022, HALF)), 1.8 * HALF)
    mirrored = bend(Profile.uniform(0.022, HALF).joined(Profile.uniform(0.018, HALF)), 1.8 * HALF)

    assert bent.deepest_x_m < 0.9 * HALF
    assert bent.slope_left_rad > bent.slope_right_rad
    assert mirrored.slope_right_rad == pytest.approx(bent.slope_left_rad, rel=1e-9)
    assert mirrored.deepest_x_m == pytest.approx(1.8 * HALF - bent.deepest_x_m, rel=1e-9)


def test_a_firm_hand_reads_twice_a_loose_one() -> None:
    """Clamping the held end instead of letting it turn doubles the reading."""
    assert 2.0 < rigidity_from_load(1.0, HALF) / rigidity_from_load(1.0, HALF, CLAMPED) < 2.1


def test_a_stiff_skin_moves_the_kite_to_stronger_wind() -> None:
    """The same bow under a skin that adds stiffness gives way later: four times the stiffness, twice the wind."""

    def flexes(skin: float) -> float:
        half = EVEN.plus(skin)
        return flex_wind(folded_thrust(half, half, 0.6), 0.6, 0.0078)

    bare, stiff = flexes(0.0), flexes(0.02)

    assert stiff > bare
    assert flexes(0.06) == pytest.approx(2 * bare, rel=1e-12)


def test_three_ways_to_measure_a_rod_find_the_same_rod() -> None:
    """A press, a sag and a droop, each small, give the rod's own stiffness back."""
    EI = 0.02

    assert rigidity_from_load(pi**2 * EI / HALF**2, HALF) == pytest.approx(EI, rel=1e-12)
    assert sag_rigidity(0.001, 0.3, 0.001 * 0.3**3 / (48 * EI)) == pytest.approx(EI, rel=1e-5)
    assert droop_rigidity(0.001, 0.3, 0.001 * 0.3**3 / (3 * EI)) == pytest.approx(EI, rel=1e-5)
