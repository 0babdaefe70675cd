"""`bowbook change`: write down what was changed on a kite, or where it went."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click
from msgspec.structs import replace

from bowbook.book.records import AWAY, STAGES
from bowbook.commands.common import book_option, kite_argument, kite_of, open_book, write_all
from bowbook.terminal.output import tell

if TYPE_CHECKING:
    from bowbook.book.records import Kite
    from bowbook.format.edit import FileEdit


@click.command("change")
@kite_argument
@click.option("--skin", help="The new skin, a key of skins.yaml.")
@click.option("--bow", help='The new bow: a rod of rods.yaml, with its length ("glass-2, 640 mm"); or a loose strip.')
@click.option("--span", help='Tip to tip, strung anew: "590 mm".')
@click.option("--colours", help='Its new colours, one or two: "#2a4b8d, #e8e2d0".')
@click.option("--panels", help='How its pieces lie, and their colours: "quarters: #1b2b4b, #e3b93a".')
@click.option("--decoration", help="The drawing on it, an .svg file in the kite's own folder.")
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
    colours: str | None,
    panels: str | None,
    decoration: str | None,
    stage: str | None,
    to: str | None,
    note: str | None,
    on: str | None,
    book: Path,
) -> None:
    """Write a change of KITE into its file: a new skin, a new bow, another stringing, another look; or its stage.

    What it was stays in the file, and old readings and flights stay with what they were measured and flown with.
    The day a kite was given, lost, or put to rest is kept too, and the strip of its years shows it.
    Without options it asks what was changed.

    \b
    Examples:
      bowbook change dunlin --span "590 mm" --note "strung tighter"
      bowbook change dunlin --bow first
      bowbook change dunlin --skin tissue-18 --colours "#2a4b8d, #e8e2d0"
      bowbook change dunlin --to "a friend in the club"
    """
    from bowbook.format.edit import value
    from bowbook.format.source_file import LARGEST_BYTES
    from bowbook.storage.regular import read_plain
    from bowbook.terminal.change_session import ask_change, entry_of

    read = open_book(book)
    of = kite_of(read, kite)
    seen = read_plain(book / of.file, LARGEST_BYTES)
    look = {"colours": colours, "panels": panels, "decoration": decoration}
    given = {"skin": skin, "bow": bow, "span": span, "stage": stage, "to": to, "note": note, **look}
    try:
        if not any(given.values()):
            given = ask_change(of)
        day, entry = entry_of(given, on or date.today().isoformat(), read, of)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    moved = given["stage"] or ("given" if given["to"] else None)
    if moved and moved != of.stage and AWAY & {moved, of.stage} and "strip" not in entry.get("bow", {}):
        entry = {"stage": moved, **entry}  # when it went, or came back, is a day of its life
    edits = _edits(book, of, day, entry, seen)
    changes = list(edits[0].changes)
    if moved and moved != of.stage:
        changes.append(value("stage", moved))
    if given["to"]:
        changes.append(value("to", given["to"]))
    if not changes:
        tell("Nothing was changed, so nothing is written.")
        return
    kept = write_all([replace(edits[0], changes=tuple(changes)), *edits[1:]], read.settings.units)
    tell(f"The change is written in {of.file}. The file as it was: {kept[0]}", fg="green")
    _say_what_follows(of, entry, moved)


def _edits(root: Path, kite: Kite, day: str, entry: dict[str, Any], seen: bytes) -> list[FileEdit]:
    """What to write of a change: into the kite's file first, then into the stock that a loose strip leaves."""
    from bowbook.format.edit import FileEdit, item
    from bowbook.terminal import strip_bow

    file, name = root / kite.file, entry.get("bow", {}).get("strip")
    if name is None:
        return [FileEdit(file, (item("changes", {"on": day, **entry}),) if entry else (), seen)]
    strip = strip_bow.strip_named(root, name)
    sizes = strip.sizes | {key: text for key, text in entry["bow"].items() if key != "strip"}
    stock = strip_bow.out_of_stock(root, strip)
    rest = {key: value for key, value in entry.items() if key != "bow"}
    if strip_bow.is_first_bow(kite) and not rest:
        changes = strip_bow.as_first_bow(strip, sizes)
    else:
        changes = [item("changes", {"on": day, "bow": sizes, **rest}), *strip_bow.as_later_bow(strip, day)]
    return [FileEdit(file, (*changes, *strip_bow.moved_on(kite, strip)), seen), stock]


def _say_what_follows(of: Kite, entry: dict[str, Any], moved: str | None) -> None:
    """What the change means for the figures."""
    if "strip" in entry.get("bow", {}):
        tell(
            f"The loose strip {entry['bow']['strip']} is its bow now; its rounds came along, and it has left the stock."
        )
    elif "bow" in entry:
        tell(f"The new bow has not been read yet: bowbook bench {of.key}")
    elif "skin" in entry:
        tell(f"What the new skin adds has not been read yet: bowbook bench {of.key} --covered")
    if moved in AWAY:
        tell(f"{of.name} stays in the catalogue and in what this book has learnt; no wind offers it now.")
