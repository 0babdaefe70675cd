"""How a half was held when it was pressed, the load behind its reading, and what a whole press says of the hand."""

from __future__ import annotations

from bowbook.book.records import Bow, Kite, Press, Side, Sureness
from bowbook.findings.bench_results import HandFindings
from bowbook.findings.profiles import unit_profile
from bowbook.mechanics import column, elastica
from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.mechanics.hand import hold_shown
from bowbook.mechanics.pressing import Hold, pressed_stretch
from bowbook.mechanics.profile import Profile


def hold_of(reading: Press, hand: HandFindings, sure: Sureness) -> Hold:
    """How the end in the hand was held: as written, else as the maker's fingers hold."""
    if reading.hold is None:
        return Hold(spring=hand.spring_Nm_rad) if hand.factor is None else Hold(hand.factor)
    if reading.hold == "hinge":
        return Hold((1 - sure.hinge) ** 0.5)
    if reading.hold == "pinned":
        return Hold(column.PINNED)
    return Hold(column.CLAMPED if reading.hold == "clamped" else float(reading.hold))


def weight_share(reading: Press) -> float:
    """The part of the pressed length's weight that the scale shows: fingers count as a hinge."""
    if reading.hold == "clamped":
        return column.weight_share(column.CLAMPED)
    return column.weight_share(reading.hold if isinstance(reading.hold, float) else column.PINNED)


def carried_weight(reading: Press, bow: Bow, whole: bool) -> float | None:
    """The part of the rod's own weight that a scale zeroed empty shows besides the load, N; None where not weighed."""
    if bow.mass_kg is None:
        return None
    length = bow.length_m
    part = reading.length_m / length if reading.length_m and length else (1.0 if whole else 0.5)
    return weight_share(reading) * bow.mass_kg * STANDARD_GRAVITY * part


def bow_out(reading: Press, sure: Sureness, stretch: Profile | None, free_m: float | None) -> float:
    """How much more than its critical load a reading shows: by the rise noted, else by what is usual.

    `stretch` is the pressed length of a tapered rod. Raises ValueError where no rod bows out that far.
    """
    if reading.rise_m is None or free_m is None:
        return 1 + (sure.bow_out_clamped if reading.hold == "clamped" else sure.bow_out)
    if stretch is not None:
        return elastica.load_ratio_on_taper(stretch, reading.rise_m)
    return elastica.load_ratio_from_rise(reading.rise_m / free_m)


def hand_shown(kite: Kite) -> tuple[float, float] | None:
    """What the newest round with both halves and the whole says of the maker's hand: factor, and load times length.

    None where a hold is written, where the bow was not weighed, or where a reading says what no rod can.
    """
    found = _held_alike(kite)
    if found is None:
        return None
    left, right, whole = found
    if left.hold is not None or right.hold is not None or whole.hold is not None:
        return None
    return factor_and_load(kite, left, right, whole)


def hold_inferred(kite: Kite) -> float | None:
    """The effective-length factor that the whole press shows the halves were held with; None where it cannot."""
    found = _held_alike(kite)
    shown = factor_and_load(kite, *found) if found else None
    return shown[0] if shown else None


def _held_alike(kite: Kite) -> tuple[Press, Press, Press] | None:
    """Left, right and whole press of the newest round that has all three, the halves held alike."""
    for bench in reversed(kite.bench):
        left, right, whole = bench.left, bench.right, bench.whole
        if isinstance(left, Press) and isinstance(right, Press) and whole is not None:
            return (left, right, whole) if left.hold == right.hold else None
    return None


def factor_and_load(kite: Kite, left: Press, right: Press, whole: Press) -> tuple[float, float] | None:
    """The factor that three presses of one round show, and the halves' mean load times their free length, N m."""
    bow = kite.bow
    if bow.length_m is None or bow.mass_kg is None:
        return None
    sure = Sureness()
    try:
        profiles, loads = [], []
        sides: tuple[tuple[Side, Press], ...] = (("left", left), ("right", right))
        for side, reading in sides:
            free = reading.length_m or bow.length_m / 2
            unit = unit_profile(kite, side, bow.length_m / 2)
            load = _plain_load(reading, bow, sure, unit if bow_tapers(bow) else None, free, False)
            scale = load / column.pinned_column_load(pressed_stretch(unit, min(free, bow.length_m / 2)))
            profiles.append(unit.scaled(scale))
            loads.append(load * free)
        length = whole.length_m or bow.length_m
        along = unit_profile(kite, "left", bow.length_m / 2).reversed()
        whole_rod = along.joined(unit_profile(kite, "right", bow.length_m / 2)) if bow_tapers(bow) else None
        whole_load = _plain_load(whole, bow, sure, whole_rod, length, True)
        return hold_shown(whole_load, *profiles), sum(loads) / 2
    except ValueError:
        return None


def bow_tapers(bow: Bow) -> bool:
    """Whether stations are written for either half."""
    return bool(bow.left or bow.right)


def _plain_load(reading: Press, bow: Bow, sure: Sureness, rod: Profile | None, free_m: float, whole: bool) -> float:
    """The critical load behind a reading, N, without any thought of how sure it is."""
    carried = carried_weight(reading, bow, whole) or 0.0
    load = sum(reading.values_N) / len(reading.values_N) - carried
    stretch = pressed_stretch(rod, free_m) if rod is not None and free_m < rod.length else rod
    return load / bow_out(reading, sure, stretch, free_m)
