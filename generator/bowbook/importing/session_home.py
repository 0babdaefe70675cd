"""A session brought home from the field: read, shown kite by kite, agreed to."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from bowbook.book.records import Book, Flight, Kite
from bowbook.book.suggest import nearest
from bowbook.format.session_file import LARGEST_BYTES, SessionError, read_session
from bowbook.importing.session_flights import day_of, found_kite, joined, kites_named
from bowbook.importing.session_words import counts, kite_lines
from bowbook.terminal.output import say, tell, visible
from bowbook.terminal.prompts import LeftError, ask, one_of
from bowbook.wording import numbers

Flown = list[tuple[Kite, Flight]]


def session_flights(source: str, book: Book, on: str | None, yes: bool) -> tuple[Flown, bool]:
    """The flights that a session, read from a file or from standard input ("-"), has for the book, shown and agreed to.

    The second value tells whether every tap found its kite. Raises SessionError; LeftError where the maker says no.
    """
    session = read_session(_bytes(source))
    day = on or day_of(session, date.today())
    asking = not yes and source != "-"
    means, whole = _resolved(kites_named(session), book, asking)
    found = joined(session, day, means, book.settings.height_m)
    say(f"{day}{f', {visible(session.place)}' if session.place else ''}: {counts(session)}.")
    for one in found:
        for line in kite_lines(one, book.settings):
            say(f"  {visible(line)}")
    fresh = [one for one in found if one.flights]
    if found and not fresh:
        say("Every tap of this session stands in its kite's file already: nothing to write.")
    if fresh and asking:
        _agree(sum(one.taps for one in fresh), len(fresh))
    return [(one.kite, flight) for one in fresh for flight in one.flights], whole


def _bytes(source: str) -> bytes:
    """What the file or standard input holds, no further than a session can reach."""
    if source == "-":
        return sys.stdin.buffer.read(LARGEST_BYTES + 1)
    try:
        with Path(source).open("rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as cannot:
        why = getattr(cannot, "strerror", None) or "that is no name of a file"
        raise SessionError(f"{visible(source)} cannot be read: {why}.") from None


def _resolved(named: dict[str, str], book: Book, asking: bool) -> tuple[dict[str, Kite], bool]:
    """Which kite each of the session's is, and whether all are known; one that is not is asked for, if it may ask."""
    means, whole = {}, True
    for key, name in named.items():
        kite = found_kite(key, name, book)
        if kite is None:
            near = nearest(key, book.kites, 3, 0.5) or nearest(name.casefold(), book.kites, 3, 0.5)
            kite = _asked(name, near, book) if asking else None
        if kite is not None:
            means[key] = kite
            continue
        whole = False
        like = f" Did you mean {' or '.join(near)}?" if near else ""
        tell(f"There is no kite {visible(name)} in this book.{like} Its taps are left out.", "! ", err=True)
    return means, whole


def _asked(name: str, near: list[str], book: Book) -> Kite | None:
    """The kite that the maker names in place of one that is not known; None for Enter alone."""

    def understand(answer: str) -> Kite | None:
        if not answer:
            return None
        if answer.casefold() in ("y", "yes") and len(near) == 1:
            return book.kites[near[0]]
        if answer not in book.kites:
            raise ValueError("There is no such kite. Write the name of its file, or Enter to leave its taps out.")
        return book.kites[answer]

    like = f": did you mean {' or '.join(near)}?" if near else "."
    return ask(f"There is no kite {name}{like} Which is it (Enter leaves its taps out)?", understand)


def _agree(taps: int, kites: int) -> None:
    """Ask before writing. Raises LeftError for a no."""
    question = f"Write {numbers.counted(taps, 'tap')} into {numbers.counted(kites, 'file')}? [yes]"
    if not ask(question, one_of({"": True, "yes": True, "no": False}, "yes or no")):
        raise LeftError
