"""Why two kites flex in different winds, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.findings.results import Findings
from bowbook.wording import numbers

if TYPE_CHECKING:
    from bowbook.findings.flex_differences import Reasons

SAME = 0.03
"""Less than this part of a wind is called about the same."""


class Difference(Struct, frozen=True):
    """How far one kite's flex wind is from another's, and what each part of it would do alone."""

    said: str
    parts: tuple[str, ...]


def differences(kites: tuple[Findings, ...], units: Units) -> tuple[Difference, ...]:
    """Each kite's flex wind against that of the softest, as far as they are computed from the bows' tension."""
    from bowbook.findings.flex_differences import reasons

    known = [kite for kite in kites if kite.wind.flex_m_s and not kite.wind.flex_m_s.least]
    if len(known) < 2:
        return ()
    first, *others = sorted(known, key=lambda kite: kite.wind.flex_m_s.value if kite.wind.flex_m_s else 0.0)
    found = ((kite, reasons(kite, first)) for kite in others)
    return tuple(_worded(kite, first, why, units) for kite, why in found if why)


def _worded(kite: Findings, other: Findings, why: Reasons, units: Units) -> Difference:
    name, against = kite.kite.name, other.kite.name
    own, others = (numbers.measured(f.wind.flex_m_s, "wind", units) for f in (kite, other) if f.wind.flex_m_s)
    said = f"{name} flexes at {own}, {against} at {others}: {_more_wind(why.wind, units)}."
    stiff = [numbers.measured(f.total, "rigidity", units) for f in (kite, other) if f.total]
    length = [numbers.plain(f.kite.bow.length_m, "length", units) for f in (kite, other) if f.kite.bow.length_m]
    area = [numbers.plain(f.sail.area_m2, "area", units) for f in (kite, other) if f.sail.area_m2]
    parts = (
        _part(
            why.stiffness,
            ("A stiffer bow and skin", "A softer bow and skin", "Bow and skin about as stiff"),
            stiff,
            units,
        ),
        _part(
            why.bend,
            (
                "A bow that is shorter or bent further",
                "A bow that is longer or bent less",
                "A bow about as long and bent",
            ),
            length,
            units,
        ),
        _part(
            why.sail,
            ("Less sail out at the tips", "More sail out at the tips", "As much sail out at the tips"),
            area,
            units,
        ),
    )
    return Difference(said, parts)


def _part(factor: float, words: tuple[str, str, str], figures: list[str], units: Units) -> str:
    told = f" ({figures[0]} against {figures[1]})" if len(figures) == 2 else ""
    if abs(factor - 1) < SAME:
        return f"{words[2]}{told}: next to no difference."
    return f"{words[0] if factor > 1 else words[1]}{told}: by itself {_more_wind(factor, units)}."


def _more_wind(factor: float, units: Units) -> str:
    if abs(factor - 1) < SAME:
        return "about the same wind"
    if factor >= 2:
        return f"{factor:.1f} times the wind"
    return f"{numbers.share(abs(factor - 1), units)} {'more' if factor > 1 else 'less'} wind"
