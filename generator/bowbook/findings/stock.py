"""What the kites say about the stock they were built from."""

from __future__ import annotations

import math
from collections.abc import Mapping

from bowbook.book.records import Book
from bowbook.book.stock import rod_material
from bowbook.findings.cloth import bending_length, bending_rigidity, mean_per_chord
from bowbook.findings.results import KiteSummary, RodFindings, SkinStock


def rod_findings(book: Book, kites: Mapping[str, KiteSummary]) -> dict[str, RodFindings]:
    """Each rod: who uses it, the modulus each bow gave (by kite key), their mean and spread against the handbook."""
    found = {}
    for key, rod in book.rods.items():
        used = tuple(k.key for k in kites.values() if key in (k.bow_rod, k.spine_rod))
        own = tuple((k.key, k.modulus_Pa) for k in kites.values() if k.bow_rod == key and k.modulus_Pa is not None)
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


def skin_stock(book: Book, kites: Mapping[str, KiteSummary]) -> dict[str, SkinStock]:
    """Each skin: who uses it, and what the covered kites (by key) say it adds per metre of mean chord."""
    found = {}
    for key, skin in book.skins.items():
        used = tuple(k.key for k in kites.values() if k.skin == key)
        own = tuple((k.key, k.per_chord_Nm) for k in kites.values() if k.skin == key and k.per_chord_Nm is not None)
        middle = mean_per_chord([value for _, value in own]) if own else None
        found[key] = SkinStock(skin, used, own, middle, bending_rigidity(skin), bending_length(skin))
    return found
