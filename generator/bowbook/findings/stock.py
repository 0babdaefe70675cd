"""What the kites say about the stock they were built from."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from bowbook.book.records import Book, Rod, Skin
from bowbook.book.stock import rod_material
from bowbook.findings.bench_results import Measured
from bowbook.findings.cloth import bending_rigidity, expected_per_chord
from bowbook.findings.results import KiteSummary, RodFindings, SkinStock
from bowbook.mechanics import prediction

EVEN = ("carbon", "glass")  # materials that are pultruded, one piece much like another


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
        source = material.source if material else None
        expected = _expected(book, kites, key) if own else None
        of_next = Measured(expected.value, None, expected.u) if expected else None
        between = (expected.low, expected.high) if expected else None
        found[key] = RodFindings(rod, used, own, average, spread, handbook, source, warning, of_next, between)
    return found


def _expected(book: Book, kites: Mapping[str, KiteSummary], key: str) -> prediction.Expected:
    """What the next bow from a rod is expected to show, its spread learnt from every rod of its material."""
    by_rod: dict[str, list[float]] = {}
    for kite in kites.values():
        if kite.bow_rod is not None and kite.modulus_Pa is not None:
            by_rod.setdefault(kite.bow_rod, []).append(kite.modulus_Pa.value)
    material = rod_material(book.rods[key].material)
    even = material is None or material.name in EVEN
    assumed = prediction.EVEN_MATERIAL if even else prediction.GROWN_MATERIAL
    spread = prediction.material_spread(of_material(book.rods, by_rod, key), assumed)
    return prediction.expect_next(by_rod[key], spread)


def of_material(
    stock: Mapping[str, Rod] | Mapping[str, Skin], measured: Mapping[str, Sequence[float]], key: str
) -> list[Sequence[float]]:
    """What was measured of every kind of stock of one material, kind by kind; of the kind alone where none is named."""
    own = stock[key].material if key in stock else None
    return [
        values
        for other, values in measured.items()
        if other == key or (own is not None and other in stock and stock[other].material == own)
    ]


def skin_stock(book: Book, kites: Mapping[str, KiteSummary]) -> dict[str, SkinStock]:
    """Each skin: who uses it, and what the covered kites (by key) say it adds per metre of mean chord."""
    found = {}
    values = {key: _per_chord(kites, key) for key in book.skins}
    for key, skin in book.skins.items():
        used = tuple(k.key for k in kites.values() if k.skin == key)
        own = tuple((k.key, k.per_chord_Nm) for k in kites.values() if k.skin == key and k.per_chord_Nm is not None)
        middle = expected_per_chord(values[key], of_material(book.skins, values, key)) if own else None
        found[key] = SkinStock(skin, used, own, middle, bending_rigidity(skin))
    return found


def _per_chord(kites: Mapping[str, KiteSummary], skin: str) -> list[float]:
    """What covered kites say that a skin adds per metre of mean chord, N m."""
    return [k.per_chord_Nm.value for k in kites.values() if k.skin == skin and k.per_chord_Nm is not None]
