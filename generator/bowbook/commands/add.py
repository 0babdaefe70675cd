"""`bowbook add`: a new kite, from nothing or after another."""

from __future__ import annotations

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec.structs import replace

from bowbook.commands.common import book_option, kite_of, open_book, print_problems
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain
from bowbook.terminal.output import say, tell, visible

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite
    from bowbook.importing.friend_stock import NewStock


@click.command("add")
@click.argument("name")
@click.option("--from", "source", metavar="FILE|KITE", help="A kite of this book, or a file a friend gave you.")
@click.option("--maker", help="Who made the kite it is built after; kept in the new file, and shown on its page.")
@click.option("--copies", type=int, metavar="N", help="Add a batch of N kites, with numbers in their names.")
@book_option
def command(name: str, source: str | None, maker: str | None, copies: int | None, book: Path) -> None:
    """Add a kite called NAME: a file of its own in content/kites, ready to be filled in.

    With --from it takes over sail, bow, spine and bridle of another kite, without its flights and photos, and
    credits that kite under `after`, with those it came from. What its bow read last becomes the new one's target.
    Rods and skins that a friend's file brings along come into your stock where you have not got them. It never
    overwrites.

    \b
    Examples:
      bowbook add Turnstone
      bowbook add "Turnstone II" --from turnstone
      bowbook add Sanderling --from ~/kite.md --maker "A friend"
      bowbook add Plover --copies 5 --from turnstone
    """
    from bowbook.format.folder import key_for
    from bowbook.importing.friend_stock import brought
    from bowbook.storage.lock import book_lock
    from bowbook.terminal.new_kite import names_of
    from bowbook.terminal.starter import AlreadyThereError, new_kites

    try:
        names = names_of(name, copies)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None
    if not key_for(name):
        raise click.UsageError("A kite's name needs at least one letter or figure.")
    if len(name) > 200:
        raise click.UsageError("A kite's name is at most 200 letters long.")
    base = key_for(name)[:90].strip("-")
    keys = {f"{base}-{n}": one for n, one in enumerate(names, 1)} if copies else {key_for(name): name}
    read = open_book(book, source or "")
    texts, stock, notes = _texts(read, book, keys, source, maker, name if copies else None)
    _refuse_unsound(texts, read)
    try:
        with book_lock(book), brought(book, stock):
            written = new_kites(book, texts)
    except AlreadyThereError as there:
        tell(f"{there} is there already, so nothing was written. Choose another name.", err=True)
        sys.exit(1)
    for inside, one in zip(written, names, strict=True):
        say(f"Added {visible(one)}: {inside}")
    for note in notes:
        tell(note, "- ")
    say(f"Fill it in, or read its bow: bowbook bench {next(iter(keys))}")


def _texts(
    read: Book, root: Path, keys: dict[str, str], source: str | None, maker: str | None, batch: str | None
) -> tuple[dict[str, str], NewStock, list[str]]:
    """The text of each new file by its key, the stock that comes along, and sentences on both."""
    from bowbook.format.write_kite import kite_text
    from bowbook.importing.friend_stock import NewStock, stock_to_bring
    from bowbook.terminal.new_kite import following, new_text

    if source is None:
        return {key: new_text(name, read, batch) for key, name in keys.items()}, NewStock({}, (), ()), []
    first = _source(read, source)
    stock = stock_to_bring(root, read, first, *_stock_in(read, source))
    rods, skins = {*read.rods, *stock.rods}, {*read.skins, *stock.skins}
    notes = [f"{thing} came along into your stock." for thing in (*stock.rods, *stock.skins)]
    texts = {}
    for number, (key, name) in enumerate(keys.items()):
        kite, more = following(first, key, name, maker, read, rods, skins)
        notes += more if number == 0 else []
        texts[key] = kite_text(replace(kite, batch=batch), read.settings.units)
    return texts, stock, notes


def _refuse_unsound(texts: dict[str, str], read: Book) -> None:
    """End the command where a new file would not read well."""
    from bowbook.format.kite_file import read_kite

    for key, text in texts.items():
        written = read_kite(text.encode("utf-8", "replace"), f"content/kites/{key}.md", read.settings.units)
        if written.problems:
            print_problems(written.problems)
            tell("Nothing was written.", err=True)
            sys.exit(1)


def _stock_in(book: Book, named: str) -> tuple[dict[str, str], dict[str, str]]:
    """The rods and skins that a friend's file brings along; none for a kite of the book's own."""
    path = Path(named).expanduser()
    if named in book.kites or not os.path.lexists(path):
        return {}, {}
    from bowbook.format.share import stock_to_add

    return stock_to_add(read_plain(path, LARGEST_BYTES).decode("utf-8", "replace"))


def _source(book: Book, named: str) -> Kite:
    """The kite to build after: one of the book's, or one read from a file, whose problems end the command."""
    path = Path(named).expanduser()
    if named not in book.kites and os.path.lexists(path):
        from bowbook.format.kite_file import read_kite

        try:
            data = read_plain(path, LARGEST_BYTES)
        except (NotPlainError, TooLargeError) as wrong:
            raise click.UsageError(f"{visible(str(path))}: {wrong.strerror}. Name a kite's file.") from None
        read = read_kite(data, f"content/kites/{path.name}", book.settings.units)
        if read.kite is None:
            print_problems(read.problems)
            sys.exit(1)
        return read.kite
    return kite_of(book, named)
