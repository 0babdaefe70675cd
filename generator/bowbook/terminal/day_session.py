"""The questions after a day at the field: one flyer and one wind, then kite by kite where each was liked best."""

from __future__ import annotations

from msgspec.structs import replace

from bowbook.book.records import Book, Kite
from bowbook.book.suggest import nearest
from bowbook.book.units import unit_of
from bowbook.terminal.flight_session import (
    FlightAnswers,
    as_typed,
    ask_flyer,
    ask_wind,
    best_within_wind,
    note_of,
    typed_flight,
    understand_flight,
    wind_of,
)
from bowbook.terminal.output import tell
from bowbook.terminal.prompts import ask, one_of


def ask_flights_of_day(book: Book, given: FlightAnswers) -> list[tuple[Kite, dict[str, object]]]:
    """A day's flights as they are typed: who and what wind once, then each kite, until Enter alone.

    Raises LeftError where the maker leaves, ValueError where what was given cannot be.
    """
    units = book.settings.units
    understand_flight(given, book)
    flyer, typed_wind = ask_flyer(book, given), ask_wind(book, given)
    wind = wind_of(typed_wind or "", units)
    flown: list[tuple[Kite, dict[str, object]]] = []
    while True:
        kite = ask("  Which kite (Enter alone when that was all)?", lambda text: _kite(text, book))
        if kite is None:
            return flown
        if any(kite.key == other.key for other, _ in flown):
            tell(f"{kite.name} is asked for again: it gets a second flight.", "  ")
        bow = _bow(kite, given)
        best = ask(
            f"    In which wind was {kite.name} best, such as 5-7 {unit_of('wind', units)}?",
            as_typed(lambda text: best_within_wind(wind_of(text, units), wind)),
        )
        note = ask("    Anything to remember?", note_of)
        one = replace(given, flyer=flyer, wind=typed_wind, best=best or None, note=note, bow=bow)
        flown.append((kite, typed_flight(understand_flight(one, book), one, units)))


def _bow(kite: Kite, given: FlightAnswers) -> str | None:
    """Which of its bows was in a kite that has several; as given where it has that one."""
    if not kite.bows:
        return None
    if given.bow in kite.bows:
        return given.bow
    return ask(
        f"    Which bow, {' or '.join(kite.bows)} (Enter: not noted)?",
        one_of({**{b: b for b in kite.bows}, "": None}, " or ".join(kite.bows)),
    )


def _kite(text: str, book: Book) -> Kite | None:
    """The kite of this file name or name; None for nothing. Raises ValueError with those that are near."""
    if not text:
        return None
    if text in book.kites:
        return book.kites[text]
    same = [kite for kite in book.kites.values() if text.casefold() in (kite.key.casefold(), kite.name.casefold())]
    if len(same) == 1:
        return same[0]
    near = nearest(text, book.kites, 3, 0.5)
    like = f" Did you mean {' or '.join(near)}?" if near else " Write the name of its file."
    raise ValueError(f"There is no kite {text[:60]} in this book.{like}")
