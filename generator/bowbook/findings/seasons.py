"""How what a flyer likes moved from season to season: the same fit as over all their records, a season at a time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date
from math import exp, fsum, log, sqrt

from msgspec import Struct

from bowbook.book.days import SEASONS, days_of
from bowbook.book.records import Flight, Settings
from bowbook.findings.results import Range
from bowbook.findings.winds import at_book_height
from bowbook.mechanics.student import t_quantile

FEWEST = 3  # kites of a season before anything is said of it


class SeasonFlight(Struct, frozen=True):
    """One flight as seasons need it: its kite, that kite's flex wind where known, the flight."""

    kite: str
    flex_m_s: float | None
    flight: Flight


class SeasonZone(Struct, frozen=True):
    """One flyer's season: kites and flights, and where their best winds stood to the flex winds.

    `middle` and its 95 % interval are ratios of the middle of the best wind to the flex wind; None under three kites.
    """

    flyer: str
    season: str  # "spring 2026"
    kites: int
    flights: int
    middle: float | None = None
    interval: Range | None = None


def season_of(on: str) -> str | None:
    """The season that a day as kept lies in; winter 2025 ends in February 2026. None where it may be several.

    >>> season_of("2026-02-01"), season_of("2026-07"), season_of("2026")
    ('winter 2025', 'summer 2026', None)
    """
    first, last = days_of(on)
    return _season(first) if _season(first) == _season(last) else None


def _season(day: date) -> str:
    months = day.year * 12 + day.month - 3  # since March of the year 0: seasons are whole threes of months
    return f"{SEASONS[months // 3 % 4]} {months // 12}"


def order_of(season: str) -> tuple[int, int]:
    """Where a season stands among others."""
    name, year = season.split()
    return int(year), SEASONS.index(name)


def season_zones(flown: Iterable[SeasonFlight], settings: Settings) -> tuple[SeasonZone, ...]:
    """Every flyer's seasons, flyers by name, seasons oldest first."""
    seasons: dict[tuple[str, str], list[SeasonFlight]] = {}
    for one in flown:
        season = season_of(one.flight.on) if one.flight.on else None
        if season and one.flight.flyer:
            seasons.setdefault((one.flight.flyer, season), []).append(one)
    return tuple(
        _zone(flyer, season, seasons[flyer, season], settings)
        for flyer, season in sorted(seasons, key=lambda key: (key[0], order_of(key[1])))
    )


def _zone(flyer: str, season: str, flown: list[SeasonFlight], settings: Settings) -> SeasonZone:
    ratios: dict[str, list[float]] = {}
    for one in flown:
        if one.flight.best is None or not one.flex_m_s:
            continue
        low, high = at_book_height(one.flight.best, one.flight, settings)
        if low and high:
            ratios.setdefault(one.kite, []).append(log(low * high) / 2 - log(one.flex_m_s))
    means = [fsum(own) / len(own) for own in ratios.values()]
    kites = len({one.kite for one in flown})
    if len(means) < FEWEST:
        return SeasonZone(flyer, season, kites, len(flown))
    return SeasonZone(flyer, season, kites, len(flown), *_mean(means))


def _mean(logs: list[float]) -> tuple[float, Range]:
    """The geometric mean of ratios and its 95 % interval by Student's t, one figure a kite."""
    n = len(logs)
    mean = fsum(logs) / n
    half = t_quantile(0.975, n - 1) * sqrt(fsum((x - mean) ** 2 for x in logs) / (n - 1) / n)
    return exp(mean), Range(exp(mean - half), exp(mean + half))


def not_flown_since(newest: date, last: Mapping[str, date | None]) -> tuple[str, ...]:
    """The keys of kites whose last flight lies more than a year before the newest day, longest ago first."""
    long_ago = [(day, key) for key, day in last.items() if day is not None and (newest - day).days > 365]
    return tuple(key for _, key in sorted(long_ago))
