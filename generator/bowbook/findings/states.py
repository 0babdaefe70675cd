"""The states of a kite: from its record, what was measured and flown with which bow, skin and stringing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from itertools import pairwise

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.days import in_order, middle_of
from bowbook.book.records import Bow, Change, Covered, Flight, Kite, Press, Round, Side
from bowbook.book.sail import Sail

SIDES: tuple[Side, Side] = ("left", "right")


class State(Struct, frozen=True):
    """A kite from one change to the next.

    `kite` is the record as it is in this state: its bow and skin, the bare rounds of that bow up to the end of the
    state in the order of their days, the covered readings and the flights of this state alone. `told` is whether the
    bow has been read bare since it was last shaved or made new. `filed` leads from a path of that record to where the
    value stands in the file.
    """

    since: str | None
    what: tuple[str, ...]
    bow: str | None  # its name, where the kite has several
    kite: Kite
    told: bool
    filed: Mapping[str, str]
    bow_number: int = 0  # of the bows in a row that went by this name
    own: tuple[Entry, ...] = ()  # every round of this state alone
    bare: tuple[Entry, ...] = ()  # the rounds of `kite.bench`
    covered: tuple[Entry, ...] = ()  # every press with this skin on of the bow as it is shaved now


class Entry(Struct, frozen=True):
    """A round of the file with its place there, and when it was."""

    round: Round
    path: str
    moment: date


class _Era(Struct, frozen=True):
    """From one change of the file to the next: what the kite is made of, and which bow and skin in a row that is."""

    start: date
    since: str | None
    what: tuple[str, ...]
    bow: Bow
    kite: Kite  # with the skin and the mass of the time
    bow_number: int
    skin_number: int


def states_of(kite: Kite) -> tuple[State, ...]:
    """The states of a kite, newest last; those of its first bow, which it is known by, after those of the others."""
    main = None if kite.bow != Bow() or not kite.bows else next(iter(kite.bows))
    found: list[State] = []
    for name in (*(name for name in kite.bows if name != main), main):
        found += _of_one_bow(kite, name, main)
    return tuple(found)


def each_bow(kite: Kite) -> tuple[Kite, ...]:
    """The kite with each bow it ever had, every bare round of that bow in the order of their days."""
    last = {(state.bow, state.bow_number): state.kite for state in states_of(kite)}
    return tuple(last.values())


def newest(states: Sequence[State]) -> State:
    """The newest state whose bow can tell something: of the first bow if any can, else of another; else the newest."""
    last = states[-1]
    own = [state for state in states if state.bow == last.bow and state.told]
    return (own or [state for state in states if state.told] or [last])[-1]


def _of_one_bow(kite: Kite, name: str | None, main: str | None) -> list[State]:
    """The states of a kite with one of its bows."""

    def mine(bow: str | None) -> bool:
        return (main if bow is None else bow) == name

    eras = _eras(kite, name, main)
    rounds = [(f"bench.{i}", one) for i, one in enumerate(kite.bench) if mine(one.bow)]
    if kite.covered is not None and name == main:
        rounds.append(("covered", _as_round(kite.covered)))
    ordered = in_order(rounds, lambda entry: entry[1].on)
    moments = _moments([one.on for _, one in ordered])
    entries = [Entry(one, path, moment) for (path, one), moment in zip(ordered, moments, strict=True)]
    flights = [flight for flight in kite.flights if mine(flight.bow)]
    spans = _spans(eras, entries)
    if name != main and not entries and not flights:
        spans = spans[-1:]
    starts = [span.start for span in spans]
    by_span: list[list[Flight]] = [[] for _ in spans]
    for flight in flights:
        at = len(spans) - 1
        if flight.on is not None:
            day = middle_of(flight.on)
            while at > 0 and starts[at] > day:
                at -= 1
        by_span[at].append(flight)
    return [_state(span, spans[: i + 1], name, tuple(by_span[i])) for i, span in enumerate(spans)]


def _eras(kite: Kite, name: str | None, main: str | None) -> list[_Era]:
    """What the kite was made of with one bow, change by change. A new bow or stringing is its first bow's."""
    bow = kite.bow if name is None else kite.bows[name]
    first = replace(kite, about=_guesses_at_first(kite, name))
    eras = [_Era(date.min, kite.made, ("built",), bow, first, 0, 0)]
    for number, change in sorted(enumerate(kite.changes), key=lambda numbered: middle_of(numbered[1].on)):
        last = eras[-1]
        own = name == main
        if change.of_stage_alone:
            continue
        if not own and change.bow is not None and (change.skin, change.mass_kg, change.sail) == (None,) * 3:
            continue
        was = last.kite
        now = replace(
            was,
            sail=_sail_after(was.sail, change),
            mass_kg=was.mass_kg if change.mass_kg is None else change.mass_kg,
            about=_guesses_after(was.about, kite.about, change, f"changes.{number}.", own),
        )
        new_bow = change.bow if own else None
        eras.append(
            _Era(
                middle_of(change.on),
                change.on,
                _named(change, own),
                _bow_after(last.bow, change) if own else last.bow,
                now,
                last.bow_number + (new_bow is not None),
                last.skin_number + (change.skin is not None),
            )
        )
    return eras


def sail_as_of(kite: Kite, last: Change | None) -> Sail:
    """The sail of a kite once this change was made; as first built for None."""
    sail = kite.sail
    for change in sorted(kite.changes, key=lambda change: middle_of(change.on)) if last else ():
        sail = _sail_after(sail, change)
        if change is last:
            break
    return sail


def _sail_after(sail: Sail, change: Change) -> Sail:
    """The sail after a change: what is not named stays, but new colours come without the panels of before."""
    look = change.sail or Sail()
    drawn = look if look.decoration else sail
    return replace(
        sail,
        skin=change.skin or sail.skin,
        colours=look.colours or sail.colours,
        panels=look.panels or (None if look.colours else sail.panels),
        decoration=drawn.decoration,
        drawing=drawn.drawing,
    )


def _bow_after(bow: Bow, change: Change) -> Bow:
    """The bow after a change: a new one crosses the spine where the old one did, unless it says otherwise."""
    if change.bow is not None:
        new = change.bow
        bow = new if new.crosses_m is not None else replace(new, crosses_m=bow.crosses_m)
    return bow if change.span_m is None else replace(bow, span_m=change.span_m)


def _guesses_at_first(kite: Kite, name: str | None) -> tuple[str, ...]:
    """What is written as a guess of a kite as it was built with one of its bows, as paths of that state's record."""
    others = (path for path in kite.about if not path.startswith(("bow.", "bows.", "changes.")))
    return tuple(sorted((*others, *_of_bow(kite.about, "bow." if name is None else f"bows.{name}."))))


def _guesses_after(before: Sequence[str], filed: Sequence[str], change: Change, at: str, own: bool) -> tuple[str, ...]:
    """The guesses after a change: what it names anew is a guess if the change writes it as one.

    `before` are paths of the state's record, `filed` those of the file, `at` the change's own there.
    """
    found = set(before)
    if own and change.bow is not None:
        kept = {"bow.crosses"} if change.bow.crosses_m is None else set()
        found = {path for path in found if not path.startswith("bow.") or path in kept}
        found.update(_of_bow(filed, f"{at}bow."))
    for named, path, key in (
        (own and change.span_m is not None, "bow.span", "span"),
        (change.mass_kg is not None, "mass", "mass"),
    ):
        if named:
            found.discard(path)
            found.update({path} if f"{at}{key}" in filed else ())
    return tuple(sorted(found))


def _of_bow(filed: Sequence[str], prefix: str) -> tuple[str, ...]:
    """The guesses of one of the file's bows, as if it were the only one."""
    return tuple(f"bow.{path.removeprefix(prefix)}" for path in filed if path.startswith(prefix))


def _named(change: Change, own: bool) -> tuple[str, ...]:
    """What was changed, in short."""
    named = (
        ("new bow", change.bow is not None and own),
        ("new skin", change.skin is not None),
        ("restrung", change.span_m is not None and own),
    )
    return tuple(word for word, so in named if so) or ("changed",)


class _Span(Struct, frozen=True):
    """A state in the making: an era, or the part of one after a shave, with its rounds."""

    start: date
    since: str | None
    what: tuple[str, ...]
    era: _Era
    shaves: int  # that this bow had seen by then
    entries: tuple[Entry, ...]


def _spans(eras: Sequence[_Era], entries: Sequence[Entry]) -> list[_Span]:
    """The eras cut where the bow was shaved, each with its rounds."""
    found: list[_Span] = []
    shaves, left = 0, list(entries)
    for era, following in pairwise([*eras, None]):
        assert era is not None
        if found and era.bow_number != found[-1].era.bow_number:
            shaves = 0
        start, since, what = era.start, era.since, era.what
        inside: list[Entry] = []
        while left and (following is None or left[0].moment < following.start):
            entry = left.pop(0)
            inside.append(entry)
            if entry.round.shaves:
                found.append(_Span(start, since, what, era, shaves, tuple(inside)))
                shaves, inside = shaves + 1, []
                start = entry.moment if entry.round.on else start
                since, what = entry.round.on, ("shaved",)
        found.append(_Span(start, since, what, era, shaves, tuple(inside)))
    return found


def _state(span: _Span, so_far: Sequence[_Span], name: str | None, flights: tuple[Flight, ...]) -> State:
    era = span.era
    same_bow = [one for one in so_far if one.era.bow_number == era.bow_number]
    same_stiffness = [one for one in same_bow if one.shaves == span.shaves]
    same_skin = [one for one in same_stiffness if one.era.skin_number == era.skin_number]
    bare = [entry for one in same_bow for entry in one.entries if not entry.round.skin_on and _reads_bow(entry.round)]
    filed = {f"bench.{i}": entry.path for i, entry in enumerate(bare)}
    with_skin = tuple(entry for one in same_skin for entry in one.entries if entry.round.skin_on)
    covered, where = covered_of(with_skin)
    bench = [replace(entry.round, tips=None) for entry in bare]
    tips = next((entry for entry in reversed(span.entries) if entry.round.tips is not None), None)
    if tips is not None:
        bench = [*bench[:-1], replace(bench[-1], tips=tips.round.tips)] if bench else [Round(tips=tips.round.tips)]
        filed[f"bench.{len(bench) - 1}.tips"] = f"{tips.path}.tips"
    told = any(
        entry.round.left or entry.round.right or entry.round.whole
        for one in same_stiffness
        for entry in one.entries
        if not entry.round.skin_on
    )
    if name is not None:
        filed["bow"] = f"bows.{name}"
    kite = replace(era.kite, bow=era.bow, bench=tuple(bench), covered=covered, flights=flights)
    return State(
        span.since, span.what, name, kite, told, filed | where, era.bow_number, span.entries, tuple(bare), with_skin
    )


def _reads_bow(one: Round) -> bool:
    """Whether a round reads the bow, or is there to be filled in; a tips test alone does not."""
    return one.tips is None or bool(one.left or one.right or one.whole or one.shaves)


def covered_of(entries: Sequence[Entry]) -> tuple[Covered | None, dict[str, str]]:
    """The last covered reading of each half, and where they stand."""
    sides: dict[Side, Press] = {}
    where: dict[str, str] = {}
    on = None
    for entry in entries:
        for side, reading in (("left", entry.round.left), ("right", entry.round.right)):
            if isinstance(reading, Press):
                sides["left" if side == "left" else "right"] = reading
                where[f"covered.{side}"] = f"{entry.path}.{side}"
                on = entry.round.on
    return (Covered(sides.get("left"), sides.get("right"), on) if sides else None), where


def _as_round(covered: Covered) -> Round:
    return Round(covered.on, covered.left, covered.right, skin_on=True)


def _moments(days: Sequence[str | None]) -> list[date]:
    """When each of some things in their order was; one without a day with the next that has one, else the newest."""
    found: list[date] = []
    following = date.max
    for on in reversed(days):
        following = middle_of(on) if on else following
        found.append(following)
    found.reverse()
    latest = date.min
    for i, moment in enumerate(found):
        latest = max(latest, moment)
        found[i] = latest
    return found
