"""Cutting a drawing that is larger than the paper into tiles that overlap, and the marks that join them again."""

from __future__ import annotations

import math
from dataclasses import dataclass

from bowbook.site.sheets.page import Point

OVERLAP_MM = 10.0
MOST_TILES = 64  # beyond this nobody would paste it together: draw it from the dimensions


@dataclass(frozen=True, slots=True)
class Tile:
    """One page's window on the drawing: column and row from 0, and its left and top edge, mm."""

    column: int
    row: int
    left: float
    top: float

    @property
    def name(self) -> str:
        """How the page map calls it: column letters and row number, "B2"."""
        letters, n = "", self.column + 1
        while n:
            n, rest = divmod(n - 1, 26)
            letters = chr(65 + rest) + letters
        return f"{letters}{self.row + 1}"


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark in the middle of an overlap: the same number and place on both pages."""

    number: int
    place: Point
    tiles: tuple[str, str]


@dataclass(frozen=True, slots=True)
class Tiling:
    """A drawing cut into tiles of one window size. Tiles with nothing on them are left out."""

    window: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    marks: tuple[Mark, ...]


def _count(size: float, window: float) -> int:
    return 1 if size <= window else math.ceil((size - OVERLAP_MM) / (window - OVERLAP_MM) - 1e-9)


def tile(area: tuple[Point, ...], window: tuple[float, float]) -> Tiling | None:
    """Tiles of `window` mm that cover the closed area with an overlap; None where they would be too many."""
    from shapely import prepare
    from shapely.geometry import Polygon, box

    shape = Polygon(area).buffer(0)
    left, top, right, bottom = shape.bounds
    columns, rows = _count(right - left, window[0]), _count(bottom - top, window[1])
    if columns * rows > 4 * MOST_TILES:
        return None
    step = window[0] - OVERLAP_MM, window[1] - OVERLAP_MM
    spare = columns * step[0] + OVERLAP_MM - (right - left), rows * step[1] + OVERLAP_MM - (bottom - top)
    x0, y0 = left - spare[0] / 2, top - spare[1] / 2
    prepare(shape)
    tiles = tuple(
        Tile(c, r, x0 + c * step[0], y0 + r * step[1])
        for r in range(rows)
        for c in range(columns)
        if shape.intersects(box(*_edges(x0 + c * step[0], y0 + r * step[1], window)))
    )
    if len(tiles) > MOST_TILES:
        return None
    return Tiling(window, columns, rows, tiles, _marks(tiles, window))


def _edges(left: float, top: float, window: tuple[float, float]) -> tuple[float, float, float, float]:
    return left, top, left + window[0], top + window[1]


def _marks(tiles: tuple[Tile, ...], window: tuple[float, float]) -> tuple[Mark, ...]:
    """Two marks on every overlap of two neighbours."""
    at = {(t.column, t.row): t for t in tiles}
    marks: list[Mark] = []
    w, h = window
    for t in tiles:
        beside, below = at.get((t.column + 1, t.row)), at.get((t.column, t.row + 1))
        if beside:
            for share in (0.25, 0.75):
                place = (beside.left + OVERLAP_MM / 2, t.top + share * h)
                marks.append(Mark(len(marks) + 1, place, (t.name, beside.name)))
        if below:
            for share in (0.25, 0.75):
                place = (t.left + share * w, below.top + OVERLAP_MM / 2)
                marks.append(Mark(len(marks) + 1, place, (t.name, below.name)))
    return tuple(marks)
