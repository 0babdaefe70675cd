"""What to take off, where: the stiffer half brought down to the softer, zone by zone, and the shaving card."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Literal, TypeAlias

from msgspec import Struct

from bowbook.book.records import Book, Kite, Section, Side, Units, Zone
from bowbook.book.units import show_range
from bowbook.findings.bench_results import Balance, CardRow, ShaveOption, Shaving, StiffStretch
from bowbook.findings.bow import BareBow
from bowbook.findings.flexing import span_of
from bowbook.findings.halves import Half
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.sections import dimensions, own_section, section_at, stations_of
from bowbook.findings.stiff_stretch import stiff_stretch
from bowbook.mechanics import shaving
from bowbook.mechanics.pressing import Hold, pressed_load
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.strokes import FIRST_STEP
from bowbook.mechanics.taper import tapered_second_moment

CARD_DIFFERENCES = (0.01, 0.02, 0.03, 0.05, 0.07, 0.10, 0.15, 0.20, 0.25)
WHOLE_HALF = Zone("whole half", 0.0, 1.0)
MIDDLE_THIRD = Zone("middle third", 1 / 3, 2 / 3)
_HINGES = Hold()

_Cut: TypeAlias = Callable[[float], Profile]  # a half, EI(s), as it is once so much is taken off, m


def shaving_findings(
    book: Book, kite: Kite, bare: BareBow, balance: Balance, width_m: float | None, ledger: Ledger
) -> Shaving:
    """Options for the stiffer half, where there is one, and the card for this bow whatever its balance."""
    dimension = _dimension(_section(book, kite, "left", 0.5))
    card = _card(book, kite, "left")
    if balance.verdict not in ("left stiffer", "right stiffer") or bare.left is None or bare.right is None:
        ledger.want("shave.options", _why_no_options(balance, bare))
        return Shaving(card=card, dimension=dimension)
    side: Side = "left" if balance.verdict == "left stiffer" else "right"
    stiff, soft = (bare.left, bare.right) if side == "left" else (bare.right, bare.left)
    knife = _Knife(book, kite, side, stiff, soft, span_of(kite, width_m))
    stretch = stiff_stretch(kite, side)
    found = [_stretch_zone(stretch, book.settings.units)] if stretch else []
    options = [knife.option(zone) for zone in (WHOLE_HALF, MIDDLE_THIRD, *found, *_own_zones(kite))]
    first = sorted(options, key=lambda o: (not o.feasible, abs(o.asymmetry or 0.0), o.zone != WHOLE_HALF.label))
    if knife.stations is None:
        ledger.want("shave.options.thickness_m", "The rod's section in stock/rods.yaml, to say how much to take off.")
    if options[0].asymmetry is None:
        wanted = "The bow's length" if kite.bow.length_m is None else "The bow's span, tip to tip, strung"
        ledger.want("shave.options.asymmetry", f"{wanted}, to say how evenly it will stand.")
    return Shaving(side, tuple(first), card, dimension, stretch)


def _why_no_options(balance: Balance, bare: BareBow) -> str:
    if balance.verdict is None:
        return wanted_sentence(bare.wanting or ["readings of both halves that can be compared"])
    if balance.verdict == "even":
        return "Nothing: the halves are even."
    return "A clear difference: the halves are too close to call, so measure again before taking anything off."


def _stretch_zone(stretch: StiffStretch, units: Units) -> Zone:
    """A stiff stretch as a zone, called as a maker would write it."""
    label = show_range(stretch.start_m, stretch.end_m, "length", units).replace("–", "-")
    return Zone(label, stretch.start_m, stretch.end_m, "m")


def _own_zones(kite: Kite) -> list[Zone]:
    """Zones the maker has shaved on this kite, other than the two that are always offered."""
    zones: dict[str, Zone] = {}
    for bench in kite.bench:
        for zone in (shave.zone for shave in bench.shaves):
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


class _Knife(Struct, frozen=True):
    """The stiffer half under the knife, pressed as it was, against the softer pressed in the same way."""

    book: Book
    kite: Kite
    side: Side
    stiff: Half
    soft: Half
    span_m: float | None

    @property
    def stations(self) -> shaving.Stations | None:
        """The sections of the stiffer half; None where they are not known."""
        written = stations_of(self.kite, self.side)
        if written and self.kite.bow.length_m:
            return [s.at_m for s in written], [dimensions(s.section) for s in written]
        own = own_section(self.book, self.kite)
        return ([0.0], [dimensions(own)]) if own else None

    def load(self, half: Profile) -> float:
        """The load at which a half bows as the stiffer one was pressed; between hinges where it was not pressed."""
        as_was = self.stiff.pressed
        if as_was is None:
            return pressed_load(half, half.length, _HINGES)
        free = min(as_was.free_m or half.length, half.length)
        return pressed_load(half, free, as_was.hold) if self.stiff.EI is not None else pressed_load(half, free, _HINGES)

    def option(self, zone: Zone) -> ShaveOption:
        """What to take off over one zone, and what the scale must then say."""
        half_m = self.stiff.unit.length
        place = _bounds(zone, half_m)
        dimension = _dimension(_section(self.book, self.kite, self.side, sum(place) / 2 / half_m))
        if zone.unit == "m" and self.kite.bow.length_m is None:
            return _refused(zone, "where this stretch lies is not known: the bow's length is not written", dimension)
        target = self.load(self.soft.profile)
        taken, wider, after = None, None, None
        stations = self.stations
        if stations is not None:
            thinner = self._after(stations, place, width=False)
            depth = self._cut(thinner, target, shaving.deepest_cut(stations, place, width=False))
            if depth.taken_m is None:
                return _refused(zone, depth.reason, dimension)
            taken, after = depth.taken_m, thinner(depth.taken_m)
            if stations[1][0][0] == "flat":
                narrower = self._after(stations, place, width=True)
                wider = self._cut(narrower, target, shaving.deepest_cut(stations, place, width=True)).taken_m
        else:
            found = shaving.zone_factor(self.stiff.profile, *place, target * self._as_between_hinges())
            if found.factor is None:
                return _refused(zone, found.reason, dimension)
            after = self.stiff.profile.with_zone(*place, found.factor)
        lean = self._lean(after)
        return ShaveOption(
            zone.label,
            taken,
            True,
            self._reading_at(target),
            lean.asymmetry if lean else None,
            FIRST_STEP * taken if taken is not None else None,
            dimension=dimension,
            slopes_apart_rad=lean.slopes_apart_rad if lean else None,
            width_m=wider,
        )

    def _as_between_hinges(self) -> float:
        """The load of the uncut half between hinges over its load as it was pressed."""
        return pressed_load(self.stiff.profile, self.stiff.profile.length, _HINGES) / self.load(self.stiff.profile)

    def _after(self, stations: shaving.Stations, place: tuple[float, float], *, width: bool) -> _Cut:
        """The stiffer half after a cut: its rigidity goes with the second moment of what is left."""
        half_m = self.stiff.unit.length
        scale = _same_scale(self.stiff.profile, tapered_second_moment(*stations, half_m))
        return lambda depth: shaving.after_cut(stations, half_m, place, depth, width).scaled(scale)

    def _cut(self, after: _Cut, target: float, deepest: float) -> shaving.TakenOff:
        return shaving.even_cut(lambda depth: self.load(after(depth)), target, deepest)

    def _lean(self, after: Profile) -> shaving.Lean | None:
        """How the strung bow stands after the cut; None where its length or span is not known, or no bow stands so."""
        if self.kite.bow.length_m is None or self.span_m is None or self.soft.EI is None or self.stiff.EI is None:
            return None
        left, right = (after, self.soft.profile) if self.side == "left" else (self.soft.profile, after)
        try:
            return shaving.lean(left, right, self.span_m)
        except ValueError:  # a span within a hair of the length: the bow's own shape says so at its line
            return None

    def _reading_at(self, target: float) -> float | None:
        """What the scale must say when the stiffer half has come down, N; the rod's weight in it stays."""
        as_was, softer = self.stiff.pressed, self.soft.pressed
        if as_was is None:
            return None
        if softer is not None and softer.way == as_was.way:  # the page shows both readings: the same bits
            return float(softer.read.nominal_value)
        if self.stiff.EI is None:  # lengths are not known, and cancel
            target *= float(as_was.load.nominal_value) / self.load(self.stiff.profile)
        return as_was.carried_N + target * as_was.bow_out


def _same_scale(profile: Profile, moments: Profile) -> float:
    """Rigidity over second moment of one half: the same all along."""
    import numpy as np

    middle = np.array([0.5 * (moments.edges[0] + moments.edges[1])])
    return float(profile.at(middle)[0] / moments.at(middle)[0])


def _refused(zone: Zone, reason: str | None, dimension: Literal["thickness", "diameter"]) -> ShaveOption:
    """A zone that cannot bring the halves even, with the reason."""
    return ShaveOption(zone.label, None, False, None, None, reason=reason, dimension=dimension)


def _card(book: Book, kite: Kite, side: Side) -> tuple[CardRow, ...]:
    """Differences on the scale, and what to take off for each over the whole half and its middle third."""
    middle = _section(book, kite, side, 0.5)
    if middle is None or (stations_of(kite, side) and kite.bow.length_m is None):
        return ()
    if stations_of(kite, side):
        taken = [_off_a_taper(kite, side, zone) for zone in (WHOLE_HALF, MIDDLE_THIRD)]
        return tuple(CardRow(*row) for row in zip(CARD_DIFFERENCES, *taken, strict=True))
    rows = []
    for d in CARD_DIFFERENCES:
        whole = shaving.card_factor(d)
        third = shaving.card_factor(d, MIDDLE_THIRD.start, MIDDLE_THIRD.end)
        rows.append(
            CardRow(d, _take_or_none(middle, whole) if whole else None, _take_or_none(middle, third) if third else None)
        )
    return tuple(rows)


def _take_or_none(of: Section, f: float) -> float | None:
    return shaving.shave_depth(dimensions(of), f).taken_m


def _off_a_taper(kite: Kite, side: Side, zone: Zone) -> list[float | None]:
    """Even cuts over a zone that bring a tapered half down by each of the card's differences."""
    written, half_m = stations_of(kite, side), (kite.bow.length_m or 0.0) / 2
    stations = [s.at_m for s in written], [dimensions(s.section) for s in written]
    place = _bounds(zone, half_m)
    deepest = shaving.deepest_cut(stations, place, False)

    @cache
    def load(depth: float) -> float:
        return pressed_load(shaving.after_cut(stations, half_m, place, depth, False), half_m, _HINGES)

    wanted = [(2 - difference) / (2 + difference) * load(0.0) for difference in CARD_DIFFERENCES]
    return [shaving.even_cut(load, target, deepest).taken_m for target in wanted]
