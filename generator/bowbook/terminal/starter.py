"""A new book's first files, filled in with the maker's name and units, and put in place all at once."""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
import tempfile
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import get_args

from bowbook.book.file_names import folded
from bowbook.book.problems import Problem
from bowbook.book.records import Units
from bowbook.book.units import from_unit, to_unit, unit_of
from bowbook.format.json_schema import SchemaName, json_schema
from bowbook.format.read_book import read_book
from bowbook.format.yaml_text import quoted
from bowbook.storage.backups import write_new, write_whole
from bowbook.storage.exchange import own_folder, state_folder
from bowbook.storage.journal import add_to_journal

FILES = {
    "book.yaml": "book.yaml",
    "rods.yaml": "stock/rods.yaml",
    "skins.yaml": "stock/skins.yaml",
    "kite.md": "kites/dunlin.md",
}
_SLOT = re.compile(r"\{\{(\w+)(?: ([^}]*))?\}\}")
# As fine as a reading or a length of these is noted: what the examples are rounded to.
_DECIMALS = {"g": 0, "mm": 0, "mph": 0, "km/h": 0, "kn": 0, "cm": 1, "in": 1, "m/s": 1, "ft/s": 1, "m": 3}
_STEPS = {"g": "1 g", "oz": "0.05 oz", "N": "0.01 N", "mm": "0.5 mm", "cm": "0.05 cm", "in": "1/32 in"}
_KINDS = {"mm": ("length", "mm"), "g": ("force", "g"), "mass": ("mass", "g"), "wind": ("wind", "mph")}


class AlreadyThereError(Exception):
    """What was to be made is there already; the message names it."""


class NotSoundError(Exception):
    """What was to be written would have had problems of its own; nothing was written."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("; ".join(problem.message for problem in problems))
        self.problems = problems


def fill(text: str, units: Units, words: dict[str, str]) -> str:
    """The text with its slots filled: `{{mm 300}}` in the book's unit of length, `{{name}}` from `words`.

    >>> fill("{{mm 300}}, {{wind 4-7}}, {{name}}", Units(length="in"), {"name": "Tern"})
    '11.8 in, 4-7 mph, Tern'
    """

    def one(slot: re.Match[str]) -> str:
        name, value = slot[1], slot[2]
        if name == "unit":
            return str(getattr(units, value))
        if name in _KINDS:
            return _example(value, *_KINDS[name], units)
        return words[name]

    return _SLOT.sub(one, text)


def _example(numbers: str, kind: str, written: str, units: Units) -> str:
    """Numbers of one unit in the book's own, between them whatever stood between them."""
    unit = unit_of(kind, units)
    decimals = _DECIMALS.get(unit, 2)

    def one(number: re.Match[str]) -> str:
        return f"{to_unit(from_unit(float(number[0]), written, kind), unit, kind):.{decimals}f}"

    return re.sub(r"\d+(?:\.\d+)?", one, numbers) + f" {unit}"


def template(name: str) -> str:
    """The text of a starter file that ships with the program."""
    return (files("bowbook") / "starter" / name).read_text(encoding="utf-8")


def begin_book(root: Path, units: Units, maker: str, title: str) -> list[str]:
    """Write a new book into `root` and give the files written, as paths inside it.

    The folder content comes into place last, and whole: where a disk refuses anything, beginning again finishes it.
    Raises AlreadyThereError where there is one.
    """
    content = root / "content"
    if os.path.lexists(content):
        raise AlreadyThereError(str(content))
    words = {
        "maker_line": f"maker: {quoted(maker, flow=False)}" if maker else "# maker: Your name",
        "title": quoted(title, flow=False),
        "scale": _STEPS.get(units.force, f"0.01 {units.force}"),
        "ruler": _STEPS.get(units.length, f"0.001 {units.length}"),
    }
    root.mkdir(parents=True, exist_ok=True)
    aside = Path(tempfile.mkdtemp(prefix=".begin-", dir=root))
    try:
        for name, where in FILES.items():
            target = aside / "content" / where
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(fill(template(name), units, words), encoding="utf-8")
        (aside / "content" / "pages").mkdir()
        if problems := read_book(aside).problems:
            raise NotSoundError(problems)
        write_schemas(root)
        written = [f"content/{where}" for where in FILES.values()]
        with contextlib.suppress(FileExistsError):
            write_new(root / ".gitignore", template("gitignore").encode())
            written.append(".gitignore")
        if os.path.lexists(content):
            raise AlreadyThereError(str(content))
        (aside / "content").rename(content)
    finally:
        shutil.rmtree(aside, ignore_errors=True)
    return written


def write_schemas(root: Path) -> None:
    """Put the schemas where the first line of a new file points, so that an editor completes and checks at once."""
    folder = own_folder(state_folder(root) / "schema")
    for kind in get_args(SchemaName):
        write_whole(folder / f"{kind}.json", _schema_bytes(kind))


@cache
def _schema_bytes(kind: SchemaName) -> bytes:
    """A schema's file; a table of old notes has it written with each of its kites."""
    return (json.dumps(json_schema(kind), ensure_ascii=False, indent=1) + "\n").encode()


def room_for(root: Path, key: str) -> None:
    """Raise AlreadyThereError where a kite's file is, or would on many machines be, the one of this key."""
    folder = root / "content" / "kites"
    names = [path.name for path in folder.iterdir()] if folder.is_dir() else []
    for name in names:
        stem, _, suffix = name.rpartition(".")
        if suffix.lower() in ("md", "markdown") and folded(stem) == folded(key):
            raise AlreadyThereError(f"content/kites/{name}")


def new_kites(root: Path, texts: Mapping[str, str]) -> list[str]:
    """Write the files of new kites by their keys, all or none, and give their paths inside the book.

    Raises AlreadyThereError; never overwrites. To be called while the book's lock is held.
    """
    for key in texts:
        room_for(root, key)
    write_schemas(root)
    return [new_kite(root, key, text) for key, text in texts.items()]


def new_kite(root: Path, key: str, text: str) -> str:
    """Write the file of a new kite and give its path inside the book. Raises AlreadyThereError; never overwrites."""
    inside = f"content/kites/{key}.md"
    (root / "content" / "kites").mkdir(parents=True, exist_ok=True)
    try:
        write_new(root / inside, text.encode())
        add_to_journal(root, root / inside, text.encode())
    except FileExistsError:
        raise AlreadyThereError(inside) from None
    return inside
