"""How wide a sail is from nose to tail, and where its tips are: what hanging it beside others needs to know."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from msgspec import Struct

SLABS = 5
"""Slabs of equal height that stand for a sail."""

_STEPS = 12  # places looked at along each edge


class SailProfile(Struct, frozen=True):
    """Greatest half width in each slab from nose to tail, and how far below the nose the tips are; mm."""

    halves: tuple[float, ...]
    tips: float


def profile_of(outline_mm: Sequence[tuple[float, float]]) -> SailProfile:
    """The profile of a sail's right half, nose to tail.

    >>> profile_of([(0, 0), (250, 170), (0, 440)]).tips
    170
    """
    nose = min(down for _, down in outline_mm)
    tall = max(max(down for _, down in outline_mm) - nose, 1e-9)
    halves = [0.0] * SLABS
    for (x0, y0), (x1, y1) in pairwise(outline_mm):
        for step in range(_STEPS + 1):
            share = step / _STEPS
            slab = (y0 + (y1 - y0) * share - nose) / tall * SLABS
            wide = x0 + (x1 - x0) * share
            # a place near a slab's edge belongs to both
            for n in {max(int(slab - 0.06), 0), min(int(slab + 0.06), SLABS - 1)}:
                halves[n] = max(halves[n], wide)
    return SailProfile(tuple(round(half, 1) for half in halves), max(outline_mm)[1] - nose)
