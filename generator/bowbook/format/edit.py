"""Adds a round, a flight, a value or lines of story to a maker's file and leaves every other byte as it was."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct

from bowbook.book.problems import Problem
from bowbook.book.quantities import HasUnits
from bowbook.format.edit_positions import EditError
from bowbook.format.kite_file import read_kite
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.format.stock_file import read_strips
from bowbook.format.text_edits import lines_of, with_item, with_value, without
from bowbook.storage.backups import book_root, keep, write_new, write_whole
from bowbook.storage.journal import add_to_journal
from bowbook.storage.lock import book_lock
from bowbook.storage.regular import read_plain

TextChange = Callable[[str], str]  # of the front matter


Where = str | Sequence[str | int]
"""A place in a file: `"bench.2.shave"`, or step by step where a key may hold a point: `["glass 1.5", "bench", 2]`."""


def item(where: Where, entry: Mapping[str, Any]) -> TextChange:
    """The change that adds an entry to a list: `item("bench", {"left": "214 g"})`."""
    *trail, key = (str(step) for step in _steps(where))
    return lambda text: with_item(text, tuple(trail), key, entry)


def value(where: Where, new: Any) -> TextChange:
    """The change that writes one value in place of what stood there: `value("stage", "flying")`."""
    return lambda text: with_value(text, _steps(where), new)


def drop(where: Where) -> TextChange:
    """The change that takes a key out, or an item of a list: `drop("bench.2.shave")`, `drop("flights.3")`.

    Nothing changes where the key is not there.
    """
    return lambda text: without(text, _steps(where))


def _steps(where: Where) -> tuple[str | int, ...]:
    if not isinstance(where, str):
        return tuple(where)
    return tuple(int(step) if re.fullmatch(r"-?[0-9]+", step) else step for step in where.split("."))


class FileEdit(Struct, frozen=True):
    """Changes in one file, and the bytes it was read with: the edit is refused if it no longer holds them."""

    path: Path
    changes: tuple[TextChange, ...]
    seen: bytes | None = None


def edit_file(
    path: Path, changes: Sequence[TextChange], seen: bytes | None = None, units: HasUnits | None = None
) -> Path:
    """Makes several changes in one file at once, all or none. Returns where the copy of the old file is kept.

    `seen` are the bytes the caller has read: the edit is refused if the file no longer holds them.

    Raises EditError, with sentences for the maker, where the file cannot be edited or the new file would not read
    well; OSError where it cannot be written. The file is then as it was.
    """
    return edit_files([FileEdit(path, tuple(changes), seen)], units)[0]


def edit_files(edits: Sequence[FileEdit], units: HasUnits | None = None) -> list[Path]:
    """Makes changes in several files of one book while nobody else writes: where one is refused, none is written.

    Returns where the copy of each old file is kept. Raises as `edit_file`; an OSError in the middle leaves each
    file whole, the old one or the new one.
    """
    if not edits:
        return []
    root = book_root(Path(os.path.abspath(edits[0].path)))  # noqa: PTH100 links in it may stay
    kept = []
    with book_lock(root):
        for real, old, new in [_prepared(one, units, len(edits) > 1) for one in edits]:
            kept.append(_replace(root, real, old, new))
    return kept


def append_story(path: Path, lines: str, units: HasUnits | None = None) -> Path:
    """Adds lines behind a kite's story, a blank line before them. Returns and raises as `edit_file`."""
    root, real = book_root(Path(os.path.abspath(path))), Path(os.path.realpath(path))  # noqa: PTH100 links in it may stay
    with book_lock(root):
        old = read_plain(real, LARGEST_BYTES)
        end = b"\r\n" if b"\r\n" in old else b"\n"
        new = old.rstrip(b"\r\n") + 2 * end + lines.encode().replace(b"\n", end) + end
        _refuse_new_problems(old, new, path.name, units)
        return _replace(root, real, old, new)


def _prepared(one: FileEdit, units: HasUnits | None, named: bool) -> tuple[Path, bytes | None, bytes]:
    """A file with links followed, what it holds (None for stock that is not there yet), and what it shall hold.

    Raises EditError, which says of which file it is where `named`.
    """
    real = Path(os.path.realpath(one.path))
    fresh = one.path.suffix == ".yaml" and not real.exists()
    old = b"" if fresh else read_plain(real, LARGEST_BYTES)
    if one.seen is not None and one.seen != old:
        raise EditError(_changed(one.path, named), "Look at it, then try again.")

    try:
        return real, None if fresh else old, edited(old, one.path.name, one.changes, units)
    except EditError as refused:
        raise EditError(f"{one.path.name}: {refused.message}" if named else refused.message, refused.hint) from None


def _changed(path: Path, named: bool) -> str:
    return f"{path.name if named else 'the file'} has been changed meanwhile"


def _replace(root: Path, real: Path, old: bytes | None, new: bytes) -> Path:
    """Put the new bytes in the file's place and note it; the place of the copy of the old ones."""
    if old is None:
        write_new(real, new)
        add_to_journal(root, real, new)
        return real
    kept = keep(root, real, old)
    if read_plain(real, LARGEST_BYTES) != old:
        raise EditError(_changed(real, False), "Look at it, then try again.")
    write_whole(real, new)
    add_to_journal(root, real, new, kept)
    return kept


def edited(old: bytes, name: str, changes: Sequence[TextChange], units: HasUnits | None) -> bytes:
    """A file's bytes with changes made in them, nothing written. Raises EditError where they would not read well."""
    try:
        text = old.decode("utf-8")
    except UnicodeDecodeError:
        raise EditError("the file is not UTF-8 text", "Run bowbook check and mend it first.") from None
    head, front, rest = ("", text, "") if name.endswith(".yaml") else _parts(text)
    for change in changes:
        front = change(front)
    new = (head + front + rest).encode("utf-8")
    _refuse_new_problems(old, new, name, units)
    return new


def _refuse_new_problems(old: bytes, new: bytes, name: str, units: HasUnits | None) -> None:
    """Raises EditError where a file's new bytes have a problem that its old ones have not."""
    problems = _problems(new, name, units)
    known = {(problem.message, problem.hint) for problem in _problems(old, name, units)} if problems else set()
    for problem in problems:
        if (problem.message, problem.hint) not in known:
            raise EditError(f"that would not read well: {problem.message}", problem.hint)


def _problems(data: bytes, name: str, units: HasUnits | None) -> Sequence[Problem]:
    """What is wrong in a kite's file, or in that of the loose strips."""
    return read_strips(data, units).source.problems if name.endswith(".yaml") else read_kite(data, name, units).problems


def _parts(text: str) -> tuple[str, str, str]:
    """The file up to the front matter, the front matter, and the rest; every character is in one of them."""
    lines = lines_of(text)
    if not lines or lines[0].lstrip("\ufeff").rstrip() != "---":
        raise EditError(
            "the file has no front matter", "Begin it with a line ---, then name: and a name, then a line ---."
        )
    for row in range(1, len(lines)):
        if lines[row].rstrip() in ("---", "..."):
            return lines[0], "".join(lines[1:row]), "".join(lines[row:])
    raise EditError("the front matter is not closed", "Put a line --- after the last of its keys.")
