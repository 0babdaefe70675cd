"""Which characters an installed font holds, in little room."""

from __future__ import annotations

from array import array
from bisect import bisect_right
from collections.abc import Iterable


class Characters:
    """The characters of a font as the ranges they form: all those of hundreds of fonts would take a lot of room."""

    def __init__(self, codes: Iterable[int]) -> None:
        known = sorted(codes)
        self._starts = array("L", (c for c, before in zip(known, [-2, *known], strict=False) if c != before + 1))
        self._ends = array("L", (c for c, after in zip(known, [*known[1:], -2], strict=False) if c + 1 != after))

    def __contains__(self, code: int) -> bool:
        at = bisect_right(self._starts, code) - 1
        return at >= 0 and code <= self._ends[at]
