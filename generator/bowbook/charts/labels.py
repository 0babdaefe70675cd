"""Names beside points: put where they touch neither points nor each other, left out where nothing is free."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache

from msgspec import Struct

CELL = 5.0  # px; what is taken is remembered in cells of this size
RISE, DROP = 0.76, 0.26  # of the text's size, above and below its baseline
_EMS = {
    **dict.fromkeys("iljI.,:;' |!·", 0.34),
    **dict.fromkeys("tfr", 0.42),
    **dict.fromkeys("mW%…—", 1.0),
    **dict.fromkeys("wM", 0.87),
}


@lru_cache(maxsize=2000)
def wide(text: str, size: float) -> float:
    """About how wide a text stands, px: enough to keep labels apart in any font of the stack."""
    ems = 0.0
    for sign in text:
        if unicodedata.combining(sign):
            continue
        usual = 1.0 if unicodedata.east_asian_width(sign) in "WF" else 0.75 if sign.isupper() else 0.63
        ems += _EMS.get(sign, usual)
    return ems * size


def shortened(text: str, most: int = 22) -> str:
    """The text, cut where it is too long for a label."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


class Label(Struct, frozen=True):
    """A text with its baseline's start, middle or end at x, y."""

    x: float
    y: float
    text: str
    anchor: str


class Room:
    """The free room of a plot, `width` × `height` px from its upper left corner."""

    def __init__(self, width: float, height: float) -> None:
        self.width, self.height = width, height
        self._taken: dict[int, int] = {}  # by row of cells, a bit for each cell

    def take(self, left: float, top: float, right: float, bottom: float) -> None:
        """Nothing may stand here any more."""
        cells = _cells(left, right)
        for row in _rows(top, bottom):
            self._taken[row] = self._taken.get(row, 0) | cells

    def free(self, left: float, top: float, right: float, bottom: float) -> bool:
        """Whether something may stand here."""
        if left < 0 or top < 0 or right > self.width or bottom > self.height:
            return False
        cells = _cells(left, right)
        return not any(self._taken.get(row, 0) & cells for row in _rows(top, bottom))

    def beside(self, x: float, y: float, text: str, size: float, gap: float = 7.0, most: int = 22) -> Label | None:
        """A label for the point in the first free place beside it, or None where all are taken."""
        text = shortened(text, most)
        width = wide(text, size)
        for dx, dy, anchor in (
            (gap, 0.33 * size, "start"),
            (-gap, 0.33 * size, "end"),
            (0, -gap - 1, "middle"),
            (0, gap + RISE * size, "middle"),
            (gap, -gap, "start"),
            (-gap, -gap, "end"),
            (gap, gap + 0.6 * size, "start"),
            (-gap, gap + 0.6 * size, "end"),
        ):
            label = Label(x + dx, y + dy, text, anchor)
            if self.fits(label, width, size):
                return label
        return None

    def fits(self, label: Label, width: float, size: float) -> bool:
        """Take the label's place if it is free and inside the plot; else take nothing."""
        left = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
        top, bottom = label.y - RISE * size, label.y + DROP * size
        if not self.free(left, top, left + width, bottom):
            return False
        self.take(left, top, left + width, bottom)
        return True


def _cells(left: float, right: float) -> int:
    """A bit for each cell of a row between two edges; none lies left of the plot."""
    first, last = max(int(left // CELL), 0), int(right // CELL)
    return ((1 << (last - first + 1)) - 1) << first if last >= first else 0


def _rows(top: float, bottom: float) -> range:
    return range(int(top // CELL), int(bottom // CELL) + 1)


def stacked(heights: Sequence[float], apart: float, low: float, high: float) -> tuple[float, ...]:
    """Heights moved as little as need be to stand `apart` px from one another between `low` and `high`, same order.

    >>> stacked([10, 12, 40], 10, 0, 100)
    (6.0, 16.0, 40.0)
    """
    order = sorted(range(len(heights)), key=lambda i: heights[i])
    blocks: list[tuple[float, list[int]]] = []  # middle of a block of touching labels, and its members
    for i in order:
        blocks.append((heights[i], [i]))
        while len(blocks) > 1 and _touch(blocks[-2], blocks[-1], apart):
            (_, before), (_, after) = blocks[-2], blocks[-1]
            together = before + after
            blocks[-2:] = [(_centre(together, heights, apart, low, high), together)]
    moved = [0.0] * len(heights)
    for middle, members in blocks:
        for place, i in enumerate(members):
            moved[i] = middle + (place - (len(members) - 1) / 2) * apart
    return tuple(moved)


def _touch(before: tuple[float, list[int]], after: tuple[float, list[int]], apart: float) -> bool:
    return after[0] - before[0] < (len(before[1]) + len(after[1])) / 2 * apart - 1e-9


def _centre(members: Iterable[int], heights: Sequence[float], apart: float, low: float, high: float) -> float:
    own = [heights[i] for i in members]
    half = (len(own) - 1) / 2 * apart
    return min(max(sum(own) / len(own), low + half), max(high - half, low + half))
