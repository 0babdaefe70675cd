"""A sail's cloth: its own bending, and what covered kites taught about it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from bowbook.book.records import Skin
from bowbook.findings.results import Measured
from bowbook.mechanics import fabric

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


def mean_per_chord(found: Sequence[Measured]) -> Measured:
    """Mean skin rigidity per metre of mean chord over covered kites, N m; `found` must not be empty.

    The kites' readings share nothing, so the uncertainty of the mean is that of independent figures.
    """
    n = len(found)
    return Measured(sum(one.value for one in found) / n, math.sqrt(sum(one.u**2 for one in found)) / n)


def expected_per_chord(found: Sequence[Measured]) -> Measured:
    """What the next kite's skin is expected to add per metre of mean chord, N m; `found` must not be empty.

    With two or more kites the uncertainty is the larger of what their readings give and what their scatter
    says of the next kite, s √(1 + 1/n).
    """
    middle, n = mean_per_chord(found), len(found)
    if n == 1:
        return middle
    s = math.sqrt(sum((one.value - middle.value) ** 2 for one in found) / (n - 1))
    return Measured(middle.value, max(middle.u, s * math.sqrt(1 + 1 / n)))
