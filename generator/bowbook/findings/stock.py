"""What the kites say about the stock they were built from."""

from __future__ import annotations

import math
from collections.abc import Mapping

from bowbook.book.records import Book
from bowbook.book.stock import rod_material
from bowbook.findings.readings import UFloat, mean, measured
from bowbook.findings.results import Measured, RodFindings, SkinStock
from bowbook.findings.skin import bending_length, bending_rigidity


def _kept(values: Mapping[str, UFloat]) -> tuple[tuple[str, Measured], ...]:
    found = ((key, measured(value)) for key, value in values.items())
    return tuple((key, m) for key, m in found if m is not None)


def rod_findings(book: Book, moduli: Mapping[str, UFloat]) -> dict[str, RodFindings]:
    """Each rod: who uses it, the modulus each bow gave (by kite key), their mean and spread against the handbook."""
    found = {}
    for key, rod in book.rods.items():
        used = tuple(k.key for k in book.kites.values() if key in (k.bow.rod, k.spine.rod))
        own = _kept({k: m for k, m in moduli.items() if book.kites[k].bow.rod == key})
        average = sum(m.value for _, m in own) / len(own) if own else None
        spread = None
        if average is not None and len(own) > 1:
            spread = math.sqrt(sum((m.value - average) ** 2 for _, m in own) / (len(own) - 1))
        material = rod_material(rod.material)
        handbook = (material.modulus_Pa.low, material.modulus_Pa.high) if material else None
        warning = None
        if average is not None and handbook and not handbook[0] <= average <= handbook[1]:
            warning = (
                f"Measured {average / 1e9:.0f} GPa, outside the {handbook[0] / 1e9:.0f} to {handbook[1] / 1e9:.0f} GPa "
                f"of {rod.material}: check the section, the bow's length and how the halves were held."
            )
        source = material.modulus_Pa.source if material else None
        found[key] = RodFindings(rod, used, own, average, spread, handbook, source, warning)
    return found


def skin_stock(book: Book, per_chord: Mapping[str, UFloat]) -> dict[str, SkinStock]:
    """Each skin: who uses it, and what the covered kites (by key) say it adds per metre of mean chord."""
    found = {}
    for key, skin in book.skins.items():
        used = tuple(k.key for k in book.kites.values() if k.sail.skin == key)
        own = {k: v for k, v in per_chord.items() if book.kites[k].sail.skin == key}
        middle = measured(mean(list(own.values()))) if own else None
        found[key] = SkinStock(skin, used, _kept(own), middle, bending_rigidity(skin), bending_length(skin))
    return found
