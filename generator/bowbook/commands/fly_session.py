"""A session brought home from the field: what it will write, kite by kite, then written."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from bowbook.commands.common import open_book, write_into
from bowbook.terminal.output import say, tell, visible

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite
    from bowbook.format.session_file import Session
    from bowbook.importing.session_flights import KiteTaps


def take_session(source: str, root: Path, on: str | None, yes: bool) -> None:
    """Read a session from a file or from standard input ("-"), show it, ask, write it."""
    from bowbook.format.session_file import SessionError, read_session
    from bowbook.importing.session_flights import day_of, joined, kites_named

    book = open_book(root)
    try:
        session = read_session(_bytes(source))
        day = on or day_of(session, date.today())
        asking = not yes and source != "-"
        means, left_out = _resolved(kites_named(session), book, asking)
        found = joined(session, day, means, book.settings.height_m)
    except SessionError as wrong:
        tell(f"{wrong} Nothing was written.", err=True)
        sys.exit(1)
    _show(session, day, found, book)
    fresh = [one for one in found if one.flights]
    if not fresh:
        say("Every tap of this session stands in its kite's file already: nothing to write." if found else "")
        sys.exit(1 if left_out else 0)
    if asking and not _agreed(sum(one.taps for one in fresh), len(fresh)):
        tell("Nothing was written.")
        sys.exit(1)
    _write(fresh, root, book)
    if left_out:
        sys.exit(1)


def _bytes(source: str) -> bytes:
    """What the file or standard input holds, no further than a session can reach."""
    from bowbook.format.session_file import LARGEST_BYTES, SessionError

    if source == "-":
        return sys.stdin.buffer.read(LARGEST_BYTES + 1)
    try:
        with Path(source).open("rb") as file:
            return file.read(LARGEST_BYTES + 1)
    except (OSError, ValueError) as cannot:
        why = getattr(cannot, "strerror", None) or "that is no name of a file"
        raise SessionError(f"{visible(source)} cannot be read: {why}.") from None


def _resolved(named: dict[str, str], book: Book, asking: bool) -> tuple[dict[str, Kite], list[str]]:
    """Which kite each of the session's is, and those left out: one that is not known is asked for, where it may ask."""
    from bowbook.book.suggest import nearest
    from bowbook.importing.session_flights import found_kite

    means, left_out = {}, []
    for key, name in named.items():
        kite = found_kite(key, name, book)
        if kite is None:
            near = nearest(key, book.kites, 3, 0.5) or nearest(name.casefold(), book.kites, 3, 0.5)
            kite = _asked(name, near, book) if asking else None
        if kite is not None:
            means[key] = kite
            continue
        left_out.append(name)
        like = f" Did you mean {' or '.join(near)}?" if near else ""
        tell(f"There is no kite {visible(name)} in this book.{like} Its taps are left out.", "! ", err=True)
    return means, left_out


def _asked(name: str, near: list[str], book: Book) -> Kite | None:
    """The kite that the maker names in place of one that is not known; None for Enter alone."""
    from bowbook.terminal.prompts import LeftError, ask

    def understand(answer: str) -> Kite | None:
        if not answer:
            return None
        if answer.casefold() in ("y", "yes") and len(near) == 1:
            return book.kites[near[0]]
        if answer not in book.kites:
            raise ValueError("There is no such kite. Write the name of its file, or Enter to leave its taps out.")
        return book.kites[answer]

    like = f": did you mean {' or '.join(near)}?" if near else "."
    try:
        return ask(f"There is no kite {name}{like} Which is it (Enter leaves its taps out)?", understand)
    except LeftError:
        tell("Nothing was written.")
        sys.exit(1)


def _show(session: Session, day: str, found: tuple[KiteTaps, ...], book: Book) -> None:
    """The session, kite by kite, and its count to compare with the phone's."""
    from bowbook.importing.session_words import counts, kite_lines

    say(f"{day}{f', {visible(session.place)}' if session.place else ''}: {counts(session)}.")
    for one in found:
        for line in kite_lines(one, book.settings):
            say(f"  {visible(line)}")


def _agreed(taps: int, kites: int) -> bool:
    from bowbook.terminal.prompts import LeftError, ask, one_of
    from bowbook.wording.numbers import counted

    choices = {"": True, "yes": True, "no": False}
    try:
        question = f"Write {counted(taps, 'tap')} into {counted(kites, 'file')}? [yes]"
        return ask(question, one_of(choices, "yes or no"))
    except LeftError:
        return False


def _write(fresh: list[KiteTaps], root: Path, book: Book) -> None:
    """Write every kite's flights into its file."""
    from bowbook.format.edit import append_flight
    from bowbook.format.write_kite import flight_entry

    units = book.settings.units
    for one in fresh:
        path = root / one.kite.file
        for flight in one.flights:
            entry = flight_entry(flight, units)
            write_into(lambda file, entry=entry: append_flight(file, entry, None, units), path)  # type: ignore[misc]
        tell(f"{one.kite.file}: {one.taps} {'tap' if one.taps == 1 else 'taps'} written.", fg="green")
