"""Second moments along a rod whose section changes from station to station."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import pi

import numpy as np

from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Array, Piece, Profile
from bowbook.mechanics.section import Dimensions, Kind, second_moment


def tapered_second_moment(at_m: Sequence[float], sections: Sequence[Dimensions], length: float) -> Profile:
    """The second moment along a rod whose dimensions run straight between stations.

    Parameters
    ----------
    at_m : places of the stations along the rod, m, rising; the same place twice is a step
    sections : (kind, thick, wide, inner) at each, m; all of one kind
    length : of the rod, m, > 0; outside the first and last station their dimensions go on

    Returns
    -------
    I(s), m⁴, as a profile; `.scaled(E)` makes it EI(s).

    Raises
    ------
    ValueError : stations out of order, of different kinds, or with impossible dimensions.

    >>> I = tapered_second_moment((0.0, 0.3), (("round", 0.004, None, None), ("round", 0.002, None, None)), 0.3)
    >>> float(I.at(np.array([0.15]))[0]) / second_moment(("round", 0.003, None, None))
    1.0
    """
    positive("the length of the rod", length, "m")
    _check_stations(at_m, sections)
    kind = sections[0][0]
    table = np.array([[thick, wide or 0.0, inner or 0.0] for _, thick, wide, inner in sections])
    at = np.asarray(at_m, dtype=float)
    inner_edges = sorted({float(a) for a in at if 1e-9 * length < a < (1 - 1e-9) * length})
    edges = [0.0, *inner_edges, float(length)]
    pieces = [_piece(kind, at, table, 0.5 * (a + b)) for a, b in pairwise(edges)]
    return Profile.from_pieces(edges, pieces)


def _check_stations(at_m: Sequence[float], sections: Sequence[Dimensions]) -> None:
    if len(at_m) != len(sections) or not sections:
        raise ValueError(f"{len(at_m)} places and {len(sections)} sections; they must be as many, one at least")
    for a, b in pairwise(at_m):
        if b < a:
            raise ValueError(f"the stations must run outward, but {b:g} m comes after {a:g} m")
    kinds = {section[0] for section in sections}
    if len(kinds) > 1:
        raise ValueError(f"the stations are {' and '.join(sorted(kinds))}; along one half they must all be of one kind")
    for section in sections:
        second_moment(section)


def _piece(kind: Kind, at: Array, table: Array, middle: float) -> Piece:
    """I(s) on the smooth piece around `middle`: dimensions straight between the stations on its either side."""
    after = int(np.searchsorted(at, middle))
    a, b = max(after - 1, 0), min(after, len(at) - 1)
    slopes = (table[b] - table[a]) / (at[b] - at[a]) if a < b else np.zeros(3)
    thick_0, wide_0, inner_0 = (table[a] - slopes * at[a]).tolist()
    thick_s, wide_s, inner_s = slopes.tolist()

    def flat(s: Array) -> Array:
        return np.asarray((wide_0 + wide_s * s) * (thick_0 + thick_s * s) ** 3 / 12)

    def ring(s: Array) -> Array:
        return np.asarray(pi / 64 * ((thick_0 + thick_s * s) ** 4 - (inner_0 + inner_s * s) ** 4))

    return flat if kind == "flat" else ring
