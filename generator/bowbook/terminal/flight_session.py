"""The questions after a flight: who, what wind, where it was liked best."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import TypeVar

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.as_typed import with_unit
from bowbook.book.days import parse_day
from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Book, Flight, Units, Wind
from bowbook.book.units import unit_of
from bowbook.book.written_winds import parse_wind
from bowbook.format.checks import edges
from bowbook.terminal.prompts import ask, whole_number

STRONGEST_M_S = 45.0
T = TypeVar("T")


class FlightAnswers(Struct, frozen=True):
    """What was said about the flight beforehand, as it was written; None where nothing was."""

    on: str | None = None
    flyer: str | None = None
    wind: str | None = None
    best: str | None = None
    height: str | None = None
    control: int | None = None
    speed: int | None = None
    note: str | None = None
    private: bool = False
    bow: str | None = None
    line: str | None = None
    place: str | None = None
    gusts: str | None = None
    pull: int | None = None
    turn: int | None = None
    track: int | None = None


def understand_flight(given: FlightAnswers, book: Book) -> Flight:
    """The flight as a record. Raises ValueError, with a sentence that names the thing, for what cannot be."""
    units = book.settings.units
    wind = _named("wind", given.wind, lambda text: wind_of(text, units))
    best = _named("best", given.best, lambda text: wind_of(text, units))
    return Flight(
        on=_named("on", given.on, parse_day) or date.today().isoformat(),
        flyer=_named("flyer", given.flyer, flyer_of) or book.settings.flyer,
        wind=wind,
        best=_named("best", given.best, lambda _: best_within_wind(best, wind)),
        height_m=_named("height", given.height, lambda text: height_of(text, units)),
        control=given.control,
        speed=given.speed,
        note=_named("note", given.note, note_of),
        bow=given.bow,
        line_m=_named("line", given.line, lambda text: line_of(text, units)),
        place=_named("place", given.place, note_of),
        gusts=_named("gusts", given.gusts, lambda text: wind_of(text, units)),
        pull=given.pull,
        turn=given.turn,
        track=given.track,
    )


def ask_flight(book: Book, given: FlightAnswers) -> FlightAnswers:
    """The flight as it is typed, asked for thing by thing; what was given beforehand is not asked."""
    units = book.settings.units
    flyer = ask_flyer(book, given)
    understand_flight(given, book)
    unit = unit_of("wind", units)
    wind = ask_wind(book, given)
    blew = wind_of(wind or "", units)
    best = ask(
        f"  In which wind was it best{f' for {flyer}' if flyer else ''}, such as 5-7 {unit}, or to 6 {unit}?",
        as_typed(lambda text: best_within_wind(wind_of(text, units), blew)),
    )
    control = given.control or ask("  Control, 1 to 5?", whole_number(1, 5, "control"))
    speed = given.speed or ask("  Speed, 1 to 5?", whole_number(1, 5, "speed"))
    note = given.note or ask("  Anything to remember?", note_of)
    return replace(given, flyer=flyer, wind=wind, best=best or None, control=control, speed=speed, note=note)


def typed_flight(flight: Flight, given: FlightAnswers, units: Units) -> dict[str, object]:
    """The flight as a maker writes it, winds and sizes in the unit in which they were typed."""
    pairs: dict[str, object] = {
        "on": flight.on,
        "flyer": flight.flyer,
        "wind": with_unit(given.wind, "wind", units) if given.wind else None,
        "best": with_unit(given.best, "wind", units) if given.best else None,
        "gusts": with_unit(given.gusts, "wind", units) if given.gusts else None,
        "height": with_unit(given.height, "length", units) if given.height else None,
        "control": flight.control,
        "speed": flight.speed,
        "pull": flight.pull,
        "turn": flight.turn,
        "track": flight.track,
        "bow": flight.bow,
        "line": with_unit(given.line, "length", units) if given.line else None,
        "place": flight.place,
        "note": flight.note,
        "private": "true" if given.private else None,
    }
    return {key: value for key, value in pairs.items() if value is not None}


def as_typed(understand: Callable[[str], object]) -> Callable[[str], str]:
    """An `understand` that gives the answer itself where the other accepts it."""

    def accept(answer: str) -> str:
        understand(answer)
        return answer

    return accept


def line_of(text: str, units: Units) -> float:
    """A length of line, m. Raises ValueError."""
    line_m = parse_quantity(text, "length", units)
    if not 0.5 <= line_m <= 2000:
        raise ValueError("A line is between 0.5 m and 2000 m long.")
    return line_m


def ask_flyer(book: Book, given: FlightAnswers) -> str | None:
    """Who flew: as given, else asked; Enter alone is the book's own flyer, or the only one it knows."""
    known = sorted({f.flyer for kite in book.kites.values() for f in kite.flights if f.flyer} - {"Example"})
    default = book.settings.flyer or (known[0] if len(known) == 1 else None)
    return given.flyer or ask(f"  Who flew?{f' [{default}]' if default else ''}", flyer_of) or default


def ask_wind(book: Book, given: FlightAnswers) -> str | None:
    """What wind blew, as it is typed: as given, else asked."""
    units = book.settings.units
    question = f"  What wind blew, weakest to strongest, such as 4-9 {unit_of('wind', units)}?"
    return given.wind or ask(question, as_typed(lambda text: wind_of(text, units))) or None


def wind_of(text: str, units: Units) -> Wind | None:
    """A wind as a maker writes it; None for nothing. Raises ValueError."""
    if not text:
        return None
    found = parse_wind(text, units)
    if not all(0 <= edge <= STRONGEST_M_S for edge in (found.low_m_s, found.high_m_s) if edge is not None):
        raise ValueError("That is no wind to fly in. Write the weakest and the strongest, such as 4-9 mph.")
    return found


def best_within_wind(best: Wind | None, wind: Wind | None) -> Wind | None:
    """The best wind, where it is among those that blew. Raises ValueError."""
    if best and wind and best.at_10m == wind.at_10m and not _overlap(best, wind):
        raise ValueError("The best wind is none of those that blew. Write it again, or correct what blew.")
    return best


def _overlap(a: Wind, b: Wind) -> bool:
    (a_low, a_high), (b_low, b_high) = edges(a), edges(b)
    return a_low <= b_high * 1.0001 and b_low <= a_high * 1.0001


def flyer_of(text: str) -> str | None:
    """A flyer's name; None for nothing. Raises ValueError."""
    if len(text) > 80 or not text.isprintable():
        raise ValueError("Write initials or a name of at most 80 letters.")
    return text or None


def note_of(text: str) -> str | None:
    """A note; None for nothing. Raises ValueError."""
    if len(text) > 5000 or not text.isprintable():
        raise ValueError("Write at most 5000 letters on one line.")
    return text or None


def height_of(text: str, units: Units) -> float:
    """A height of the wind meter, m. Raises ValueError."""
    height_m = parse_quantity(text, "length", units)
    if not 0.1 <= height_m <= 200:
        raise ValueError("A wind meter is held between 0.1 m and 200 m above the ground.")
    return height_m


def _named(name: str, text: str | None, understand: Callable[[str], T]) -> T | None:
    """What `understand` makes of an option's text; its ValueError names the option."""
    if text is None:
        return None
    try:
        return understand(text)
    except ValueError as wrong:
        raise ValueError(f"--{name}: {wrong}") from None
