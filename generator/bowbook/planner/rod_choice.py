"""Every rod in stock against a wanted bow: as it comes, shaved down by so much, or too soft."""

from __future__ import annotations

import math
from typing import Literal

from msgspec import Struct

from bowbook.book.stock import rod_material
from bowbook.findings.results import BookFindings, Range, RodFindings
from bowbook.findings.sections import dimensions, rod_density, second_moment, section_area
from bowbook.findings.shape import WARN_AT, strain_limit
from bowbook.mechanics import elastica
from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.mechanics.planning import shave_to
from bowbook.planner.next_press import PressedHow

Kind = Literal["as it comes", "shaved down", "too stiff", "too soft", "not known"]
Basis = Literal["measured", "stock", "handbook"]


class Modulus(Struct, frozen=True):
    """Young's modulus of a rod, Pa: the best guess, the range it may lie in, and where that comes from."""

    value: float
    low: float
    high: float
    basis: Basis


class Wanted(Struct, frozen=True):
    """The bow that is wanted: rigidity and the band of it that will do, the skin's part, N m²; the wind it is
    centred on, m/s, or None; how halves are pressed; the bow's length and span, m."""

    EI: float
    band: Range
    skin_EI: float
    centre_m_s: float | None
    pressed: PressedHow
    length_m: float
    span_m: float


class RodChoice(Struct, frozen=True):
    """One rod judged. `press_N` is what half of it reads as it comes, `press_range_N` as far as its modulus is open,
    `centre_m_s` the wind a kite with it unshaved is centred on.

    `take_m` comes off thickness or diameter all along to reach the target, where the rod is to be shaved; `sure` is
    whether the same holds over the modulus's whole range. `strain` is that of the strung bow, shaved. `note` is a
    sentence.
    """

    rod: str
    kind: Kind
    modulus: Modulus | None = None
    EI_Nm2: float | None = None  # as it comes
    press_N: float | None = None
    press_range_N: Range | None = None
    centre_m_s: float | None = None
    sure: bool = False
    take_m: float | None = None
    strain: float | None = None
    strain_limit: float | None = None
    safe: bool | None = None
    note: str | None = None


def choose_rods(book: BookFindings, keys: tuple[str, ...], wanted: Wanted) -> tuple[RodChoice, ...]:
    """Each rod of `keys` for the wanted bow, best first."""
    order = {"as it comes": 0, "shaved down": 1, "too stiff": 2, "too soft": 3, "not known": 4}

    def rank(c: RodChoice) -> tuple[bool, int, float, str]:
        off = abs(math.log(c.EI_Nm2 / wanted.EI)) if c.EI_Nm2 else math.inf
        return c.safe is False, order[c.kind], off, c.rod

    return tuple(sorted((_judge(book.rods[key], wanted) for key in keys), key=rank))


def modulus_of(found: RodFindings) -> Modulus | None:
    """What the book knows of a rod's modulus: from its own bows, else as written in stock, else from the handbook."""
    if found.expected_Pa is not None and found.expected_range_Pa is not None:
        return Modulus(found.expected_Pa.value, *found.expected_range_Pa, "measured")
    if found.rod.modulus_Pa is not None:
        return Modulus(found.rod.modulus_Pa, found.rod.modulus_Pa, found.rod.modulus_Pa, "stock")
    material = rod_material(found.rod.material)
    if material is None:
        return None
    low, high = material.modulus_Pa.low, material.modulus_Pa.high
    return Modulus((low + high) / 2, low, high, "handbook")


def _judge(found: RodFindings, wanted: Wanted) -> RodChoice:
    rod, modulus = found.rod, modulus_of(found)
    if rod.section is None or modulus is None:
        missing = "section" if rod.section is None else "material or modulus"
        return RodChoice(rod.key, "not known", note=f"Its {missing} is not written in content/stock/rods.yaml.")
    inertia = second_moment(rod.section)
    EI = modulus.value * inertia
    kind = _kind(EI, wanted.band)
    low, high = modulus.low * inertia, modulus.high * inertia
    sure = _kind(low, wanted.band) == kind == _kind(high, wanted.band)
    taken = shave_to(EI, wanted.EI, dimensions(rod.section)) if kind == "shaved down" else None
    take = taken.taken_m if taken else None
    reason = taken.reason if taken else None
    weight = (rod_density(rod) or 0.0) * section_area(rod.section) * wanted.pressed.free_m * STANDARD_GRAVITY

    def reading(EI: float) -> float:
        return wanted.pressed.reading(EI, weight)

    strain = _strain(wanted, rod.section.thick_m - (take or 0.0))
    limit = strain_limit(rod)
    return RodChoice(
        rod=rod.key,
        kind="too stiff" if reason else kind,
        modulus=modulus,
        EI_Nm2=EI,
        press_N=reading(EI),
        press_range_N=Range(reading(low), reading(high)),
        centre_m_s=wanted.centre_m_s
        and wanted.centre_m_s * math.sqrt((EI + wanted.skin_EI) / (wanted.EI + wanted.skin_EI)),
        sure=sure,
        take_m=take,
        strain=strain,
        strain_limit=limit,
        safe=None if strain is None or limit is None else strain < limit,
        note=_note(strain, limit, reason),
    )


def _kind(EI: float, band: Range) -> Kind:
    if band.low > EI:
        return "too soft"
    return "as it comes" if band.high >= EI else "shaved down"


def _strain(wanted: Wanted, thick_m: float) -> float:
    """Surface strain of a uniform bow of this thickness strung to the span."""
    return elastica.bend_uniform(1.0, wanted.length_m, wanted.span_m).curvature_per_m * thick_m / 2


def _note(strain: float | None, limit: float | None, reason: str | None) -> str | None:
    """What to heed about this rod, the strain first."""
    if strain is not None and limit is not None:
        if strain >= limit:
            return f"Not safe: strung, it is bent to {strain / limit:.0%} of its strain limit and can shatter."
        if strain > WARN_AT * limit:
            return f"Strung, it is bent to {strain / limit:.0%} of its strain limit: eye protection."
    return f"Shaved down, {reason}." if reason else None
