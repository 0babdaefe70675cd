"""The days of the book: what was built and flown, by month and year; each flyer's seasons; what has long been down."""

from __future__ import annotations

import calendar
from datetime import date

from msgspec import Struct

from bowbook.book.days import days_of, middle_of
from bowbook.book.records import Flight, Kite, Settings, Units
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.results import Range
from bowbook.findings.seasons import SeasonFlight, SeasonZone, not_flown_since, season_zones
from bowbook.findings.states import newest as newest_state
from bowbook.findings.states import states_of
from bowbook.pages.chrome import Chrome, kite_address
from bowbook.wording import numbers
from bowbook.wording.days import Dated, dated, dated_in_a_line
from bowbook.wording.field import NOT_THERE

LONG_YEAR = 300
"""Entries of a year above which its months are folded."""

LINKED_FLYERS = 8
"""So many flyers the theme's style sheet can sift by without a script."""


class KiteDays(Struct, frozen=True):
    """What the page needs of one kite: small enough to be kept for every kite.

    `settled` are the flights of the state that the flex wind is of: a kite re-covered or shaved since was another.
    """

    key: str
    name: str
    made: str | None
    stage: str | None
    flex_m_s: float | None
    flights: tuple[Flight, ...]
    settled: tuple[Flight, ...] = ()


class DayEntry(Struct, frozen=True):
    """One thing done on a day: a kite finished or flown. `flyer` is the flyer's number, "" where none is known."""

    day: str
    kite: str
    name: str
    address: str
    words: str
    flyer: str
    built: bool
    order: tuple[date, str]

    @property
    def when(self) -> Dated:
        """Its day in words."""
        return dated(self.day)


class Month(Struct, frozen=True):
    """A month, or what of a year cannot be told to the month; `folded` in a year of very many."""

    title: str
    sum: str
    entries: tuple[DayEntry, ...]
    folded: bool


class Year(Struct, frozen=True):
    """A year and its months, oldest first."""

    title: str
    sum: str
    months: tuple[Month, ...]


class DaysPage(Struct, frozen=True):
    """What the page shows."""

    title: str
    description: str
    lead: str
    flyers: tuple[str, ...]
    kites: tuple[tuple[str, str], ...]
    years: tuple[Year, ...]
    seasons: ChartTable | None
    long_ago: tuple[tuple[str, str, str], ...]
    newest: str | None


def days_page(chrome: Chrome, settings: Settings, names: tuple[str, ...], told: tuple[KiteDays, ...]) -> DaysPage:
    """The page as its template takes it; `names` are the flyers'."""
    flyers = list(names)
    entries = sorted((e for kite in told for e in _entries(kite, flyers, chrome.units)), key=lambda e: e.order)
    newest = max((middle_of(day) for kite in told for day in _days(kite)), default=None)
    called = {kite.key: kite.name for kite in told}
    last = {kite.key: _last_flight(kite) for kite in told if kite.stage == "resting" or kite.stage not in NOT_THERE}
    down = not_flown_since(newest, last) if newest else ()
    flights = sum(len(kite.flights) for kite in told)
    return DaysPage(
        title="Days",
        description=f"{chrome.title}: what was built and flown, month by month, and how each flyer's winds moved.",
        lead=f"{numbers.capital(numbers.counted(flights, 'flight'))} of {numbers.counted(len(told), 'kite')}.",
        flyers=tuple(flyers[:LINKED_FLYERS]),
        kites=tuple((kite.key, kite.name) for kite in told if any(e.kite == kite.key for e in entries)),
        years=_years(entries),
        seasons=_seasons(told, settings),
        long_ago=tuple((called[key], kite_address(key), dated_in_a_line(str(last[key]))) for key in down),
        newest=dated_in_a_line(str(newest)) if newest else None,
    )


def days_of_kite(kite: Kite, flex_m_s: float | None) -> KiteDays:
    """What the page needs of one kite."""
    settled = newest_state(states_of(kite)).kite.flights
    return KiteDays(kite.key, kite.name, kite.made, kite.stage, flex_m_s, kite.flights, settled)


def _days(kite: KiteDays) -> list[str]:
    return [day for day in (kite.made, *(flight.on for flight in kite.flights)) if day]


def _last_flight(kite: KiteDays) -> date | None:
    return max((middle_of(flight.on) for flight in kite.flights if flight.on), default=None)


def _entries(kite: KiteDays, flyers: list[str], units: Units) -> list[DayEntry]:
    """What was done with one kite, on days that are known at least to the year."""
    address = kite_address(kite.key)
    found = []
    if kite.made:
        found.append(
            DayEntry(kite.made, kite.key, kite.name, address, "finished", "", True, (middle_of(kite.made), ""))
        )
    for flight in kite.flights:
        if flight.on:
            number = str(flyers.index(flight.flyer)) if flight.flyer in flyers else ""
            order = (middle_of(flight.on), kite.name)
            words = _flight_words(flight, units)
            found.append(DayEntry(flight.on, kite.key, kite.name, address, words, number, False, order))
    return found


def _flight_words(flight: Flight, units: Units) -> str:
    """A flight on one line: "Ansa in 4–9 mph, best 5–7 mph"."""
    said = [flight.flyer or "flown"]
    if flight.wind:
        said.append(f"in {numbers.winds(flight.wind, units)}")
    words = " ".join(said)
    return f"{words}, best {numbers.winds(flight.best, units)}" if flight.best else words


def _years(entries: list[DayEntry]) -> tuple[Year, ...]:
    """The years, newest first; months in them oldest first, and then what is known to the year alone."""
    years: dict[int, dict[int, list[DayEntry]]] = {}
    for entry in entries:
        first, last = days_of(entry.day)
        year = middle_of(entry.day).year
        month = first.month if (first.year, first.month) == (last.year, last.month) else 13
        years.setdefault(year, {}).setdefault(month, []).append(entry)
    return tuple(_year(year, months) for year, months in sorted(years.items(), reverse=True))


def _year(year: int, months: dict[int, list[DayEntry]]) -> Year:
    whole = [entry for own in months.values() for entry in own]
    folded = len(whole) > LONG_YEAR
    return Year(
        str(year),
        _sum(whole),
        tuple(Month(_month(month), _sum(own), tuple(own), folded) for month, own in sorted(months.items())),
    )


def _month(month: int) -> str:
    return calendar.month_name[month] if month < 13 else "In that year"


def _sum(entries: list[DayEntry]) -> str:
    """How much was done: "two kites finished, seven flights"."""
    built = sum(entry.built for entry in entries)
    parts = [f"{numbers.counted(built, 'kite')} finished"] if built else []
    if flown := len(entries) - built:
        parts.append(numbers.counted(flown, "flight"))
    return ", ".join(parts)


def _seasons(told: tuple[KiteDays, ...], settings: Settings) -> ChartTable | None:
    """Each flyer's seasons: the middle of what they liked, in a kite that flexes at the book's middle wind."""
    flown = [
        SeasonFlight(kite.key, kite.flex_m_s if flight in kite.settled else None, flight)
        for kite in told
        for flight in kite.flights
    ]
    zones = season_zones(flown, settings)
    if not zones:
        return None
    from statistics import median

    flex_m_s = median([kite.flex_m_s for kite in told if kite.flex_m_s] or [1.0])
    flexing = numbers.winds(Range(flex_m_s, flex_m_s), settings.units)
    return ChartTable(
        ("Flyer", "Season", "Flights", "Kites", f"Likes best, in a kite that flexes at {flexing}"),
        tuple(ChartRow(_zone(zone, flex_m_s, settings.units)) for zone in zones),
    )


def _zone(zone: SeasonZone, flex_m_s: float, units: Units) -> tuple[str, ...]:
    """A season's row: the middle of what was liked with its 95 % interval, for a kite that flexes in that wind."""
    counts = (zone.flyer, zone.season, str(zone.flights), str(zone.kites))
    if zone.middle is None or zone.interval is None:
        return *counts, "too few kites"
    edges = (zone.middle, zone.interval.low, zone.interval.high)
    middle, low, high = (numbers.number(round(numbers.wind_number(edge * flex_m_s, units), 1)) for edge in edges)
    return *counts, f"{middle}\u00a0{numbers.wind_unit(units)} ({low}–{high})"
