"""How a flyer marked the kites, one to five, and whether the marks go with stiffness, loading or skin."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Flight, Kite
from bowbook.findings.results import Findings
from bowbook.findings.states import newest, states_of

if TYPE_CHECKING:
    from bowbook.mechanics.trend import Trend

MARKED = ("pull", "speed", "turn", "control", "track")
"""The marks of a flight."""


class Marks(Struct, frozen=True):
    """One mark of one flyer's kites against one figure: (kite, figure in SI, mean mark), and the line through them."""

    mark: str
    points: tuple[tuple[str, float, float], ...]
    line: Trend | None


def ratings_of(kite: Kite) -> dict[str, dict[str, float]]:
    """By flyer the mean of each mark over the flights of the kite as it is now; earlier states flew otherwise."""
    flights = newest(states_of(kite)).kite.flights
    flyers = dict.fromkeys(flight.flyer for flight in flights if flight.flyer)
    return {flyer: marks for flyer in flyers if (marks := _means(f for f in flights if f.flyer == flyer))}


def _means(flights: Iterable[Flight]) -> dict[str, float]:
    found: dict[str, list[int]] = {}
    for flight in flights:
        for mark in MARKED:
            value = getattr(flight, mark)
            if value is not None:
                found.setdefault(mark, []).append(value)
    return {mark: sum(values) / len(values) for mark, values in found.items()}


def marks_against(along: str, kites: Mapping[str, Findings], flyer: str) -> tuple[Marks, ...]:
    """Each mark that the flyer gave to three kites or more, `along` the "flex" wind, the "loading" or the "share"."""
    from bowbook.mechanics.trend import trend

    found = []
    for mark in MARKED:
        points = tuple(
            (key, figure, kite.ratings[flyer][mark])
            for key, kite in kites.items()
            if mark in kite.ratings.get(flyer, {}) and (figure := _figure(along, kite))
        )
        if len(points) >= 3:
            found.append(Marks(mark, points, trend([(x, y) for _, x, y in points])))
    return tuple(found)


def _figure(along: str, kite: Findings) -> float | None:
    if along == "flex":
        return kite.wind.flex_m_s.value if kite.wind.flex_m_s else None
    return kite.sail.loading_kg_m2 if along == "loading" else kite.skin.share
