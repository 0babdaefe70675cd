"""Between which winds the edges of what a flyer likes lie, by their taps of one kite."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from bowbook.book.records import Flight, Settings
from bowbook.mechanics import air, taps

SCATTER = taps.SCATTER  # how far the wind of a tap may be from the one noted, as a standard deviation of its logarithm


class TapEdges(Struct, frozen=True):
    """The 95 % interval of the lower and the upper edge, m/s at the book's height; None where nothing bounds it."""

    low: tuple[float | None, float | None]
    high: tuple[float | None, float | None]
    low_middle: float | None = None
    high_middle: float | None = None


def tap_edges(flights: Iterable[Flight], settings: Settings) -> TapEdges:
    """What the taps of all these flights together say of both edges."""
    winds: dict[str, list[float]] = {"little": [], "liked": [], "much": []}
    for flight in flights:
        height = flight.height_m or settings.height_m
        for tap in flight.taps:
            if tap.wind_m_s > 0:  # a calm has no logarithm, and says nothing that a light wind does not
                winds[tap.said].append(air.move_height(tap.wind_m_s, height, settings.height_m))
    low = taps.edge_bounds(winds["little"], [*winds["liked"], *winds["much"]])
    high = taps.edge_bounds([*winds["little"], *winds["liked"]], winds["much"])
    return TapEdges((low.least, low.most), (high.least, high.most), low.middle, high.middle)
