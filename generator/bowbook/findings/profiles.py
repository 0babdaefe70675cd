"""What the sections along a bow make of its halves: rigidity from the centre mark outward."""

from __future__ import annotations

import math

from bowbook.book.records import Kite, Side, Station
from bowbook.findings.sections import dimensions, stations_of
from bowbook.mechanics import column
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.taper import tapered_second_moment


def unit_profile(kite: Kite, side: Side, half_length: float) -> Profile:
    """Profile of a half with equivalent rigidity 1: flat, or as its stations taper."""
    stations = stations_of(kite, side)
    if not stations:
        return Profile.uniform(1.0, half_length)
    moments = moment_profile(stations, half_length)
    equivalent = column.pinned_column_load(moments) * half_length**2 / math.pi**2
    return moments.scaled(1.0 / equivalent)


def moment_profile(stations: tuple[Station, ...], length: float) -> Profile:
    """Second moment of area along a half, m⁴, from its stations."""
    return tapered_second_moment(
        [s.at_m for s in stations],
        [dimensions(s.section) for s in stations],
        length,
    )
