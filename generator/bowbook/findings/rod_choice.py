"""Every rod in stock against a wanted bow: as it comes, shaved down by so much, or too soft."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from bowbook.bench import elastica
from bowbook.bench.planning import shave_to
from bowbook.bench.section import Dimensions
from bowbook.book.records import Kite, Section
from bowbook.book.stock import rod_material
from bowbook.findings.halves import second_moment
from bowbook.findings.results import BookFindings, Range, RodFindings
from bowbook.findings.shape import WARN_AT, strain_limit

Kind = Literal["as it comes", "shaved down", "too stiff", "too soft", "not known"]
Basis = Literal["measured", "stock", "handbook"]


@dataclass(frozen=True, slots=True)
class Modulus:
    """Young's modulus of a rod, Pa: the best guess, the range it may lie in, and where that comes from."""

    value: float
    low: float
    high: float
    basis: Basis


@dataclass(frozen=True, slots=True)
class RodChoice:
    """One rod judged. `press_N` is what half of it reads as it comes, `press_range_N` as far as its modulus is open.

    `take_m` comes off `dimension` all along to reach the target, where the rod is to be shaved; `sure` is whether
    the same holds over the modulus's whole range. `strain` is that of the strung bow, shaved. `note` is a sentence.
    """

    rod: str
    kind: Kind
    modulus: Modulus | None = None
    press_N: float | None = None
    press_range_N: Range | None = None
    sure: bool = False
    take_m: float | None = None
    dimension: Literal["thickness", "diameter"] = "thickness"
    strain: float | None = None
    strain_limit: float | None = None
    safe: bool | None = None
    note: str | None = None


def choose_rods(
    book: BookFindings, kite: Kite, keys: tuple[str, ...], target_EI: float, band: Range, press_per_EI: float
) -> tuple[RodChoice, ...]:
    """Each rod of `keys` for a bow of `target_EI`, N m², fit to use as it comes anywhere in `band`; best first."""
    order = {"as it comes": 0, "shaved down": 1, "too stiff": 2, "too soft": 3, "not known": 4}
    choices = [_judge(kite, book.rods[key], target_EI, band, press_per_EI) for key in keys]
    return tuple(sorted(choices, key=lambda c: (order[c.kind], c.safe is False, c.press_N or math.inf, c.rod)))


def modulus_of(found: RodFindings) -> Modulus | None:
    """What the book knows of a rod's modulus: from its own bows, else as written in stock, else from the handbook."""
    if found.mean_Pa is not None:
        n = len(found.moduli)
        u = found.moduli[0][1].u if n == 1 else (found.spread_Pa or 0.0) * math.sqrt(1 + 1 / n)
        return Modulus(found.mean_Pa, max(found.mean_Pa - 2 * u, 0.0), found.mean_Pa + 2 * u, "measured")
    if found.rod.modulus_Pa is not None:
        return Modulus(found.rod.modulus_Pa, found.rod.modulus_Pa, found.rod.modulus_Pa, "stock")
    material = rod_material(found.rod.material)
    if material is None:
        return None
    low, high = material.modulus_Pa.low, material.modulus_Pa.high
    return Modulus((low + high) / 2, low, high, "handbook")


def _judge(kite: Kite, found: RodFindings, target_EI: float, band: Range, press_per_EI: float) -> RodChoice:
    rod, modulus = found.rod, modulus_of(found)
    if rod.section is None or modulus is None:
        wanted = "section" if rod.section is None else "material or modulus"
        return RodChoice(rod.key, "not known", note=f"Its {wanted} is not written in content/stock/rods.yaml.")
    inertia = second_moment(rod.section)
    EI = modulus.value * inertia
    kind = _kind(EI, band)
    sure = _kind(modulus.low * inertia, band) == kind == _kind(modulus.high * inertia, band)
    taken = shave_to(EI, target_EI, _dimensions(rod.section)) if kind == "shaved down" else None
    take = taken.taken_m if taken else None
    reason = taken.reason if taken else None
    strain = _strain(kite, rod.section.thick_m - (take or 0.0))
    limit = strain_limit(rod)
    return RodChoice(
        rod=rod.key,
        kind="too stiff" if reason else kind,
        modulus=modulus,
        press_N=EI * press_per_EI,
        press_range_N=Range(modulus.low * inertia * press_per_EI, modulus.high * inertia * press_per_EI),
        sure=sure,
        take_m=take,
        dimension="thickness" if rod.section.kind == "flat" else "diameter",
        strain=strain,
        strain_limit=limit,
        safe=None if strain is None or limit is None else strain < limit,
        note=_note(strain, limit, reason),
    )


def _kind(EI: float, band: Range) -> Kind:
    if band.low > EI:
        return "too soft"
    return "as it comes" if band.high >= EI else "shaved down"


def _strain(kite: Kite, thick_m: float) -> float | None:
    """Surface strain of a uniform bow of this thickness strung to the kite's span; None where that is not known."""
    length, span = kite.bow.length_m, kite.bow.span_m
    if length is None or span is None or not 0 < span < length:
        return None
    return elastica.bend_uniform(1.0, length, span).curvature_per_m * thick_m / 2


def _note(strain: float | None, limit: float | None, reason: str | None) -> str | None:
    """What to heed about this rod, the strain first."""
    if strain is not None and limit is not None:
        if strain >= limit:
            return f"Not safe: strung, it is bent to {strain / limit:.0%} of its strain limit and can shatter."
        if strain > WARN_AT * limit:
            return f"Strung, it is bent to {strain / limit:.0%} of its strain limit: eye protection."
    return f"Shaved down, {reason}." if reason else None


def _dimensions(of: Section) -> Dimensions:
    """A section as the bench takes it."""
    return of.kind, of.thick_m, of.wide_m, of.inner_m
