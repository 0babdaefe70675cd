"""What a kite's page says of its days: dates, what was done, what a round or a flight showed."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from bowbook.book.days import short_month
from bowbook.book.records import Change, Flight, Press, Round, Shave, Side, Tips, Units
from bowbook.findings.bench_results import RoundBalance
from bowbook.wording import numbers
from bowbook.wording.balance import reads_stiffer

ORDINALS = ("First", "Second", "Third", "Fourth", "Fifth", "Sixth", "Seventh", "Eighth", "Ninth", "Tenth")


class Dated(Struct, frozen=True):
    """A day as it stands on the rail: "18 Feb" large, "2023" small, and what machines read."""

    strong: str
    rest: str
    machine: str


def dated(on: str) -> Dated:
    """A day in words; a vague one as far as it is known.

    >>> dated("2023-02-18"), dated("spring 2026").strong
    (Dated(strong='18 Feb', rest='2023', machine='2023-02-18'), 'Spring')
    """
    if on[:1].isalpha():
        season, year = on.split()
        return Dated(season.capitalize(), year, year)
    year, month, day = [*on.split("-"), "", ""][:3]
    if not month:
        return Dated(year, "", year)
    short = short_month(int(month))
    return Dated(f"{int(day)} {short}" if day else short, year, on)


def dated_in_a_line(on: str) -> str:
    """A day in words: "18 Feb 2023"."""
    said = dated(on)
    return f"{said.strong} {said.rest}".strip()


def round_title(number: int) -> str:
    """What a round is called, counted from 0."""
    return f"{ORDINALS[number]} round" if number < len(ORDINALS) else f"Round {number + 1}"


def round_judged(one: RoundBalance, coverage: float, tolerance: float, units: Units) -> str | None:
    """What a round showed of the halves; None where it cannot tell."""
    if one.difference is None or one.verdict is None:
        return None
    half_width = coverage * one.difference.spread
    far, give = numbers.shares(abs(one.difference.value), half_width, units)
    side: Side = "left" if one.difference.value > 0 else "right"
    sure = f", {give}" if give else ""
    if one.verdict == "even":
        return f"Even: {far} apart{sure}, where this book calls {numbers.share(tolerance, units)} even."
    if one.verdict == "too close to call":
        return f"Too close to call: {reads_stiffer(side, far)}{sure}."
    return f"The {side} half is {far} stiffer{sure}."


def pressed(one: Round, units: Units) -> str | None:
    """What was read in a round that is not judged, as it was read; None where nothing was pressed."""
    said = [
        f"{name} {numbers.listed([numbers.plain(v, 'force', units) for v in part.values_N])}"
        for name, part in (("left", one.left), ("right", one.right), ("whole bow", one.whole), ("both tips", one.tips))
        if isinstance(part, Press | Tips)
    ]
    return f"{numbers.capital('; '.join(said))}." if said else None


def what_changed(change: Change) -> str:
    """What a change was: "re-covered", "restrung", "a new bow", "given away"."""
    moved = {"given": "given away", "flying": "flying again"}.get(change.stage or "", change.stage or "")
    done = (("re-covered", change.skin), ("a new bow", change.bow), ("restrung", change.span_m), (moved, change.stage))
    return numbers.listed([word for word, there in done if there is not None]) or "changed"


def what_was_shaved(shaves: Sequence[Shave], units: Units) -> str | None:
    """What was taken off after a round; None where nothing was."""
    said = [_shaved(shave, units) for shave in shaves]
    return f"Then {numbers.listed(said, 'and then')}." if said else None


def _shaved(shave: Shave, units: Units) -> str:
    zone = shave.zone.label if shave.zone else ""
    where = f"the {shave.side} half" if zone in ("", "whole half") else f"the {shave.side} half’s {zone}"
    strokes = numbers.counted(shave.strokes, "stroke") if shave.strokes is not None else ""
    thick = numbers.thin(shave.taken_m, units) if shave.taken_m is not None else ""
    what = ", ".join(part for part in (strokes, thick) if part)
    return f"{what} off {where}" if what else f"a little off {where}"


def flown_by(flights: Sequence[Flight]) -> str:
    """Who flew: "flown by Ansa and Rook", "flown eleven times"."""
    names = list(dict.fromkeys(flight.flyer for flight in flights if flight.flyer))
    if names and len(flights) <= 2 * len(names):
        return f"flown by {numbers.listed(names)}"
    return "flown" if len(flights) == 1 else f"flown {numbers.count(len(flights))} times"


def marks_given(flight: Flight) -> str:
    """The marks a flyer gave: "Control 5 of 5, speed 3 of 5."; "" where none were given."""
    given = [(name, getattr(flight, name)) for name in ("control", "speed", "pull", "turn", "track")]
    said = ", ".join(f"{name} {mark} of 5" for name, mark in given if mark)
    return f"{numbers.capital(said)}." if said else ""


def flights_lead(flights: Sequence[Flight]) -> str:
    """How many flights by how many people, over the strip of a kite's years."""
    if not flights:
        return "Not flown yet, as far as this book says."
    people = {flight.flyer for flight in flights if flight.flyer}
    by = f" by {numbers.counted(len(people), 'person', 'people')}" if people else ""
    said = f"{numbers.capital(numbers.counted(len(flights), 'flight'))}{by}."
    if not any(flight.on and flight.best for flight in flights):
        return said
    return f"{said} Each stands over the ground line, from the least wind that was liked to the most."
