"""A rod's flexural rigidity along its length, smooth piece by piece."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from bowbook.mechanics.limits import positive

Array: TypeAlias = NDArray[np.float64]
Piece: TypeAlias = Callable[[Array], Array]

_SNAP = 1e-9  # of the length: cuts nearer than this to an edge are that edge


def _constant(value: float) -> Piece:
    return lambda s: np.full(np.shape(s), value)


def _times(piece: Piece, factor: float) -> Piece:
    return lambda s: factor * piece(s)


def _plus(piece: Piece, more: float) -> Piece:
    return lambda s: piece(s) + more


def _moved(piece: Piece, by: float) -> Piece:
    return lambda s: piece(s - by)


def _mirrored(piece: Piece, length: float) -> Piece:
    return lambda s: piece(length - s)


class Profile(Struct, frozen=True, eq=False):
    """EI(s), N m², for s from 0 to `length`, m.

    Each of `pieces` takes and gives arrays and is smooth between its two `edges`; at an edge the rigidity may
    step, so ask `at` only strictly inside. What holds for rigidity holds for any positive quantity along a rod:
    a profile of second moments `.scaled(E)` is one of rigidities.
    """

    edges: tuple[float, ...]
    pieces: tuple[Piece, ...]

    def __post_init__(self) -> None:
        if len(self.edges) != len(self.pieces) + 1 or not self.pieces:
            raise ValueError(
                f"{len(self.pieces)} pieces of rod need {len(self.pieces) + 1} edges, not {len(self.edges)}"
            )
        if self.edges[0] != 0.0:
            raise ValueError(f"a rod starts at 0 m, not at {self.edges[0]:g} m")
        for a, b in pairwise(self.edges):
            if not a < b:
                raise ValueError(f"the edges along a rod must rise, but {b:g} m comes after {a:g} m")

    @classmethod
    def uniform(cls, EI: float, length: float) -> Profile:
        """A rod with the same rigidity `EI`, N m², all along its `length`, m.

        Raises
        ------
        ValueError : a quantity is not positive.

        >>> Profile.uniform(0.02, 0.32).length
        0.32
        """
        positive("the stiffness", EI, "N m²")
        positive("the length of the rod", length, "m")
        return cls((0.0, float(length)), (_constant(float(EI)),))

    @classmethod
    def from_pieces(cls, edges: Sequence[float], funcs: Sequence[Piece]) -> Profile:
        """A rod of pieces: `funcs[i]` gives the rigidity, N m², at s, m, between `edges[i]` and `edges[i + 1]`.

        Raises
        ------
        ValueError : the edges do not start at 0, do not rise, or do not fit the number of pieces.

        >>> rod = Profile.from_pieces((0.0, 0.1, 0.3), (lambda s: 2.0 - s, lambda s: 1.0 + 0.0 * s))
        >>> rod.at(np.array([0.05, 0.2])).tolist()
        [1.95, 1.0]
        """
        return cls(tuple(float(edge) for edge in edges), tuple(funcs))

    @property
    def length(self) -> float:
        """The length of the rod, m."""
        return self.edges[-1]

    def at(self, s: Array) -> Array:
        """The rigidity, N m², at `s`, m, shape (n,); on an edge, that of the piece beyond it."""
        s = np.asarray(s, dtype=float)
        if len(self.pieces) == 1:
            return np.asarray(self.pieces[0](s), dtype=float)
        which = np.searchsorted(np.array(self.edges[1:-1]), s, side="right")
        out = np.empty_like(s)
        for i, piece in enumerate(self.pieces):
            here = which == i
            if here.any():
                out[here] = piece(s[here])
        return out

    def scaled(self, f: float) -> Profile:
        """The rod with its rigidity times `f` everywhere.

        Raises
        ------
        ValueError : the factor is not positive.
        """
        positive("the factor on the stiffness", f, "")
        return Profile(self.edges, tuple(_times(piece, f) for piece in self.pieces))

    def plus(self, EI: float) -> Profile:
        """The rod with `EI`, N m², added everywhere, as a skin adds to a bow."""
        return Profile(self.edges, tuple(_plus(piece, EI) for piece in self.pieces))

    def with_zone(self, start: float, end: float, f: float) -> Profile:
        """The rod with its rigidity times `f` from `start` to `end`, m.

        Raises
        ------
        ValueError : the zone is empty or reaches past the rod; the factor is not positive.

        >>> Profile.uniform(1.0, 0.3).with_zone(0.1, 0.2, 0.5).at(np.array([0.05, 0.15, 0.25])).tolist()
        [1.0, 0.5, 1.0]
        """
        positive("the factor on the stiffness", f, "")
        start, end = self._stretch(start, end)
        cut = self._cut(start)._cut(end)
        pieces = (
            _times(piece, f) if start <= a and b <= end else piece
            for piece, a, b in zip(cut.pieces, cut.edges, cut.edges[1:], strict=False)
        )
        return Profile(cut.edges, tuple(pieces))

    def part(self, start: float, end: float) -> Profile:
        """The stretch from `start` to `end`, m, as a rod of its own that starts at 0.

        Raises
        ------
        ValueError : the stretch is empty or reaches past the rod.
        """
        start, end = self._stretch(start, end)
        cut = self._cut(start)._cut(end)
        kept = [i for i, (a, b) in enumerate(pairwise(cut.edges)) if start <= a and b <= end]
        edges = (0.0, *(cut.edges[i + 1] - start for i in kept))
        return Profile(edges, tuple(_moved(cut.pieces[i], -start) for i in kept))

    def reversed(self) -> Profile:
        """The same rod seen from its other end.

        >>> Profile.uniform(1.0, 0.3).with_zone(0.0, 0.1, 0.5).reversed().at(np.array([0.1, 0.25])).tolist()
        [1.0, 0.5]
        """
        length = self.length
        edges = (0.0, *(length - edge for edge in self.edges[-2::-1]))
        return Profile(edges, tuple(_mirrored(piece, length) for piece in self.pieces[::-1]))

    def joined(self, other: Profile) -> Profile:
        """This rod with `other` at its end.

        >>> Profile.uniform(1.0, 0.3).joined(Profile.uniform(2.0, 0.2)).edges
        (0.0, 0.3, 0.5)
        """
        length = self.length
        edges = self.edges + tuple(length + edge for edge in other.edges[1:])
        return Profile(edges, self.pieces + tuple(_moved(piece, length) for piece in other.pieces))

    def _stretch(self, start: float, end: float) -> tuple[float, float]:
        """`start` and `end` moved onto edges they all but touch."""
        slack = _SNAP * self.length
        if not -slack <= start < end <= self.length + slack:
            raise ValueError(
                f"the zone runs from {start:g} m to {end:g} m; it must lie within the half, 0 m to {self.length:g} m"
            )
        start, end = self._snapped(start), self._snapped(end)
        if start == end:
            raise ValueError(f"the zone from {start:g} m to {end:g} m is empty")
        return start, end

    def _snapped(self, s: float) -> float:
        nearest = min(self.edges, key=lambda edge: abs(edge - s))
        return nearest if abs(nearest - s) <= _SNAP * self.length else float(s)

    def _cut(self, s: float) -> Profile:
        """The same rod with an edge at `s`."""
        if s in self.edges:
            return self
        i = sum(edge < s for edge in self.edges)
        return Profile((*self.edges[:i], s, *self.edges[i:]), (*self.pieces[:i], self.pieces[i - 1], *self.pieces[i:]))
