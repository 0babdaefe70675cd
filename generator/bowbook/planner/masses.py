"""Where a kite's mass goes: skin, bow, spine and the rest."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from bowbook.book.records import Book, Kite, Side
from bowbook.findings.results import Findings
from bowbook.findings.sections import own_section, rod_density, section_area, section_at, stations_of

HowKnown = Literal["weighed", "worked out"]
_SLICES = 40  # of a half, for the mean area of a tapered bow: exact to 1e-3 for any taper a knife makes


class MassPart(Struct, frozen=True):
    """One part's mass; None where it cannot be known."""

    name: Literal["skin", "bow", "spine", "rest", "whole"]
    mass_kg: float | None = None
    how: HowKnown | None = None


def mass_budget(book: Book, findings: Findings) -> tuple[MassPart, ...]:
    """Skin, bow, spine, the rest (bridle, glue, tapes) and the whole kite, kg.

    The rest is known only where the kite was weighed and every other part is known.
    """
    kite = findings.kite
    skin = book.skins.get(kite.sail.skin or "")
    area = findings.sail.area_m2
    sail_kg = area * skin.areal_kg_m2 if skin and skin.areal_kg_m2 and area else None
    parts = [MassPart("skin", sail_kg, "worked out" if sail_kg is not None else None), bow_mass(book, kite)]
    parts.append(_spine_mass(book, kite))
    known = [p.mass_kg for p in parts if p.mass_kg is not None]
    rest = kite.mass_kg - sum(known) if kite.mass_kg is not None and len(known) == len(parts) else None
    parts.append(MassPart("rest", rest, "worked out" if rest is not None else None))
    parts.append(MassPart("whole", kite.mass_kg, "weighed" if kite.mass_kg is not None else None))
    return tuple(parts)


def bow_mass(book: Book, kite: Kite) -> MassPart:
    """The bow's mass, kg: weighed, or its section along its length times the rod's density."""
    if kite.bow.mass_kg is not None:
        return MassPart("bow", kite.bow.mass_kg, "weighed")
    density = rod_density(book.rods.get(kite.bow.rod or ""))
    if kite.bow.length_m is None or density is None:
        return MassPart("bow")
    areas = [_mean_area(book, kite, side) for side in ("left", "right")]
    if areas[0] is None or areas[1] is None:
        return MassPart("bow")
    return MassPart("bow", (areas[0] + areas[1]) / 2 * kite.bow.length_m * density, "worked out")


def _mean_area(book: Book, kite: Kite, side: Side) -> float | None:
    stations = stations_of(kite, side)
    if not stations:
        section = own_section(book, kite)
        return section_area(section) if section else None
    half_m = (kite.bow.length_m or 0.0) / 2
    middles = [(n + 0.5) / _SLICES * half_m for n in range(_SLICES)]
    return sum(section_area(section_at(stations, s)) for s in middles) / _SLICES


def _spine_mass(book: Book, kite: Kite) -> MassPart:
    if kite.spine.mass_kg is not None:
        return MassPart("spine", kite.spine.mass_kg, "weighed")
    rod = book.rods.get(kite.spine.rod or "")
    density = rod_density(rod)
    if rod is None or rod.section is None or density is None or kite.spine.length_m is None:
        return MassPart("spine")
    return MassPart("spine", section_area(rod.section) * kite.spine.length_m * density, "worked out")
