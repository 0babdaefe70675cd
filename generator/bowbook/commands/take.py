"""`bowbook take`: old records from a table of rows into kite files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import book_option, open_book
from bowbook.terminal.output import say, say_table, tell

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite
    from bowbook.importing.old_kites import Taken
    from bowbook.importing.old_records import OldTable


@click.command("take")
@click.argument("table", type=click.Path(path_type=Path, exists=True), metavar="FILE.csv")
@click.option("--look", is_flag=True, help="Only say what was understood; write nothing.")
@book_option
def command(table: Path, look: bool, book: Path) -> None:
    """Take old records over: every kite in FILE.csv becomes a kite file. It never overwrites.

    One row per kite, or per reading, or per flight: rows of one name are one kite. Headings and units are
    recognised ("Left (g)", "best wind mph"); what is not understood is kept as words in the kite's story.

    \b
    Example:
      bowbook take old-notebook.csv --look
      bowbook take old-notebook.csv
    """
    from bowbook.importing.old_kites import take_over
    from bowbook.importing.old_records import LARGEST_BYTES, TableError, read_table
    from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain

    read = open_book(book)
    try:
        found = read_table(read_plain(table, LARGEST_BYTES))
    except TooLargeError:
        tell(f"The file is larger than {LARGEST_BYTES // 10**6} MB: take over a part at a time.", err=True)
        sys.exit(1)
    except NotPlainError as wrong:
        tell(f"{table}: {wrong.strerror}. Name a table of rows.", err=True)
        sys.exit(1)
    except TableError as wrong:
        tell(str(wrong), err=True)
        sys.exit(1)
    taken = take_over(found, read)
    _say_understood(found, read)
    for number, sentence in taken.said:
        tell(f"row {number}: {sentence}", "- ")
    if look:
        say(f"{len(taken.kites)} kites found. Nothing was written.")
        return
    if not _write(book, read, taken):
        sys.exit(1)


def _say_understood(table: OldTable, book: Book) -> None:
    """What every column was taken for."""
    from bowbook.importing.old_kites import unit_said

    rows = [
        (c.heading, c.field.replace(".", " ") if c.field else "not known: kept as words", unit_said(c, book))
        for c in table.columns
    ]
    say_table(("column", "understood as", "unit"), rows)
    say()


def _write(root: Path, book: Book, taken: Taken) -> bool:
    """Write the kites that are new and sound; whether every one was."""
    from bowbook.format.read_book import read_kite
    from bowbook.format.write_kite import kite_text
    from bowbook.storage.lock import book_lock
    from bowbook.terminal.starter import AlreadyThereError, new_kite, room_for

    written, sound = 0, True
    for key, kite in taken.kites.items():
        text = kite_text(kite, book.settings.units)
        checked = read_kite(text.encode(), f"content/kites/{key}.md", book.settings.units)
        if checked.kite is None:
            sound = False
            _say_unsound(kite, checked.problems[0].message if checked.problems else "it cannot be read back")
            continue
        try:
            with book_lock(root):
                room_for(root, key)
                new_kite(root, key, text)
        except AlreadyThereError as there:
            sound = False
            tell(f"{there} is there already and was left as it is.", "- ")
            continue
        written += 1
    say(f"{written} of {len(taken.kites)} kites written to content/kites. Next: bowbook check")
    return sound


def _say_unsound(kite: Kite, what: str) -> None:
    tell(f"{kite.name} was left out: {what}. Correct its row and take the table again.", "- ")
