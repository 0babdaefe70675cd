"""Where marks and words go on a tiled pattern: clear of its lines, of each other, and whole on one page."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Any

from msgspec import Struct

from bowbook.sheets import typesetting
from bowbook.sheets.page import Point
from bowbook.sheets.tiles import OVERLAP_MM, Tile, Tiling

MARK_MM = 4.5  # from the middle of a mark to its outermost line
MARK_WORDS_MM = 16.0  # left for "12 on B2" beside it
_CLEAR_MM = 0.8
_SHARES = (0.25, 0.32, 0.18, 0.4, 0.11, 0.46)  # along a shared edge; the second mark likewise from the far end
_STEPS = (0.0, 4.0, 8.0, 12.0, 17.0, 23.0, 30.0, 38.0, 48.0, 60.0)

Box = tuple[float, float, float, float]


class PatternLabel(Struct, frozen=True):
    """Words by a place on the pattern; turned by a right angle where they run up the page."""

    place: Point
    text: str
    along: bool = False
    size_pt: float = 9.0

    def box(self, dx: float = 0.0, dy: float = 0.0) -> Box:
        """What the words cover, mm."""
        wide = typesetting.width_mm(typesetting.printable(self.text), self.size_pt)
        tall = self.size_pt * 25.4 / 72.0
        x, y = self.place[0] + dx, self.place[1] + dy
        up, down = 0.8 * tall + _CLEAR_MM, 0.25 * tall + _CLEAR_MM
        if self.along:
            return x - up, y - wide - _CLEAR_MM, x + down, y + _CLEAR_MM
        return x - _CLEAR_MM, y - up, x + wide + _CLEAR_MM, y + down


class OverlapMark(Struct, frozen=True):
    """A mark in the middle of an overlap: the same number and place on both pages."""

    number: int
    place: Point
    tiles: tuple[str, str]
    beside: bool  # whether the tiles stand side by side, or one below the other


class Placed(Struct, frozen=True):
    """A label settled on one tile."""

    label: PatternLabel
    place: Point
    tile: str


class Ground:
    """What is already on the pattern."""

    def __init__(self, lines: Iterable[Sequence[Point]]) -> None:
        from shapely import STRtree
        from shapely.geometry import LineString

        self._tree = STRtree([LineString(pair) for line in lines for pair in pairwise(line)])
        self._taken: list[Box] = []

    def free(self, area: Box) -> bool:
        """Whether nothing is drawn in this box yet."""
        from shapely.geometry import box

        if any(a[0] < area[2] and area[0] < a[2] and a[1] < area[3] and area[1] < a[3] for a in self._taken):
            return False
        found: Any = self._tree.query(box(*area), predicate="intersects")
        return len(found) == 0

    def take(self, area: Box) -> None:
        """Keep this box from now on."""
        self._taken.append(area)


def place_marks(tiling: Tiling, ground: Ground) -> tuple[OverlapMark, ...]:
    """Two marks on every overlap of two neighbours, numbered, clear of the lines where that can be."""
    at = {(t.column, t.row): t for t in tiling.tiles}
    marks: list[OverlapMark] = []
    for t in tiling.tiles:
        for beside, other in ((True, at.get((t.column + 1, t.row))), (False, at.get((t.column, t.row + 1)))):
            if other is None:
                continue
            for far in (False, True):
                spots = list(_spots(tiling, t, other, beside, far))
                place = next((p for p in spots if ground.free(_mark_box(p, beside))), spots[0])
                ground.take(_mark_box(place, beside))
                marks.append(OverlapMark(len(marks) + 1, place, (t.name, other.name), beside))
    return tuple(marks)


def _spots(tiling: Tiling, t: Tile, other: Tile, beside: bool, far: bool) -> Iterator[Point]:
    """Places for one mark, best first: near a quarter of the shared edge, or near three quarters."""
    w, h = tiling.window
    for share in _SHARES:
        along = 1.0 - share if far else share
        if beside:
            yield other.left + OVERLAP_MM / 2, t.top + along * h
        else:
            yield t.left + along * w, other.top + OVERLAP_MM / 2


def _mark_box(place: Point, beside: bool) -> Box:
    """What a mark covers on both its pages: its words stand on either side of one between columns."""
    x, y = place
    right = MARK_MM + 1.0 + MARK_WORDS_MM
    return x - (right if beside else MARK_MM), y - MARK_MM, x + right, y + MARK_MM


def settle(labels: Sequence[PatternLabel], tiling: Tiling, ground: Ground) -> tuple[Placed, ...]:
    """Every label near its place: the nearest spot that is free and lies whole on one page."""
    placed = []
    for label in labels:
        fallback: tuple[Point, str] | None = None
        for dx, dy in _near(label.along):
            area = label.box(dx, dy)
            tile = _holder(tiling, area)
            if tile is None:
                continue
            fallback = fallback or ((dx, dy), tile)
            if ground.free(area):
                fallback = (dx, dy), tile
                break
        if fallback is None:
            continue
        (dx, dy), tile = fallback
        ground.take(label.box(dx, dy))
        placed.append(Placed(label, (label.place[0] + dx, label.place[1] + dy), tile))
    return tuple(placed)


@lru_cache(maxsize=2)
def _near(along: bool) -> list[Point]:
    """Shifts to try, the smallest first; sideways costs more than along the way the words run off."""
    shifts = [
        (sx * a, sy * b)
        for a in _STEPS
        for b in _STEPS
        for sx in ((1, -1) if a else (1,))
        for sy in ((1, -1) if b else (1,))
    ]
    cost = (2.0, 1.0) if along else (1.0, 1.0)
    return sorted(shifts, key=lambda s: cost[0] * abs(s[0]) + cost[1] * abs(s[1]))


def _holder(tiling: Tiling, area: Box) -> str | None:
    """The tile that shows the whole box, clear of its border."""
    for t in tiling.tiles:
        left, top, right, bottom = tiling.edges(t, 1.0)
        if left <= area[0] and area[2] <= right and top <= area[1] and area[3] <= bottom:
            return t.name
    return None
