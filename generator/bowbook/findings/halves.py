"""One half of the bow: from its reading and its section to flexural rigidity along its length."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal

from msgspec import Struct

from bowbook.book.records import Book, Bow, Droop, Kite, Press, Reading, Sag, Section, Side, Station
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Precision, UFloat
from bowbook.mechanics import cantilever, column, elastica, section
from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.mechanics.profile import Profile


class Half(Struct, frozen=True):
    """A half worked out.

    `EI` is the rigidity of the uniform half that would bow under the same pinned press, N m²; `unit` is the
    half's profile from the centre mark outward with that rigidity set to 1; `press` is the reading as the scale
    said it, N, or None for sag and droop; `hold` is its effective-length factor, `carried_N` the part of the
    rod's weight in that reading.
    """

    EI: UFloat
    unit: Profile
    press: UFloat | None
    hold: float
    reading: Reading
    carried_N: float = 0.0
    uniform: bool = True  # whether it bends alike all along

    @property
    def profile(self) -> Profile:
        """Rigidity along the half, from the centre mark outward, N m²."""
        return self.unit.scaled(float(self.EI.nominal_value))


def hold_factor(hold: Literal["pinned", "clamped"] | float) -> float:
    """Effective-length factor of a hold as declared."""
    if hold == "pinned":
        return column.PINNED
    if hold == "clamped":
        return column.CLAMPED
    return float(hold)


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


def carried_weight(reading: Press, bow: Bow, free_m: float, ledger: Ledger) -> float:
    """The part of the rod's own weight that a scale zeroed empty shows besides the load, N; 0 if not known."""
    if bow.mass_kg is None or not bow.length_m:
        ledger.assume("The bow's own weight was left on the readings: its mass is not written.")
        return 0.0
    weight = bow.mass_kg * STANDARD_GRAVITY * free_m / bow.length_m
    return column.weight_share(hold_factor(reading.hold)) * weight


def bare_load(reading: Press, bow: Bow, free_m: float, precision: Precision, ledger: Ledger) -> UFloat:
    """Critical load behind a press reading, N: the rod's own weight and the bow's rise taken out.

    Raises ValueError where the reading is less than the rod's weight, or no rod bows out that far.
    """
    load = precision.press(reading) - carried_weight(reading, bow, free_m, ledger)
    if load.nominal_value <= 0:
        raise ValueError("this reading is less than the weight of the bow itself")
    if reading.rise_m is None:
        return load
    if reading.hold != "pinned":
        ledger.assume("A rise noted under a hold that is not pinned was taken out as for a pinned rod.")
    return load / elastica.load_ratio_from_rise(reading.rise_m / free_m)


def half_from(reading: Reading, kite: Kite, side: Side, precision: Precision, ledger: Ledger, path: str) -> Half | None:
    """Work one half out from one reading, or say what is wanting."""
    bow = kite.bow
    figure = f"bow.{side}.EI_Nm2"
    length = bow.length_m
    if length is None:
        if not isinstance(reading, Press) or reading.length_m is not None:
            return _without_bow_length(reading, kite, precision, ledger, path)
        ledger.want(figure, "The bow's length, to turn a press reading into stiffness.")
        return None
    half_m = length / 2
    tapered = bool(stations_of(kite, side))
    try:
        unit = unit_profile(kite, side, half_m)
        if isinstance(reading, Press):
            free = reading.length_m or half_m
            load = bare_load(reading, bow, free, precision, ledger)
            carried = carried_weight(reading, bow, free, ledger)
            if tapered:
                EI = load / _unit_load(reading, unit, free, half_m)
            else:
                EI = column.rigidity_from_load(1.0, free, hold_factor(reading.hold)) * load
            return Half(EI, unit, precision.press(reading), hold_factor(reading.hold), reading, carried, not tapered)
        drop = precision.drop(reading)
        from_drop = _tapered_from_drop if tapered else _uniform_from_drop
        return Half(from_drop(reading, unit, drop), unit, None, column.PINNED, reading, uniform=not tapered)
    except ValueError as error:
        ledger.problem(path, error, "Measure this once more, or correct what is written here.")
        ledger.want(figure, f"A reading of the {side} half that a rod can give.")
        return None


def _without_bow_length(reading: Reading, kite: Kite, precision: Precision, ledger: Ledger, path: str) -> Half | None:
    """A half whose reading carries its own length: its rigidity is known though the bow's length is not."""
    try:
        if isinstance(reading, Press):
            free = reading.length_m or 0.0
            hold = hold_factor(reading.hold)
            EI = column.rigidity_from_load(1.0, free, hold) * bare_load(reading, kite.bow, free, precision, ledger)
            return Half(EI, Profile.uniform(1.0, free), precision.press(reading), hold, reading)
        unit = Profile.uniform(1.0, reading.span_m if isinstance(reading, Sag) else reading.length_m)
        return Half(_uniform_from_drop(reading, unit, precision.drop(reading)), unit, None, column.PINNED, reading)
    except ValueError as error:
        ledger.problem(path, error, "Measure this once more, or correct what is written here.")
        return None


def _unit_load(reading: Press, unit: Profile, free_m: float, half_m: float) -> float:
    """Critical load of the pressed stretch of a half whose equivalent rigidity is 1, under the declared hold."""
    stretch = unit
    if free_m < half_m:  # the tip stands on the scale, so it is the outer part that is free
        stretch = unit.part(half_m - free_m, half_m)
    elif free_m > half_m:
        raise ValueError(f"a tapered half of {half_m * 1000:.0f} mm cannot be pressed over {free_m * 1000:.0f} mm")
    if reading.hold == "clamped":
        return column.clamped_column_load(stretch)
    return column.pinned_column_load(stretch) / hold_factor(reading.hold) ** 2


def _uniform_from_drop(reading: Sag | Droop, _unit: Profile, drop: UFloat) -> UFloat:
    """Rigidity of a uniform half from a sag or a droop, its uncertainty carried by the slope of the relation."""
    from uncertainties import wrap

    if isinstance(reading, Sag):
        return cantilever.sag_rigidity(reading.load_N, reading.span_m, 1.0) / drop
    load, length = reading.load_N, reading.length_m
    return wrap(lambda d: cantilever.droop_rigidity(load, length, d))(drop)


def _tapered_from_drop(reading: Sag | Droop, unit: Profile, drop: UFloat) -> UFloat:
    """Equivalent rigidity of a tapered half from a sag or a droop."""
    from uncertainties import wrap

    load = reading.load_N
    if isinstance(reading, Sag):
        span = reading.span_m
        return wrap(lambda d: cantilever.sag_scale(unit, load, span, d))(drop)
    length = reading.length_m
    return wrap(lambda d: cantilever.droop_scale(unit, load, length, d))(drop)
