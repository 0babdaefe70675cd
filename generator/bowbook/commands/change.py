"""`bowbook change`: write down what was changed on a kite, or where it went."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.book.records import AWAY, STAGES
from bowbook.commands.common import book_option, kite_argument, kite_of, open_book, write_into
from bowbook.terminal.output import tell

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite


@click.command("change")
@kite_argument
@click.option("--skin", help="The new skin, a key of skins.yaml.")
@click.option("--bow", help='The new bow: a rod of rods.yaml, with its length where it is another: "glass-2, 640 mm".')
@click.option("--span", help='Tip to tip, strung anew: "590 mm".')
@click.option("--stage", type=click.Choice(STAGES), help="How far along it is, or where it went.")
@click.option("--to", help="Who has it now: its stage is then given.")
@click.option("--note", help="What was done, or anything to remember.")
@click.option("--on", help="Day of the change. Default: today.")
@book_option
def command(
    kite: str,
    skin: str | None,
    bow: str | None,
    span: str | None,
    stage: str | None,
    to: str | None,
    note: str | None,
    on: str | None,
    book: Path,
) -> None:
    """Write a change of KITE into its file: a new skin, a new bow, another stringing; or its stage.

    What it was stays in the file, and old readings and flights stay with what they were measured and flown with.
    Without options it asks what was changed.

    \b
    Examples:
      bowbook change dunlin --span "590 mm" --note "strung tighter"
      bowbook change dunlin --to "a friend in the club"
    """
    from bowbook.format.edit import TextChange, edit_file, item, value
    from bowbook.terminal.change_session import ask_change, entry_of
    from bowbook.terminal.prompts import LeftError

    read = open_book(book)
    of = kite_of(read, kite)
    seen = (book / of.file).read_bytes()
    given = {"skin": skin, "bow": bow, "span": span, "stage": stage, "to": to, "note": note}
    try:
        if not any(given.values()):
            given = ask_change(of)
        day, entry = entry_of(given, on or date.today().isoformat(), read)
    except LeftError:
        tell("Nothing was written.")
        sys.exit(1)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    changes: list[TextChange] = [item("changes", {"on": day, **entry})] if entry else []
    moved = given["stage"] or ("given" if given["to"] else None)
    if moved and moved != of.stage:
        changes.append(value("stage", moved))
    if given["to"]:
        changes.append(value("to", given["to"]))
    if not changes:
        tell("Nothing was changed, so nothing is written.")
        return
    kept = write_into(lambda path: edit_file(path, changes, seen, read.settings.units), book / of.file)
    tell(f"The change is written in {of.file}. The file as it was: {kept}", fg="green")
    _say_what_follows(of, read, entry, moved)


def _say_what_follows(of: Kite, book: Book, entry: dict[str, object], moved: str | None) -> None:
    """What the change means for the figures."""
    if "bow" in entry:
        tell(f"The new bow has not been read yet: bowbook bench {of.key}")
    elif "skin" in entry:
        tell(f"What the new skin adds has not been read yet: bowbook bench {of.key} --covered")
    if moved in AWAY:
        tell(f"{of.name} stays in the catalogue and in what {book.settings.title} has learnt; no wind offers it now.")
