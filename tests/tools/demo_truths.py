"""The invented truths behind the demo book: what its bows, skins, hands and flyers really are like."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

SCATTER = 0.008  # of one press reading, relative: a careful pair of hands
DAY = 0.006  # what another day, another draught and another mood do to all readings of one bow, relative
HAND, HANDS_WANDER = 0.93, 0.01  # effective length of a half held between finger and thumb; from bow to bow, relative
FINGERTIP = 0.985  # the same of a whole bow whose end rests on a fingertip
BOWED_OUT = {False: 1.034, True: 1.026}  # how much a half reads high once it has bowed out; held in fingers, clamped
AIR = 1.2086  # kg/m³ at the demo field's 140 m, standard atmosphere
DENSITY = {"carbon": 1550.0, "glass": 1950.0, "bamboo": 750.0}
FITTINGS = 1.6e-3  # kg of thread, glue, tape and bridle on a kite of 0.15 m² (scaled with its size)

# What each flyer really likes: best-low and best-high over the flex wind, and how much that wanders from kite to kite.
LIKES = {"Ansa": (0.82, 1.38), "Rook": (1.12, 1.95), "Oda": (0.95, 1.5)}
WANDER = 0.06

# What a sheet adds once it is glued and taut, N·m² per metre of mean chord.
SKIN_ADDS = {"washi-30": 0.016, "mulberry-45": 0.024, "tissue-18": 0.008, "film-12": 0.009, "spun-43": 0.030}


class Truth(NamedTuple):
    """Modulus of either half, GPa; from which day on what share of the stiffness is left."""

    left: float
    right: float
    softer: Mapping[str, float] = MappingProxyType({})


TRUTH = {
    "afterword": Truth(117, 118.5),
    "ampersand:glass": Truth(39.0, 38.8),
    "ampersand:carbon": Truth(121, 120.2),
    "blotter": Truth(121, 119.5),
    "colophon": Truth(14.6, 14.5, {"2025-09-01": 0.95}),
    "deckle": Truth(16.9, 15.1),
    "ditto-1": Truth(118.6, 117.6),
    "ditto-2": Truth(117.1, 117.7),
    "ditto-3": Truth(119.4, 119.0),
    "dust-jacket": Truth(120, 120),
    "erratum": Truth(111, 123.5),
    "foolscap": Truth(38.9, 38.4),
    "ink-cap": Truth(120, 116.5),
    "longhand": Truth(126.5, 117.5),
    "loose-leaf": Truth(38.2, 38.6),
    "marginalia": Truth(17.6, 16.3, {"2025-07-01": 0.9}),
    "nib": Truth(118, 118.5),
    "octavo": Truth(37.5, 37.9),
    "palimpsest": Truth(15.6, 15.2),
    "paperknife": Truth(121.5, 120),
    "quarto": Truth(38.8, 38.6),
    "small-hours": Truth(123, 124),
    "suminagashi": Truth(118.5, 118),
    "vellum": Truth(120.5, 119.5),
    "watermark": Truth(115, 125),
    "strip:bundle-a": Truth(120.4, 119.8),
    "strip:bundle-b": Truth(119.6, 119.3),
    "strip:bundle-c": Truth(126.0, 118.2),
}
