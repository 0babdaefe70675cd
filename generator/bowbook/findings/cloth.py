"""A sail's cloth: its own bending, and what covered kites say of it."""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.book.records import Skin
from bowbook.findings.bench_results import Measured
from bowbook.mechanics import fabric, prediction
from bowbook.mechanics.scatter import significant, two_digits

POISSON = 0.38  # of polyester film, its maker's data bulletin; a sheet's rigidity changes 3 % from 0.33 to 0.38


def bending_rigidity(skin: Skin) -> float | None:
    """Bending rigidity of a sheet per unit width, N m, from a strip test or from modulus and thickness."""
    length = bending_length(skin)
    if length is not None and skin.areal_kg_m2 is not None:
        return fabric.strip_rigidity(skin.areal_kg_m2, length)
    if skin.modulus_Pa is not None and skin.thick_m is not None:
        return fabric.plate_rigidity(skin.modulus_Pa, skin.thick_m, POISSON)
    return None


def bending_length(skin: Skin) -> float | None:
    """Bending length, m: as written, or half the overhang of the strip-over-an-edge test."""
    if skin.bending_length_m is not None:
        return skin.bending_length_m
    if skin.overhang_m is not None:
        return fabric.bending_length_from_overhang(skin.overhang_m)
    return None


def expected_per_chord(own: Sequence[float], of_material: Sequence[Sequence[float]]) -> Measured | None:
    """What the next kite's skin is expected to add per metre of mean chord, N m; None where no kite says anything.

    `own` are those of this skin, `of_material` those of every skin of its material, skin by skin: how much kites
    differ in one skin is learnt from all of them. Rounded where its ± has its second digit (JCGM 100:2008, 7.2.6): one
    more covered reading then leaves the other kites in this skin as they were, or nearly.
    """
    kept = [value for value in own if value > 0]
    if not kept:
        return None
    kinds = [[value for value in values if value > 0] for values in of_material]
    found = prediction.expect_next(kept, prediction.material_spread(kinds, prediction.SKIN_ON_BOW))
    return Measured(significant(found.value, 3), None, two_digits(found.u))
