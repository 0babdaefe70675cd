"""One half of the bow: from its reading and its section to flexural rigidity along its length."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Kite, Press, Reading, Sag, Side
from bowbook.findings.hold import bow_out, bow_tapers, carried_weight, hold_of
from bowbook.findings.ledger import Ledger
from bowbook.findings.profiles import unit_profile
from bowbook.findings.readings import Measuring, UFloat
from bowbook.findings.sections import stations_of
from bowbook.mechanics import cantilever
from bowbook.mechanics.pressing import Hold, pressed_stretch, rigidity_scale, uniform_rigidity
from bowbook.mechanics.profile import Profile

WITHOUT_LENGTH_m = 0.3  # a half whose length is not written, for what does not depend on it


class Pressed(Struct, frozen=True):
    """How a half was pressed: as the scale said it and the critical load behind that, N; the part of the rod's weight
    in the reading; how much more than that load the bow-out shows; free length, m, and hold."""

    read: UFloat
    load: UFloat
    carried_N: float
    bow_out: float
    free_m: float | None
    hold: Hold

    @property
    def way(self) -> tuple[float, float, float | None, Hold]:
        """Of two halves pressed in the same way, the same load gives the same reading."""
        return self.carried_N, self.bow_out, self.free_m, self.hold


class Half(Struct, frozen=True):
    """A half worked out.

    `EI` is the rigidity of the uniform half that would bow under the same pinned press, N m²; `unit` is the
    half's profile from the centre mark outward with that rigidity set to 1; `pressed` is None for sag and droop.
    `EI` is None, and `unit` of no certain length, where a press lacks the length it needs.
    """

    EI: UFloat | None
    unit: Profile
    pressed: Pressed | None
    reading: Reading
    uniform: bool = True  # whether it bends alike all along

    @property
    def profile(self) -> Profile:
        """Rigidity along the half, from the centre mark outward, N m²; in any scale where its length is not known."""
        if self.EI is not None:
            return self.unit.scaled(float(self.EI.nominal_value))
        assert self.pressed is not None
        return self.unit.scaled(float(self.pressed.load.nominal_value))


def pressed_as(
    reading: Press, kite: Kite, side: Side | None, m: Measuring, ledger: Ledger, *, another_day: bool = False
) -> Pressed:
    """A press reading of one half, or with no side of the whole bow, with the load behind it.

    `another_day`: with what two days differ by.

    Raises ValueError where the reading is less than the rod's weight, or no rod bows out that far.
    """
    bow, sure = kite.bow, m.precision.sure
    whole = side is None
    free = reading.length_m or (bow.length_m and (bow.length_m if whole else bow.length_m / 2))
    carried = carried_weight(reading, bow, whole)
    if carried is None:
        ledger.assume("The bow's own weight was left on the readings: its mass is not written.")
    read = m.press(reading)
    load = read - (carried or 0.0) * (m.about_mass if carried and "bow.mass" in kite.about else 1.0)
    if load.nominal_value <= 0:
        raise ValueError("this reading is less than the weight of the bow itself")
    ratio = bow_out(reading, sure, _stretch(kite, side, free), free)
    if reading.rise_m is None:
        load = load * (m.bow_out_clamped if reading.hold == "clamped" else m.bow_out)
    elif reading.hold not in (None, "pinned", "hinge"):
        ledger.assume("A rise noted under another hold than a hinge was taken out as for a hinge.")
    load = m.another_day(load / ratio) if another_day else load / ratio
    return Pressed(read, load, carried or 0.0, ratio, free, hold_of(reading, m.precision.hand, sure))


def _stretch(kite: Kite, side: Side | None, free_m: float | None) -> Profile | None:
    """The pressed stretch of a tapered rod; None for a uniform one."""
    length = kite.bow.length_m
    if length is None or free_m is None or not bow_tapers(kite.bow):
        return None
    if side is not None:
        return pressed_stretch(unit_profile(kite, side, length / 2), free_m) if stations_of(kite, side) else None
    return unit_profile(kite, "left", length / 2).reversed().joined(unit_profile(kite, "right", length / 2))


def half_from(
    reading: Reading, kite: Kite, side: Side, m: Measuring, ledger: Ledger, path: str, *, another_day: bool = False
) -> Half | None:
    """Work one half out from one reading, or say what is wanting. `another_day`: with what two days differ by."""
    length = kite.bow.length_m
    try:
        if isinstance(reading, Press):
            return _from_press(reading, kite, side, m, ledger, another_day)
        tapered = bool(stations_of(kite, side)) and length is not None
        own = reading.span_m if isinstance(reading, Sag) else reading.length_m
        unit = unit_profile(kite, side, length / 2) if length is not None else Profile.uniform(1.0, own)
        EI = _tapered_from_drop(reading, unit, m) if tapered else _uniform_from_drop(reading, m)
        EI = m.another_day(EI) if another_day else EI
        return Half(EI, unit, None, reading, not tapered)
    except ValueError as error:
        ledger.problem(path, error, "Measure this once more, or correct what is written here.")
        ledger.want(f"bow.{side}.EI_Nm2", f"A reading of the {side} half that a rod can give.")
        return None


def _from_press(reading: Press, kite: Kite, side: Side, m: Measuring, ledger: Ledger, another_day: bool) -> Half:
    """A half from its press; without the rigidity where neither it nor the bow has a length."""
    length = kite.bow.length_m
    pressed = pressed_as(reading, kite, side, m, ledger, another_day=another_day)
    free, hold = pressed.free_m, pressed.hold
    half_m = length / 2 if length is not None else free
    if free is None or half_m is None:
        ledger.want(f"bow.{side}.EI_Nm2", "The bow's length, to turn a press reading into stiffness.")
        return Half(None, Profile.uniform(1.0, WITHOUT_LENGTH_m), pressed, reading)
    tapered = bool(stations_of(kite, side)) and length is not None
    unit = unit_profile(kite, side, half_m) if length is not None else Profile.uniform(1.0, free)
    EI = _rigidity(pressed.load, unit if tapered else None, free, hold)
    guessed = m.about_length**2 if reading.length_m is None and "bow.length" in kite.about else 1
    return Half(EI * m.held(reading.hold, free) * guessed, unit, pressed, reading, not tapered)


def _rigidity(load: UFloat, unit: Profile | None, free: float, hold: Hold) -> UFloat:
    """The equivalent rigidity behind a load: in proportion, but for a hand that is a spring."""
    from uncertainties import wrap

    def EI(P: float) -> float:
        return uniform_rigidity(P, free, hold) if unit is None else rigidity_scale(unit, P, free, hold)

    return wrap(EI)(load) if hold.spring is not None else EI(1.0) * load


def _uniform_from_drop(reading: Reading, m: Measuring) -> UFloat:
    """Rigidity of a uniform half from a sag or a droop, its uncertainty carried by the slope of the relation."""
    from uncertainties import wrap

    assert not isinstance(reading, Press)
    load, drop = reading.load_N, m.drop(reading)
    if isinstance(reading, Sag):
        span = reading.span_m
        return wrap(lambda d, s: cantilever.sag_rigidity(load, s, d))(drop, span + m.ruler_m)
    return wrap(lambda d, s: cantilever.droop_rigidity(load, s, d))(drop, reading.length_m + m.ruler_m)


def _about_the_sag(unit: Profile, reading: Sag) -> Profile:
    """The stretch of a tapered rod that a sag bends: about its place, else about the middle of the half.

    Where it reaches across the centre mark the other half is taken to taper alike. Raises ValueError where a support
    would stand beyond the tip.
    """
    if reading.at_m is None:
        return unit
    middle, reach = unit.length + reading.at_m, reading.span_m / 2
    if reading.at_m + reach > unit.length * (1 + 1e-9):
        raise ValueError(
            f"the supports stand {reading.span_m:g} m apart about {reading.at_m:g} m from the centre mark, one of them "
            f"beyond the tip at {unit.length:g} m"
        )
    return unit.reversed().joined(unit).part(middle - reach, min(middle + reach, 2 * unit.length))


def _tapered_from_drop(reading: Reading, unit: Profile, m: Measuring) -> UFloat:
    """Equivalent rigidity of a tapered half from a sag or a droop."""
    from uncertainties import wrap

    assert not isinstance(reading, Press)
    load = reading.load_N
    if isinstance(reading, Sag):
        unit = _about_the_sag(unit, reading)
    of, reach = (
        (cantilever.sag_scale, reading.span_m)
        if isinstance(reading, Sag)
        else (cantilever.droop_scale, reading.length_m)
    )

    def by_reach(d: float, s: float) -> float:
        """The slope, from this side only: no support and no weight stands beyond the rod."""
        h = 1e-3 * s
        return (3 * of(unit, load, s, d) - 4 * of(unit, load, s - h, d) + of(unit, load, s - 2 * h, d)) / (2 * h)

    return wrap(lambda d, s: of(unit, load, s, d), [None, by_reach])(m.drop(reading), reach + m.ruler_m)
