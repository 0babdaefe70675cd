"""The cross-sections along a bow, as written, else the rod's own: second moment, area, density."""

from __future__ import annotations

import math
from itertools import pairwise

from bowbook.book.records import Book, Kite, Rod, Section, Side, Station
from bowbook.book.stock import rod_material
from bowbook.mechanics import section


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


def rod_density(rod: Rod | None) -> float | None:
    """The rod's own density, else the middle of its material's handbook range, kg/m³."""
    if rod is None:
        return None
    material = rod_material(rod.material)
    if rod.density_kg_m3 is not None or material is None:
        return rod.density_kg_m3
    return (material.density_kg_m3.low + material.density_kg_m3.high) / 2


def section_area(of: Section) -> float:
    """Area of a cross-section, m².

    >>> round(section_area(Section("round", 0.002)) * 1e6, 4)
    3.1416
    >>> round(section_area(Section("tube", 0.004, inner_m=0.003)) * 1e6, 4)
    5.4978
    >>> round(section_area(Section("flat", 0.002, wide_m=0.004)) * 1e6, 4)
    8.0
    """
    if of.kind == "flat":
        return of.thick_m * (of.wide_m or of.thick_m)
    return math.pi / 4 * (of.thick_m**2 - (of.inner_m or 0.0) ** 2)
