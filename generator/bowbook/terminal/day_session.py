"""The talk after a day at the field: one flyer and one wind, then kite by kite where each was liked best."""

from __future__ import annotations

from datetime import date

from bowbook.book.records import Book, Flight, Kite
from bowbook.book.suggest import nearest
from bowbook.book.units import unit_of
from bowbook.terminal.flight_session import Given, ask_flyer, ask_wind, known_height, note_of, wind_of, within
from bowbook.terminal.output import tell
from bowbook.terminal.prompts import ask


def ask_day(book: Book, given: Given) -> list[tuple[Kite, Flight]]:
    """A day's flights, asked for: who and what wind once, then each kite, until Enter alone. Raises LeftError."""
    units = book.settings.units
    flyer, wind = ask_flyer(book, given), ask_wind(book, given)
    height = known_height(book, given)
    flown: list[tuple[Kite, Flight]] = []
    while True:
        kite = ask("  Which kite (Enter alone when that was all)?", lambda text: _kite(text, book))
        if kite is None:
            return flown
        if any(kite.key == other.key for other, _ in flown):
            tell(f"{kite.name} is asked for again: it gets a second flight.", "  ")
        best = ask(
            f"    In which wind was {kite.name} best, such as 5-7 {unit_of('wind', units)}?",
            lambda text: within(wind_of(text, units), wind),
        )
        note = ask("    Anything to remember?", note_of)
        on = given.on or date.today().isoformat()
        flown.append((kite, Flight(on, flyer, wind, best, height, note=note)))


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
