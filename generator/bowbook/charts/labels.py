"""Names beside points: put where they touch neither points nor each other, left out where nothing is free."""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import product

from msgspec import Struct

CELL = 5.0  # px; what is taken is remembered in cells of this size
ROWS = 10  # how far off a label may stand, in rows
ASIDE = ((0, "middle"), *((way * dx, end) for dx in (14, 32, 56, 90) for way, end in ((-1, "end"), (1, "start"))))  # px
AMONG = 7  # points of such a line that may lie among other marks
Point = tuple[float, float]
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
        ems += _ems(sign)
    return ems * size


@lru_cache(maxsize=2000)
def _ems(sign: str) -> float:
    if unicodedata.combining(sign):
        return 0.0
    usual = 1.0 if unicodedata.east_asian_width(sign) in "WF" else 0.75 if sign.isupper() else 0.63
    return _EMS.get(sign, usual)


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
        self._words: dict[int, int] = {}  # those of them that texts stand on

    def copy(self) -> Room:
        """The same room, to try places in."""
        other = Room(self.width, self.height)
        other._taken, other._words = dict(self._taken), dict(self._words)
        return other

    def take(self, left: float, top: float, right: float, bottom: float) -> None:
        """Nothing may stand here any more."""
        _mark(self._taken, left, top, right, bottom)

    def free(self, left: float, top: float, right: float, bottom: float) -> bool:
        """Whether something may stand here."""
        if left < 0 or top < 0 or right > self.width or bottom > self.height:
            return False
        cells, taken = _cells(left, right), self._taken
        for row in _rows(top, bottom):  # noqa: SIM110 asked tens of thousands of times
            if taken.get(row, 0) & cells:
                return False
        return True

    def beside(self, x: float, y: float, text: str, size: float, gap: float = 9.0, most: int = 22) -> Label | None:
        """A label for the point in the first free place beside it, or None where all are taken."""
        text = shortened(text, most)
        width = wide(text, size)
        for dx, dy, anchor in (
            (gap, 0.33 * size, "start"),
            (-gap, 0.33 * size, "end"),
            (0, -gap - 3, "middle"),
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

    def beyond(
        self, x: float, top: float, foot: float, text: str, size: float, most: int = 22
    ) -> tuple[Label, tuple[Point, Point]] | None:
        """A label further off, over or under what stands at x from top to foot, and the line that leads to it."""
        text = shortened(text, most)
        width = wide(text, size)
        for row, (dx, anchor), (end, way) in product(range(1, ROWS), ASIDE, ((top, -1), (foot, 1))):
            y = end + way * (9 + 0.9 * size * row)
            begin, reached = (x, end + way * 4), (x + dx, y + (DROP if way < 0 else -RISE) * size)
            label = Label(x + dx + {"start": -4, "middle": 0, "end": 4}[anchor], y, text, anchor)
            if not self.free(*_box(label, width, size)):
                continue
            dots = _dots(begin, reached)
            far = dots[AMONG:]  # among its neighbours' marks a line may begin, not among their names
            met = any(_at(self._taken, dot) for dot in far) or any(_at(self._words, dot) for dot in dots)
            if not met and self.fits(label, width, size):
                for a, b in dots:
                    self.take(a, b, a, b)
                return label, (begin, reached)
        return None

    def fits(self, label: Label, width: float, size: float) -> bool:
        """Take the label's place if it is free and inside the plot; else take nothing."""
        box = _box(label, width, size)
        if not self.free(*box):
            return False
        self.take(*box)
        _mark(self._words, *box)
        return True


def _box(label: Label, width: float, size: float) -> tuple[float, float, float, float]:
    """Where a label stands: left, top, right, bottom."""
    left = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    return left, label.y - RISE * size, left + width, label.y + DROP * size


def _at(taken: dict[int, int], dot: Point) -> int:
    """Whether a point is taken."""
    return taken.get(int(dot[1] // CELL), 0) >> max(int(dot[0] // CELL), 0) & 1


def _mark(taken: dict[int, int], left: float, top: float, right: float, bottom: float) -> None:
    cells = _cells(left, right)
    for row in _rows(top, bottom):
        taken[row] = taken.get(row, 0) | cells


def _dots(begin: Point, reached: Point) -> list[Point]:
    """Points along a line, near enough to meet every cell it runs through."""
    (x0, y0), (x1, y1) = begin, reached
    count = int(math.hypot(x1 - x0, y1 - y0) / (CELL / 2)) + 1
    parts = (n / count for n in range(1, count + 1))
    return [(x0 + (x1 - x0) * part, y0 + (y1 - y0) * part) for part in parts]


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
