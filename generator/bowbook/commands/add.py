"""`bowbook add`: a new kite, from nothing or after another."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import book_option, kite_of, open_book, print_problems
from bowbook.terminal.output import say, tell, visible

if TYPE_CHECKING:
    from bowbook.book.records import Book, Kite


@click.command("add")
@click.argument("name")
@click.option("--from", "source", metavar="FILE|KITE", help="A kite of this book, or a file a friend gave you.")
@click.option("--maker", help="Who made the kite it is built after; kept in the new file, and shown on its page.")
@book_option
def command(name: str, source: str | None, maker: str | None, book: Path) -> None:
    """Add a kite called NAME: a file of its own in content/kites, ready to be filled in.

    With --from it takes over sail, bow, spine and bridle of another kite, without its readings, flights and
    photos, and credits that kite's first maker under `after`. Rods and skins that a friend's file brings along
    come into your stock where you have not got them. It never overwrites.

    \b
    Examples:
      bowbook add Turnstone
      bowbook add "Turnstone II" --from turnstone
      bowbook add Sanderling --from ~/kite.md --maker "A friend"
    """
    from bowbook.format.build_records import slug
    from bowbook.format.write_kite import kite_text
    from bowbook.importing.friend_stock import bring_stock, with_stock_of
    from bowbook.terminal.new_kite import following, new_text
    from bowbook.terminal.starter import AlreadyThereError, new_kite

    key = slug(name)[:100].strip("-")
    if not key:
        raise click.UsageError("A kite's name needs at least one letter or figure.")
    if len(name) > 200:
        raise click.UsageError("A kite's name is at most 200 letters long.")
    read = open_book(book)
    notes: list[str] = []
    if source is None:
        text = new_text(name, read)
    else:
        first = _source(read, source)
        if not (book / "content" / "kites" / f"{key}.md").exists():
            brought = bring_stock(book, read, first, *_stock_in(read, source))
            read = with_stock_of(read, book) if brought else read
            notes = [f"{thing} came along into your stock." for thing in brought]
        kite, more = following(first, key, name, maker, read)
        notes += more
        text = kite_text(kite, read.settings.units)
    try:
        inside = new_kite(book, key, text)
    except AlreadyThereError as there:
        tell(f"{there} is there already, so nothing was written. Choose another name.", err=True)
        sys.exit(1)
    say(f"Added {visible(name)}: {inside}")
    for note in notes:
        tell(note, "- ")
    say(f"Fill it in, or read its bow: bowbook bench {key}")


def _stock_in(book: Book, named: str) -> tuple[dict[str, str], dict[str, str]]:
    """The rods and skins that a friend's file brings along; none for a kite of the book's own."""
    path = Path(named).expanduser()
    if named in book.kites or not path.is_file():
        return {}, {}
    from bowbook.format.share import stock_to_add

    return stock_to_add(path.read_text(encoding="utf-8"))


def _source(book: Book, named: str) -> Kite:
    """The kite to build after: one of the book's, or one read from a file, whose problems end the command."""
    path = Path(named).expanduser()
    if named not in book.kites and path.is_file():
        from bowbook.format.read_book import read_kite
        from bowbook.format.source_file import LARGEST_BYTES

        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)  # no further, however large it is
        read = read_kite(data, f"content/kites/{path.name}", book.settings.units)
        if read.kite is None:
            print_problems(read.problems)
            sys.exit(1)
        return read.kite
    return kite_of(book, named)
