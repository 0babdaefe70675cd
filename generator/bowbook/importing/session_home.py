"""A session brought home from the field: read, shown kite by kite, agreed to."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from msgspec.structs import replace

from bowbook.book.days import DayError, parse_day
from bowbook.book.records import Book, Kite, Units
from bowbook.book.suggest import nearest
from bowbook.format.kite_file import read_flights
from bowbook.format.read_book import KITES
from bowbook.format.session_file import LARGEST_BYTES, TOO_LARGE, SessionError, read_session
from bowbook.format.source_file import LARGEST_BYTES as LARGEST_FILE
from bowbook.importing.session_changes import KiteTaps, changes_of, edits_held, of_session
from bowbook.importing.session_flights import day_of, flights_from_taps, found_kite, kites_named
from bowbook.importing.session_words import counts, said_of_kite
from bowbook.storage.regular import TooLargeError, read_plain
from bowbook.terminal.output import say, tell, visible
from bowbook.terminal.prompts import LeftError, ask, one_of
from bowbook.wording import numbers


def session_changes(
    source: str, root: Path, book: Book, on: str | None, yes: bool
) -> tuple[Units, list[KiteTaps], bool]:
    """What a session, read from a file or from standard input ("-"), has for the book's kites, shown and agreed to.

    First the units in which it is to be written, those of the phone; the last value tells whether every tap found its
    kite. Raises SessionError; LeftError where the maker says no.
    """
    session = read_session(_bytes(source))
    day = _said_day(on) if on else day_of(session, date.today())
    asking = not yes and source != "-"
    means, whole = _resolved(kites_named(session), book, asking)
    files = {key: read_plain(root / kite.file, LARGEST_FILE) for key, kite in book.kites.items()}
    held = {
        key: of_session(read_flights(data, book.kites[key].file, book.settings.units), session.id)
        for key, data in files.items()
        if session.id.encode() in data
    }
    before = max(map(edits_held, held.values()), default=0)
    if session.edits < before:
        raise SessionError("The book holds this session as it was handed over later, so this older one is left.")
    now = flights_from_taps(session, day, means, book.settings.height_m)
    found = [
        KiteTaps(
            book.kites[key],
            now.get(key, ()),
            changes_of(now.get(key, ()), held.get(key, ()), session.edits, before),
            files[key],
        )
        for key in dict.fromkeys((*now, *(held if whole else ())))  # a tap left out is not one that was taken out
    ]
    say(f"{day}{f', {visible(session.place)}' if session.place else ''}: {counts(session)}.")
    units = replace(book.settings.units, wind=session.unit)
    for one in found:
        for line in said_of_kite(one, book.settings, units):
            say(f"  {visible(line)}")
    changed = [one for one in found if one.changes]
    if found and not changed:
        say("Every tap of this session stands in its kite's file already: nothing to write.")
    if changed and asking:
        _agree(changed)
    return units, changed, whole


def _said_day(on: str) -> str:
    try:
        return parse_day(on)
    except DayError as wrong:
        raise SessionError(f"--on: {wrong}") from None


def _bytes(source: str) -> bytes:
    """What the file or standard input holds, no further than a session can reach."""
    if source == "-":
        return sys.stdin.buffer.read(LARGEST_BYTES + 1)
    try:
        return read_plain(source, LARGEST_BYTES)
    except TooLargeError:
        raise SessionError(TOO_LARGE) from None
    except (OSError, ValueError) as cannot:
        why = getattr(cannot, "strerror", None) or "that is no name of a file"
        raise SessionError(f"{visible(source)} cannot be read: {why}.") from None


def _resolved(named: dict[str, str], book: Book, asking: bool) -> tuple[dict[str, Kite], bool]:
    """Which kite each of the session's is, and whether all are known; one that is not is asked for where `asking`."""
    means, whole = {}, True
    for key, name in named.items():
        kite = found_kite(key, name, book)
        if kite is None and any(problem.location.file == f"{KITES}/{key}.md" for problem in book.problems):
            whole = False
            tell(f"The file of {visible(name)} has problems: bowbook check. Its taps are left out.", "! ", err=True)
            continue
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


def _agree(changed: list[KiteTaps]) -> None:
    """Ask before writing. Raises LeftError for a no."""
    flights = numbers.counted(sum(len(one.changes) for one in changed), "flight")
    question = f"Write {flights} into {numbers.counted(len(changed), 'file')}? [yes]"
    if not ask(question, one_of({"": True, "yes": True, "no": False}, "yes or no")):
        raise LeftError
