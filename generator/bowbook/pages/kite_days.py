"""The days of a kite, state by state: what its record and its story tell, put together by date."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Literal

from msgspec import Struct

from bowbook.book.days import in_order
from bowbook.book.records import Change, Flight, Kite
from bowbook.pages.story import StoryPart
from bowbook.wording.days import ORDINALS

Kind = Literal["made", "bench", "covered", "changed", "flown", "told"]
Cover = Literal["bare", "first", "later", "away"]

KINDS: tuple[Kind, ...] = ("changed", "bench", "covered", "made", "flown", "told")
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
    covered: bool = False  # the press with the skin on that stands beside the bench in its file
    change: Change | None = None
    rounds: tuple[int, ...] = ()
    flights: tuple[Flight, ...] = ()
    photos: tuple[str, ...] = ()  # file names

    @property
    def pressed(self) -> tuple[str, ...]:
        """The paths of its rounds in the record."""
        return tuple(f"bench.{number}" for number in self.rounds) + (("covered",) if self.covered else ())

    @property
    def season(self) -> bool:
        """Whether these are flights of several days that have no words of their own."""
        return self.until is not None


class StateDays(Struct, frozen=True):
    """A kite from one change to the next: since when, what it is called, what covers it, and its days."""

    name: str
    since: str | None
    cover: Cover
    change: Change | None = None  # that began it
    days: tuple[Day, ...] = ()


class _DayEntry(Struct, frozen=True):
    """One thing that was done or told, before entries of one day are put together."""

    day: Day
    skin_on: bool = False  # whether it says that the kite is covered by then
    silent: bool = False  # a flight without words


def days_by_state(
    kite: Kite, story: Sequence[StoryPart], photos: Sequence[tuple[str, str | None]]
) -> tuple[StateDays, ...]:
    """The states of a kite with their days, oldest first; `photos` are file names with the days they are of.

    What has no day stays behind what comes before it in the making of a kite: bare rounds, the covering, the finished
    kite with the story that names no day, flights.
    """
    away, gone = _away(kite), _gone(kite)
    entries = in_order(_entries(kite, story, photos, gone), lambda entry: entry.day.on)
    states: list[StateDays] = []
    state, own, skins = _opening(kite), list[_DayEntry](), 1
    for entry in entries:
        change = entry.day.change
        if gone is not None and change is gone:
            states += _with_days(state, own)
            state, own = StateDays(away, change.on, "away", change), []
        elif (change and not change.of_stage_alone) or (entry.skin_on and state.cover == "bare"):
            states += _with_days(state, own)
            skins += change is not None and change.skin is not None
            state = _changed(change, skins) if change else _covered(kite)
            own = []
        own.append(entry)
    states += _with_days(state, own)
    if states and away and gone is None:
        states.append(StateDays(away, None, "away"))
    return tuple(states)


def _away(kite: Kite) -> str:
    """What the state of a kite is called that is flown no more; "" for one that is."""
    return f"With {kite.to}" if kite.stage == "given" and kite.to else GONE.get(kite.stage or "", "")


def _gone(kite: Kite) -> Change | None:
    """The change with which it went, where the file has its day."""
    moves = in_order([change for change in kite.changes if change.stage is not None], lambda change: change.on)
    return moves[-1] if moves and moves[-1].stage == kite.stage and kite.stage in GONE else None


def _with_days(state: StateDays, entries: Sequence[_DayEntry]) -> list[StateDays]:
    """The state with the days of these entries, since the first day known of them; none without entries."""
    since = state.since or next((entry.day.on for entry in entries if entry.day.on), None)
    return [StateDays(state.name, since, state.cover, state.change, _days(entries))] if entries else []


def _opening(kite: Kite) -> StateDays:
    """The first state: the bow alone where it was on the bench before the skin went on."""
    bare = any(not one.skin_on for one in kite.bench)
    return StateDays("The bow, bare", None, "bare") if bare else StateDays("The kite", None, "first")


def _covered(kite: Kite) -> StateDays:
    """The state that the first skin begins."""
    again = any(change.skin for change in kite.changes)
    return StateDays("First skin" if again else "The kite, covered", None, "first")


def _changed(change: Change, skins: int) -> StateDays:
    """The state that a change begins; `skins` is how many the kite had by then."""
    if change.skin:
        name = f"{ORDINALS[skins - 1]} skin" if skins <= len(ORDINALS) else "A new skin"
    elif change.bow:
        name = "A new bow"
    else:
        name = "Restrung" if change.span_m is not None else "Changed"
    return StateDays(name, change.on, "first" if skins == 1 else "later", change)


def _entries(
    kite: Kite, story: Sequence[StoryPart], photos: Sequence[tuple[str, str | None]], gone: Change | None
) -> list[_DayEntry]:
    """All that is told of a kite, in the order in which it is made; `gone` is the change with which it went."""
    entries = []
    for number, one in enumerate(kite.bench):
        kind: Kind = "covered" if one.skin_on else "bench"
        entries.append(_DayEntry(Day(kind, one.on, rounds=(number,)), one.skin_on))
    if kite.covered and (kite.covered.left or kite.covered.right):
        entries.append(_DayEntry(Day("covered", kite.covered.on, covered=True), True))
    undated = tuple(part for part in story if part.on is None)
    loose = tuple(file for file, on in photos if on is None)
    if kite.made or undated or loose:
        finished = Day("made" if kite.made else "told", kite.made, story=undated, made=bool(kite.made), photos=loose)
        entries.append(_DayEntry(finished, kite.made is not None))
    changes = [_DayEntry(Day("changed", one.on, change=one), not one.of_stage_alone) for one in kite.changes]
    last_flown = [  # a kite that was lost as it flew
        one for one in changes if one.day.change == gone and any(flight.on == one.day.on for flight in kite.flights)
    ]
    entries += [one for one in changes if one not in last_flown]
    entries += [_DayEntry(Day("told", part.on, story=(part,))) for part in story if part.on]
    entries += [_DayEntry(Day("told", on, photos=(file,))) for file, on in photos if on]
    told = {entry.day.on for entry in entries} | {flight.on for flight in kite.flights if flight.note}
    for flight in kite.flights:
        silent = not flight.note and (flight.on is None or flight.on not in told)
        entries.append(_DayEntry(Day("flown", flight.on, flights=(flight,)), True, silent))
    return entries + last_flown


def _days(entries: Sequence[_DayEntry]) -> tuple[Day, ...]:
    """The entries of one state, those of one day together, flights without words folded by year."""
    days: list[Day] = []
    for number, run in _runs(entries):
        days.append(_season(run) if number else _together(run))
    return tuple(days)


def _runs(entries: Sequence[_DayEntry]) -> list[tuple[bool, list[_DayEntry]]]:
    """Entries that make one day: of one date, or without words and of one year; whether they are the latter."""
    keys = []
    for number, entry in enumerate(entries):
        on = entry.day.on
        if entry.silent:
            keys.append(("silent", on[-4:] if on and on[:1].isalpha() else on[:4] if on else ""))
        elif entry.day.change and any(one.day.change and one.day.on == on for one in entries[:number]):
            keys.append(("told", f"change {number}"))
        else:
            keys.append(("told", on or f"{number}"))
    runs = []
    for (kind, _), group in groupby(zip(keys, entries, strict=True), lambda pair: pair[0]):
        runs.append((kind == "silent", [entry for _, entry in group]))
    return runs


def _together(run: Sequence[_DayEntry]) -> Day:
    """One day of all that was done on it."""
    days = [entry.day for entry in run]
    return Day(
        kind=next(kind for kind in KINDS if any(day.kind == kind for day in days)),
        on=days[0].on,
        story=tuple(part for day in days for part in day.story),
        made=any(day.made for day in days),
        covered=any(day.covered for day in days),
        change=next((day.change for day in days if day.change), None),
        rounds=tuple(number for day in days for number in day.rounds),
        flights=tuple(flight for day in days for flight in day.flights),
        photos=tuple(file for day in days for file in day.photos),
    )


def _season(run: Sequence[_DayEntry]) -> Day:
    """Flights without words as one; a single day of them stays a day."""
    day = _together(run)
    last = run[-1].day.on
    return Day("flown", day.on, last or day.on if len(run) > 1 and last != day.on else None, flights=day.flights)
