"""The cross-sections along a bow: as written, else the rod's own, and what they make of its halves."""

from __future__ import annotations

import math
from itertools import pairwise

from bowbook.book.records import Book, Kite, Section, Side, Station
from bowbook.mechanics import column, section
from bowbook.mechanics.profile import Profile


def own_section(book: Book, kite: Kite) -> Section | None:
    """The section of the bow's rod as it came, if the stock says."""
    rod = book.rods.get(kite.bow.rod or "")
    return rod.section if rod else None


def stations_of(kite: Kite, side: Side) -> tuple[Station, ...]:
    """The stations written for one half of the bow; empty where it keeps the rod's own section."""
    return kite.bow.left if side == "left" else kite.bow.right


def section_at(stations: tuple[Station, ...], s_m: float) -> Section:
    """The section at a distance from the centre mark: dimensions run straight between stations."""
    if s_m <= stations[0].at_m:
        return stations[0].section
    for a, b in pairwise(stations):
        if s_m <= b.at_m:
            t = (s_m - a.at_m) / (b.at_m - a.at_m)
            return Section(
                a.section.kind,
                _mix(a.section.thick_m, b.section.thick_m, t),
                _mix_or_none(a.section.wide_m, b.section.wide_m, t),
                _mix_or_none(a.section.inner_m, b.section.inner_m, t),
            )
    return stations[-1].section


def _mix(a: float, b: float, t: float) -> float:
    return a + (b - a) * t


def _mix_or_none(a: float | None, b: float | None, t: float) -> float | None:
    return None if a is None or b is None else _mix(a, b, t)


def dimensions(of: Section) -> section.Dimensions:
    """A section as the mechanics take it: kind, thick, wide, inner; m."""
    return of.kind, of.thick_m, of.wide_m, of.inner_m


def second_moment(of: Section) -> float:
    """Second moment of area of a section about the axis it bends around, m⁴."""
    return section.second_moment(dimensions(of))


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
    return section.tapered_second_moment(
        [s.at_m for s in stations],
        [dimensions(s.section) for s in stations],
        length,
    )
