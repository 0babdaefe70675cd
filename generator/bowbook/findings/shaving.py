"""What to take off, where: the stiffer half brought down to the softer, zone by zone, and the shaving card."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from bowbook.book.records import Book, Kite, Press, Section, Side, Zone
from bowbook.findings.bow import BareBow
from bowbook.findings.halves import Half, dimensions, own_section, section_at, stations_of, unit_profile
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Precision
from bowbook.findings.results import Balance, CardRow, Measured, ShaveOption, Shaving
from bowbook.mechanics import column, shaving

CARD_DIFFERENCES = (0.01, 0.02, 0.03, 0.05, 0.07, 0.10, 0.15, 0.20, 0.25)
WHOLE_HALF = Zone("whole half", 0.0, 1.0)
MIDDLE_THIRD = Zone("middle third", 1 / 3, 2 / 3)


def shaving_findings(
    book: Book, kite: Kite, bare: BareBow, balance: Balance, precision: Precision, ledger: Ledger
) -> Shaving:
    """Options for the stiffer half, where there is one, and the card for this bow whatever its balance."""
    card_side: Side = "left"
    dimension = _dimension(_section(book, kite, card_side, 0.5))
    card = _card(book, kite, card_side)
    if balance.verdict not in ("left stiffer", "right stiffer") or bare.both is None:
        ledger.want("shave.options", _why_no_options(balance))
        return Shaving(card=card, dimension=dimension)
    side: Side = "left" if balance.verdict == "left stiffer" else "right"
    stiff, soft = bare.both if side == "left" else bare.both[::-1]
    options = tuple(
        _option(book, kite, side, zone, stiff, soft, precision)
        for zone in (WHOLE_HALF, MIDDLE_THIRD, *_own_zones(kite))
    )
    if options[0].thickness_m is None:
        ledger.want("shave.options.thickness_m", "The rod's section in stock/rods.yaml, to say how much to take off.")
    return Shaving(side, options, card, dimension)


def _why_no_options(balance: Balance) -> str:
    if balance.verdict is None:
        return "Readings of both halves."
    if balance.verdict == "even":
        return "Nothing: the halves are even."
    return "A clear difference: the halves are too close to call, so measure again before taking anything off."


def _own_zones(kite: Kite) -> list[Zone]:
    """Zones the maker has shaved on this kite, other than the two that are always offered."""
    zones: dict[str, Zone] = {}
    for bench in kite.bench:
        zone = bench.shave.zone if bench.shave else None
        if zone and zone.label not in (WHOLE_HALF.label, MIDDLE_THIRD.label):
            zones.setdefault(zone.label, zone)
    return list(zones.values())


def _bounds(zone: Zone, half_m: float) -> tuple[float, float]:
    scale = half_m if zone.unit == "half" else 1.0
    return max(0.0, zone.start * scale), min(half_m, zone.end * scale)


def _section(book: Book, kite: Kite, side: Side, along: float) -> Section | None:
    """The section at a fraction of the half, from the stations or the rod as it came."""
    stations = stations_of(kite, side)
    if stations and kite.bow.length_m:
        return section_at(stations, along * kite.bow.length_m / 2)
    return own_section(book, kite)


def _dimension(of: Section | None) -> Literal["thickness", "diameter"]:
    return "diameter" if of is not None and of.kind in ("round", "tube") else "thickness"


def _option(
    book: Book, kite: Kite, side: Side, zone: Zone, stiff: Half, soft: Half, precision: Precision
) -> ShaveOption:
    half_m = stiff.unit.length
    start, end = _bounds(zone, half_m)
    of = _section(book, kite, side, (start + end) / 2 / half_m)
    dimension = _dimension(of)
    target = column.pinned_column_load(soft.profile)
    f, reason = shaving.zone_factor(stiff.profile, start, end, target)
    if f is None:
        return _refused(zone, reason, dimension, start, end)
    taken = None
    if of is not None:
        taken, reason = shaving.shave_depth(dimensions(of), f)
        if taken is None:
            return _refused(zone, reason, dimension, start, end)
    after = stiff.profile.with_zone(start, end, f)
    left, right = (after, soft.profile) if side == "left" else (soft.profile, after)
    press_after = _press_after(stiff, soft)
    rate, strokes = _rate(kite, side, zone, precision, stiff, press_after)
    return ShaveOption(
        zone.label,
        taken,
        True,
        press_after,
        shaving.tip_mismatch(left, right),
        shaving.FIRST_STEP * taken if taken is not None else None,
        rate,
        strokes,
        None,
        dimension,
        start,
        end,
    )


def _refused(
    zone: Zone, reason: str | None, dimension: Literal["thickness", "diameter"], start: float, end: float
) -> ShaveOption:
    """A zone that cannot bring the halves even, with the reason."""
    return ShaveOption(
        zone.label, None, False, None, None, reason=reason, dimension=dimension, start_m=start, end_m=end
    )


def _press_after(stiff: Half, soft: Half) -> float | None:
    """What the scale must say when the stiffer half has come down, N.

    The load falls with the rigidity; the part of the rod's weight that the scale carries stays.
    """
    if stiff.press is None:
        return None
    ratio = float(soft.EI.nominal_value) / float(stiff.EI.nominal_value)
    return stiff.carried_N + (float(stiff.press.nominal_value) - stiff.carried_N) * ratio


def _rate(
    kite: Kite, side: Side, zone: Zone, precision: Precision, stiff: Half, press_after: float | None
) -> tuple[Measured | None, int | None]:
    """Fall of the reading per stroke from the strokes logged on this side and zone, and the next count."""
    falls, strokes, alone = [], [], 0.0
    for before, after in pairwise(kite.bench):
        shave = before.shave
        if shave is None or shave.side != side or not shave.strokes or shave.zone is None:
            continue
        first = before.left if side == "left" else before.right
        second = after.left if side == "left" else after.right
        if shave.zone.label == zone.label and isinstance(first, Press) and isinstance(second, Press):
            fall = precision.press(first) - precision.press(second)
            falls.append(float(fall.nominal_value))
            alone = float(fall.std_dev) / shave.strokes
            strokes.append(shave.strokes)
    if not falls or stiff.press is None or press_after is None:
        return None, None
    mean, spread = shaving.rate(falls, strokes)
    needed = shaving.FIRST_STEP * (float(stiff.press.nominal_value) - press_after)
    spread = alone if spread is None else spread  # of one shaving only its two readings can say how sure it is
    return Measured(mean, spread), shaving.next_strokes(needed, mean) if mean > 0 else None


def _card(book: Book, kite: Kite, side: Side) -> tuple[CardRow, ...]:
    """Differences on the scale, and what to take off for each over the whole half and its middle third."""
    middle = _section(book, kite, side, 0.5)
    if middle is None or (stations_of(kite, side) and kite.bow.length_m is None):
        return ()
    rows = []
    for d in CARD_DIFFERENCES:
        whole, third = shaving.card_factor(d), _third_factor(kite, side, d)
        rows.append(
            CardRow(d, _take_or_none(middle, whole) if whole else None, _take_or_none(middle, third) if third else None)
        )
    return tuple(rows)


def _take_or_none(of: Section, f: float) -> float | None:
    return shaving.shave_depth(dimensions(of), f).taken_m


def _third_factor(kite: Kite, side: Side, difference: float) -> float | None:
    """Factor on the middle third that brings a half that much stiffer down to the other."""
    if not stations_of(kite, side) or kite.bow.length_m is None:
        return shaving.card_factor(difference, MIDDLE_THIRD.start, MIDDLE_THIRD.end)
    half_m = kite.bow.length_m / 2
    unit = unit_profile(kite, side, half_m)
    target = (2 - difference) / (2 + difference) * column.pinned_column_load(unit)
    return shaving.zone_factor(unit, *_bounds(MIDDLE_THIRD, half_m), target).factor
