"""Rods and skins that a friend's file brings along, put into this book's stock where they are missing."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from bowbook.book.records import Book, Kite
from bowbook.format.edit_positions import EditError, spots
from bowbook.format.read_book import read_book
from bowbook.storage.backups import keep, write_whole


def bring_stock(root: Path, book: Book, kite: Kite, rods: Mapping[str, str], skins: Mapping[str, str]) -> list[str]:
    """Add to the stock files what `kite` needs and the book has not got; the names added.

    `rods` and `skins` give a line for each key. A line that would not read well in the file is left out.
    """
    added = []
    for name, lines, wanted, known in (
        ("rods", rods, (kite.bow.rod, kite.spine.rod), book.rods),
        ("skins", skins, (kite.sail.skin,), book.skins),
    ):
        for key in dict.fromkeys(k for k in wanted if k):
            if key not in known and key in lines and _append(root, name, key, lines[key]):
                added.append(key)
    return added


def with_stock_of(book: Book, root: Path) -> Book:
    """The book with its stock as the files have it now."""
    now = read_book(root)
    return replace(book, rods=now.rods, skins=now.skins)


def _append(root: Path, name: str, key: str, line: str) -> bool:
    """Add one line at the end of a stock file; False, and nothing changed, where the file would have a new problem."""
    path = root / "content" / "stock" / f"{name}.yaml"
    path.parent.mkdir(parents=True, exist_ok=True)
    old = path.read_bytes() if path.exists() else b""
    new = old + (b"" if not old or old.endswith(b"\n") else b"\n") + line.encode() + b"\n"
    try:
        at_the_root = spots(new.decode())
    except (EditError, UnicodeDecodeError):
        return False
    if at_the_root is None or at_the_root.flow or not at_the_root.keys or at_the_root.keys[-1].value != key:
        return False
    before = len(read_book(root).problems)
    if old:
        keep(root, path, old)
    write_whole(path, new)
    if len(read_book(root).problems) > before:
        write_whole(path, old, 0o644)
        return False
    return True
