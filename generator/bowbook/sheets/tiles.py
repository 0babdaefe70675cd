"""Cutting a drawing that is larger than the paper into tiles that overlap."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.sheets.page import Point

OVERLAP_MM = 10.0
MOST_TILES = 64  # beyond this nobody would paste it together: draw it from the dimensions


class Tile(Struct, frozen=True):
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


class Tiling(Struct, frozen=True):
    """A drawing cut into tiles of one window size; `blank` are those inside it with no line on them, not printed."""

    window: tuple[float, float]
    columns: int
    rows: int
    tiles: tuple[Tile, ...]
    blank: tuple[Tile, ...] = ()

    def edges(self, t: Tile, inset: float = 0.0) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of a tile's window on the drawing, drawn in by `inset` mm."""
        return t.left + inset, t.top + inset, t.left + self.window[0] - inset, t.top + self.window[1] - inset


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
    whole = Tiling(window, columns, rows, ())
    grid = (Tile(c, r, x0 + c * step[0], y0 + r * step[1]) for r in range(rows) for c in range(columns))
    prepare(shape)
    tiles = tuple(t for t in grid if shape.intersects(box(*whole.edges(t))))
    return Tiling(window, columns, rows, tiles) if len(tiles) <= MOST_TILES else None
