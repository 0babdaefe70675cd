"""What a builder needs to repeat a kite: the reading each half must give, and where its mass goes."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from bowbook.book.records import Book, Kite, Press, Side, Sureness
from bowbook.findings.press_again import pressed_how
from bowbook.findings.results import Findings
from bowbook.findings.sections import own_section, rod_density, section_area, section_at, stations_of
from bowbook.mechanics.air import STANDARD_GRAVITY

HowKnown = Literal["weighed", "worked out"]
_SLICES = 40  # of a half, for the mean area of a tapered bow: exact to 1e-3 for any taper a knife makes


class TargetReading(Struct, frozen=True):
    """What the scale must say for each half of a bow like this one, N, and how to press it.

    Any two readings between `low_N` and `high_N` differ by no more than the book's tolerance.
    `from_press` is False where the halves were measured another way and the reading is worked out.
    """

    press_N: float
    low_N: float
    high_N: float
    length_m: float
    hold: str | float | None
    rise_m: float | None
    from_press: bool


class MassPart(Struct, frozen=True):
    """One part's mass; None where it cannot be known."""

    name: Literal["skin", "bow", "spine", "rest", "whole"]
    mass_kg: float | None = None
    how: HowKnown | None = None


def target_half(findings: Findings, tolerance: float) -> TargetReading | None:
    """The reading each half of an even bow as stiff as this one gives: the mean of this kite's two halves.

    None where either half is unknown, or the bow's length with halves that were not pressed alike.
    """
    kite = findings.kite
    left, right = _last_press(kite, "left"), _last_press(kite, "right")
    read = findings.bow.left.press_N, findings.bow.right.press_N
    if left and right and read[0] and read[1] and _pressed_alike(kite, left, right):
        length = _free_length(kite, left)
        if length is not None:
            return _between((read[0].value + read[1].value) / 2, tolerance, length, left.hold, left.rise_m, True)
    rigid = findings.bow.left.EI_Nm2, findings.bow.right.EI_Nm2
    if not (rigid[0] and rigid[1] and kite.bow.length_m):
        return None
    pressed = pressed_how(kite, kite.bow.length_m / 2, findings.bow.hand, Sureness())
    weight = (kite.bow.mass_kg or 0.0) * STANDARD_GRAVITY * pressed.free_m / kite.bow.length_m
    reading = pressed.reading((rigid[0].value + rigid[1].value) / 2, weight)
    return _between(reading, tolerance, pressed.free_m, pressed.said, pressed.rise_m, False)


def covered_target(findings: Findings, tolerance: float) -> TargetReading | None:
    """The same with the skin on, where both halves of this kite were pressed alike once it was covered."""
    kite, read = findings.kite, (findings.skin.left_N, findings.skin.right_N)
    left, right = (kite.covered.left, kite.covered.right) if kite.covered else (None, None)
    if not (left and right and read[0] and read[1] and _pressed_alike(kite, left, right)):
        return None
    length = _free_length(kite, left)
    if length is None:
        return None
    return _between((read[0].value + read[1].value) / 2, tolerance, length, left.hold, left.rise_m, True)


def _between(
    press_N: float,
    tolerance: float,
    length_m: float,
    hold: str | float | None,
    rise_m: float | None,
    from_press: bool,
) -> TargetReading:
    reach = press_N * tolerance / 2
    return TargetReading(press_N, press_N - reach, press_N + reach, length_m, hold, rise_m, from_press)


def _last_press(kite: Kite, side: Side) -> Press | None:
    for bench in reversed(kite.bench):
        reading = bench.left if side == "left" else bench.right
        if reading is not None:
            return reading if isinstance(reading, Press) else None
    return None


def _free_length(kite: Kite, press: Press) -> float | None:
    return press.length_m or (kite.bow.length_m / 2 if kite.bow.length_m else None)


def _pressed_alike(kite: Kite, left: Press, right: Press) -> bool:
    alike = _free_length(kite, left) == _free_length(kite, right) and left.rise_m == right.rise_m
    return alike and left.hold == right.hold


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
