"""The winds a kite was flown in, the least that carries it, and the bands it belongs to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from bowbook.book.records import Band, Flight, Kite, Settings, Wind
from bowbook.findings.bench_results import SailFindings
from bowbook.findings.ledger import Ledger
from bowbook.findings.results import FlyerFindings, Predicted, Range
from bowbook.findings.tap_edges import tap_edges
from bowbook.mechanics import air, comfort, sail

OVERLAP = 0.1  # a kite is in a band that covers more than this part of its range
CALM_m_s = 0.1  # what a lower edge of 0 is taken as: logarithms need more than nothing


def air_density(settings: Settings) -> float:
    """Density of the air over the maker's field, kg/m³."""
    return air.SEA_LEVEL_DENSITY if settings.altitude_m is None else air.density(settings.altitude_m)


def sail_findings(kite: Kite, ledger: Ledger) -> SailFindings:
    """Area, width, height, mean chord and loading of the sail."""
    outline = kite.sail.outline
    if not outline:
        for figure in ("area_m2", "width_m", "height_m", "mean_chord_m", "loading_kg_m2"):
            ledger.want(f"sail.{figure}", "The sail's outline: its right half, nose to tail.")
        return SailFindings()
    area, width = sail.area(outline), sail.width(outline)
    if kite.mass_kg is None:
        ledger.want("sail.loading_kg_m2", "The kite's mass, flying.")
    return SailFindings(
        area_m2=area,
        width_m=width,
        height_m=sail.height(outline),
        mean_chord_m=area / width,
        loading_kg_m2=kite.mass_kg / area if kite.mass_kg is not None else None,
    )


def least_wind(kite: Kite, of_sail: SailFindings, rho: float, ledger: Ledger) -> float | None:
    """The wind under which the kite cannot carry its own weight, m/s."""
    if kite.mass_kg is None or not of_sail.area_m2:
        missing = "The kite's mass, flying" if of_sail.area_m2 else "The sail's outline"
        ledger.want(
            "wind.least_m_s", f"{missing}{' and mass' if kite.mass_kg is None and not of_sail.area_m2 else ''}."
        )
        return None
    return air.least_wind(kite.mass_kg, of_sail.area_m2, rho)


def flown(kite: Kite, settings: Settings, ledger: Ledger) -> dict[str, Range]:
    """Each flyer's best range in this kite: geometric means of the edges, at the book's height, m/s.

    A flyer's taps of the kite count as one record, where they bound both edges; where they do not, the winds that
    were liked stand for the range only as long as there is nothing better.
    """
    liked: dict[str, list[tuple[float, float]]] = {}
    tapped: dict[str, list[Flight]] = {}
    for flight in kite.flights:
        if flight.flyer is None:
            continue
        if flight.taps:
            tapped.setdefault(flight.flyer, []).append(flight)
        elif (edges := _edges(flight, settings, ledger)) is not None:
            liked.setdefault(flight.flyer, []).append(edges)
    for flyer, flights in tapped.items():
        bounds = tap_edges(flights, settings)
        if bounds.low_middle and bounds.high_middle:
            liked.setdefault(flyer, []).append((bounds.low_middle, bounds.high_middle))
        elif flyer not in liked:
            spans = [edges for flight in flights if (edges := _edges(flight, settings, ledger)) is not None]
            if spans:
                ledger.assume(
                    f"{flyer}'s taps bound at most one edge: the winds that were liked stand for the range, "
                    "until one was too little and one too much."
                )
                liked[flyer] = [(min(low for low, _ in spans), max(high for _, high in spans))]
    if not liked:
        ledger.want("wind.flown", "A flight with its flyer and the best wind.")
    return {
        flyer: Range(
            comfort.geometric_mean([low for low, _ in edges]), comfort.geometric_mean([high for _, high in edges])
        )
        for flyer, edges in sorted(liked.items())
    }


def _edges(flight: Flight, settings: Settings, ledger: Ledger) -> tuple[float, float] | None:
    """Both edges of a flight's best wind, m/s at the book's height; one that is only bounded is no value to average."""
    if flight.best is None:
        return None
    low, high = at_book_height(flight.best, flight, settings)
    if low is None or high is None:
        return None
    if low < CALM_m_s:
        ledger.assume("A best wind from 0 is taken as from 0.1 m/s: ratios need more than nothing.")
    return max(low, CALM_m_s), max(high, CALM_m_s)


def at_book_height(wind: Wind, flight: Flight, settings: Settings) -> tuple[float | None, float | None]:
    """A wind as noted, moved to the book's height, m/s; an edge that is not known stays None."""
    measured_at = 10.0 if wind.at_10m else (flight.height_m or settings.height_m)
    if measured_at == settings.height_m:
        return wind.low_m_s, wind.high_m_s
    low, high = (
        None if edge is None else air.move_height(edge, measured_at, settings.height_m)
        for edge in (wind.low_m_s, wind.high_m_s)
    )
    return low, high


def bands_of(ranges: Sequence[Range], bands: Sequence[Band]) -> tuple[str, ...]:
    """Names of the bands that any of the ranges overlaps by more than a tenth of that range."""
    return tuple(b.name for b in bands if any(_in_band(r, b) for r in ranges))


def _in_band(r: Range, band: Band) -> bool:
    if r.low == r.high:
        return band.low_m_s <= r.low < band.high_m_s
    overlap = min(r.high, band.high_m_s) - max(r.low, band.low_m_s)
    return overlap > OVERLAP * (r.high - r.low)


NEAR_LEAST, NEAR_GREATEST = 0.7, 1.4  # of the flex winds on record: further out is beyond what was flown


def outside_records(flyer: FlyerFindings, flex_m_s: float) -> bool:
    """Whether a flex wind is beyond those of the kites in a flyer's records."""
    flown_at = [point.flex_m_s for point in flyer.points]
    return bool(flown_at) and not NEAR_LEAST * min(flown_at) <= flex_m_s <= NEAR_GREATEST * max(flown_at)


def shelf_range(
    settings: Settings, kite: Kite, flown_by: Mapping[str, Range], predicted: Mapping[str, Predicted]
) -> tuple[str | None, Range | None]:
    """Whose range stands for the kite, and that range: the book's flyer, else whoever flew it most."""
    wanted = settings.flyer or ""
    if flown_by:
        if wanted in flown_by:
            return wanted, flown_by[wanted]
        counts = {f: sum(x.flyer == f and x.best is not None for x in kite.flights) for f in flown_by}
        flyer = max(sorted(counts), key=lambda f: counts[f])
        return flyer, flown_by[flyer]
    if predicted:
        flyer = wanted if wanted in predicted else max(sorted(predicted), key=lambda f: predicted[f].kites)
        return flyer, Range(predicted[flyer].low, predicted[flyer].high)
    return None, None
