"""The table that stands under a chart: the same numbers, as text with their units."""

from __future__ import annotations

from msgspec import Struct

LONG = 200  # rows, beyond which cells are printed without markup of their own


class ChartRow(Struct, frozen=True):
    """One line. Where `kite` is a key, the first cell is that kite's name and may be a link to its page."""

    cells: tuple[str, ...]
    kite: str | None = None


class ChartTable(Struct, frozen=True):
    """Header and rows, each row as long as the header."""

    header: tuple[str, ...]
    rows: tuple[ChartRow, ...]

    @property
    def long(self) -> bool:
        """Whether it has too many rows for markup in each of its cells."""
        return len(self.rows) > LONG


UNKNOWN = "–"
