"""Rods and skins that a friend's file brings along, put into this book's stock where they are missing."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from msgspec import Struct

from bowbook.book.records import Book, Kite
from bowbook.format.edit_positions import EditError, yaml_root
from bowbook.format.read_book import stock_problems
from bowbook.format.record_values import rod_keys, skin_keys
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.storage.backups import keep, write_whole
from bowbook.storage.journal import add_to_journal
from bowbook.storage.regular import read_plain


class NewStock(Struct, frozen=True):
    """What the stock files will hold: their old and their new bytes by path, and the keys that are new in them."""

    files: Mapping[Path, tuple[bytes | None, bytes]]
    rods: tuple[str, ...]
    skins: tuple[str, ...]


def stock_to_bring(root: Path, book: Book, kite: Kite, rods: Mapping[str, str], skins: Mapping[str, str]) -> NewStock:
    """What must be added to the stock files for what `kite` needs and the book has not got; nothing is written yet.

    `rods` and `skins` give a line for each key. A line that would not read well in its file is left out.
    """
    files: dict[Path, tuple[bytes | None, bytes]] = {}
    added: dict[str, list[str]] = {"rods": [], "skins": []}
    for name, lines, wanted, known in (
        ("rods", rods, rod_keys(kite), book.rods),
        ("skins", skins, skin_keys(kite), book.skins),
    ):
        path = root / "content" / "stock" / f"{name}.yaml"
        if path.is_symlink():
            continue  # it may be another book's
        old = read_plain(path, LARGEST_BYTES) if path.exists() else None
        new = old or b""
        for key in wanted:
            longer = key not in known and key in lines and _with_line(new, name, key, lines[key], book)
            if longer:
                new = longer
                added[name].append(key)
        if added[name]:
            files[path] = old, new
    return NewStock(files, tuple(added["rods"]), tuple(added["skins"]))


@contextlib.contextmanager
def brought(root: Path, stock: NewStock) -> Iterator[None]:
    """The stock files with what is new in them; as they were if the block fails. The book's lock must be held."""
    done, kept = [], {}
    try:
        for path, (old, new) in stock.files.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            kept[path] = keep(root, path, old) if old is not None else None
            write_whole(path, new)
            done.append((path, old))
        yield
        for path, (_, new) in stock.files.items():
            add_to_journal(root, path, new, kept[path])
    except BaseException:
        for path, old in done:
            if old is None:
                path.unlink(missing_ok=True)
            else:
                write_whole(path, old)
        raise


def _with_line(old: bytes, name: str, key: str, line: str, book: Book) -> bytes | None:
    """A stock file with one line more at its end; None where that would not be read as this one entry more."""
    new = old + (b"" if not old or old.endswith(b"\n") else b"\n") + line.encode("utf-8", "replace") + b"\n"
    try:
        root = yaml_root(new.decode())
    except (EditError, UnicodeDecodeError):
        return None
    if root is None or root.flow or not root.keys or root.keys[-1].value != key:
        return None
    units = book.settings.units
    return new if len(stock_problems(new, name, units)) <= len(stock_problems(old, name, units)) else None
