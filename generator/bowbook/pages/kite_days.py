"""The days of a kite, state by state: what its record and its story tell, put together by date."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from msgspec import Struct

from bowbook.book.days import in_order
from bowbook.book.records import Flight, Kite
from bowbook.pages.story import StoryPart

Kind = Literal["made", "bench", "covered", "flown", "told"]
Cover = Literal["bare", "first", "later", "away"]

KINDS: tuple[Kind, ...] = ("bench", "covered", "made", "flown", "told")
"""What a day is foremost, where more than one thing was done on it: the first of these."""

GONE = {"given": "Given away", "lost": "Lost", "broken": "Broken", "retired": "Retired"}
"""The stages of a kite that is flown no more, as its last state is named."""


class Day(Struct, frozen=True):
    """One day, or flights without words from one day to another; places of rounds and photos in the record."""

    kind: Kind
    on: str | None  # as days are kept
    until: str | None = None  # the last day, of flights without words
    story: tuple[StoryPart, ...] = ()
    made: bool = False
    covered: bool = False
    rounds: tuple[int, ...] = ()
    flights: tuple[Flight, ...] = ()
    photos: tuple[str, ...] = ()  # file names

    @property
    def season(self) -> bool:
        """Whether these are flights of several days that have no words of their own."""
        return self.until is not None


class State(Struct, frozen=True):
    """A kite from one change to the next: since when, what it is called, what covers it, and its days."""

    name: str
    since: str | None
    cover: Cover
    days: tuple[Day, ...] = ()


class _Entry(Struct, frozen=True):
    """One thing that was done or told, before entries of one day are put together."""

    day: Day
    begins: tuple[str, Cover] | None = None  # the state that it begins
    silent: bool = False  # a flight without words


def states_of(kite: Kite, story: Sequence[StoryPart], photos: Sequence[tuple[str, str | None]]) -> tuple[State, ...]:
    """The states of a kite with their days, oldest first; `photos` are file names with the days they are of.

    What has no day stays behind what comes before it in the making of a kite: bare rounds, the covering, the finished
    kite with the story that names no day, flights.
    """
    entries = in_order(_entries(kite, story, photos), lambda entry: entry.day.on)
    states: list[State] = []
    name, cover = _opening(kite)
    own: list[_Entry] = []
    for entry in entries:
        if entry.begins and entry.begins != (name, cover):
            states += _state(name, cover, own)
            (name, cover), own = entry.begins, []
        own.append(entry)
    states += _state(name, cover, own)
    if states and kite.stage in GONE:
        states.append(State(GONE[kite.stage], None, "away"))
    return tuple(states)


def _state(name: str, cover: Cover, entries: Sequence[_Entry]) -> list[State]:
    """The state of these entries, since the first day known of them; none without entries."""
    since = next((entry.day.on for entry in entries if entry.day.on), None)
    return [State(name, since, cover, _days(entries))] if entries else []


def _opening(kite: Kite) -> tuple[str, Cover]:
    """What the first state is called: the bow alone where it was on the bench before the skin went on."""
    return ("The bow, bare", "bare") if kite.bench else ("The kite", "first")


def _entries(kite: Kite, story: Sequence[StoryPart], photos: Sequence[tuple[str, str | None]]) -> list[_Entry]:
    """All that is told of a kite, in the order in which it is made."""
    skin: tuple[str, Cover] | None = ("The kite, covered", "first") if kite.bench else None
    entries = [_Entry(Day("bench", one.on, rounds=(number,))) for number, one in enumerate(kite.bench)]
    if kite.covered and (kite.covered.left or kite.covered.right):
        entries.append(_Entry(Day("covered", kite.covered.on, covered=True), skin))
    undated = tuple(part for part in story if part.on is None)
    loose = tuple(file for file, on in photos if on is None)
    if kite.made or undated or loose:
        finished = Day("made" if kite.made else "told", kite.made, story=undated, made=bool(kite.made), photos=loose)
        entries.append(_Entry(finished, skin if kite.made else None))
    entries += [_Entry(Day("told", part.on, story=(part,))) for part in story if part.on]
    entries += [_Entry(Day("told", on, photos=(file,))) for file, on in photos if on]
    told = {entry.day.on for entry in entries} | {flight.on for flight in kite.flights if flight.note}
    for flight in kite.flights:
        silent = not flight.note and (flight.on is None or flight.on not in told)
        entries.append(_Entry(Day("flown", flight.on, flights=(flight,)), skin, silent))
    return entries


def _days(entries: Sequence[_Entry]) -> tuple[Day, ...]:
    """The entries of one state, those of one day together, flights without words folded by year."""
    days: list[Day] = []
    for number, run in _runs(entries):
        days.append(_season(run) if number else _together(run))
    return tuple(days)


def _runs(entries: Sequence[_Entry]) -> list[tuple[bool, list[_Entry]]]:
    """Entries that make one day: of one date, or without words and of one year; whether they are the latter."""
    keys = []
    for number, entry in enumerate(entries):
        on = entry.day.on
        if entry.silent:
            keys.append(("silent", on[-4:] if on and on[:1].isalpha() else on[:4] if on else ""))
        else:
            keys.append(("told", on or f"{number}"))
    runs = []
    for (kind, _), group in groupby(zip(keys, entries, strict=True), lambda pair: pair[0]):
        runs.append((kind == "silent", [entry for _, entry in group]))
    return runs


def _together(run: Sequence[_Entry]) -> Day:
    """One day of all that was done on it."""
    days = [entry.day for entry in run]
    return Day(
        kind=next(kind for kind in KINDS if any(day.kind == kind for day in days)),
        on=days[0].on,
        story=tuple(part for day in days for part in day.story),
        made=any(day.made for day in days),
        covered=any(day.covered for day in days),
        rounds=tuple(number for day in days for number in day.rounds),
        flights=tuple(flight for day in days for flight in day.flights),
        photos=tuple(file for day in days for file in day.photos),
    )


def _season(run: Sequence[_Entry]) -> Day:
    """Flights without words as one; a single day of them stays a day."""
    day = _together(run)
    last = run[-1].day.on
    return Day("flown", day.on, last or day.on if len(run) > 1 and last != day.on else None, flights=day.flights)
