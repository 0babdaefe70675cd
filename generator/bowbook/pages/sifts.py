"""By what the list of kites can be sifted: only what tells some of them from others."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from msgspec import Struct

from bowbook.book import units as book_units
from bowbook.book.records import STAGES, Units
from bowbook.pages.kite_row import KiteRow
from bowbook.wording import numbers

SIZES = 3


class SiftChoice(Struct, frozen=True):
    """One entry of a sift: what a kite's row says, and what a person reads."""

    value: str
    title: str


class Sift(Struct, frozen=True):
    """One thing to sift by: its id, its label, its entries, and the value of each kite in the order of the list."""

    id: str
    label: str
    choices: tuple[SiftChoice, ...]


def sifts_of(lines: Sequence[KiteRow], flyers: Sequence[str], units: Units) -> tuple[Sift, ...]:
    """The sifts that a list of kites can use, in the order they stand."""
    skins = {line.skin_key: line.skin or line.skin_key for line in lines if line.skin_key}
    flown = {r.flyer for line in lines for r in line.ranges if r.flown}
    found = (
        Sift("stage", "Stage", tuple(SiftChoice(s, s) for s in STAGES if any(line.stage == s for line in lines))),
        Sift("tag", "Tag", _named(tag for line in lines for tag in line.tags)),
        Sift("bow", "Bow", _named(line.bow for line in lines if line.bow)),
        Sift("size", "Sail", _sizes(lines, units)),
        Sift("skin", "Skin", tuple(SiftChoice(key, title) for key, title in sorted(skins.items()))),
        Sift("flown", "Flown by", tuple(SiftChoice(str(n), name) for n, name in enumerate(flyers) if n in flown)),
    )
    return tuple(sift for sift in found if len(sift.choices) > (0 if sift.id == "tag" else 1))


def _named(values: Iterable[str]) -> tuple[SiftChoice, ...]:
    return tuple(SiftChoice(value, value) for value in sorted(set(values)))


def _sizes(lines: Sequence[KiteRow], units: Units) -> tuple[SiftChoice, ...]:
    """Sails narrow, middling and wide, with round bounds that leave about as many kites in each."""
    wide = sorted(line.wide_m for line in lines if line.wide_m)
    if len(wide) < SIZES:
        return ()
    unit = book_units.unit_of("length", units)

    def shown(metres: float) -> float:
        return book_units.to_unit(metres, unit, "length")

    bounds = sorted({_round(shown(wide[len(wide) * n // SIZES])) for n in range(1, SIZES)})
    bounds = [bound for bound in bounds if shown(wide[0]) < bound <= shown(wide[-1])]
    if not bounds:
        return ()
    text = [numbers.number(bound) for bound in bounds]
    metres = [f"{book_units.from_unit(bound, unit, 'length'):.4g}" for bound in bounds]
    first = SiftChoice(f"0 {metres[0]}", f"under {text[0]}\u00a0{unit} wide")
    between = [
        SiftChoice(f"{metres[n]} {metres[n + 1]}", f"{text[n]} to {text[n + 1]}\u00a0{unit}")
        for n in range(len(bounds) - 1)
    ]
    return (first, *between, SiftChoice(f"{metres[-1]} 999", f"{text[-1]}\u00a0{unit} and wider"))


def _round(value: float) -> float:
    """A size to the nearest half of its leading digit's tenth: 634 is 650."""
    step = 10.0 ** math.floor(math.log10(value)) / 20
    return round(value / step) * step
