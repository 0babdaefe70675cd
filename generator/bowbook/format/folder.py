"""The files of a book's folder: which there are, whether each may be read, and what it holds."""

from __future__ import annotations

import os
import re
import stat
import unicodedata
from pathlib import Path

from bowbook.book.problems import Location, Problem, safe
from bowbook.format.build_records import slug
from bowbook.format.source_file import LARGEST_BYTES, too_large

_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{i}" for i in range(1, 10)), *(f"lpt{i}" for i in range(1, 10))}
)
_LONGEST_KEY = 100
_PLAIN = re.compile("[-_.a-zA-Z0-9]*")  # as nearly all keys are: no need to look at each letter


def key_of(file: str) -> str:
    """The key of a kite or a page: its file's name without .md, letters composed.

    >>> key_of("content/kites/turnstone.md")
    'turnstone'
    """
    return unicodedata.normalize("NFC", file.rpartition("/")[2].removesuffix(".md"))


def markdown_files(base: Path, folder: str, problems: list[Problem]) -> list[str]:
    """The Markdown files of a folder by name, as paths inside the book; a name that cannot be used is a problem."""
    try:
        names = sorted(entry.name for entry in os.scandir(base / folder))
    except FileNotFoundError:
        return []
    except OSError as error:
        problems.append(
            Problem(Location(folder), f"the folder cannot be read: {error.strerror}", "Look at who may read it.")
        )
        return []
    found = []
    seen: dict[str, str] = {}
    for name in names:
        if name.startswith(".") or not name.lower().endswith((".md", ".markdown")):
            continue
        problem = _name_problem(name, f"{folder}/{name}", seen)
        if problem is not None:
            problems.append(problem)
        else:
            found.append(f"{folder}/{name}")
    return found


def _name_problem(name: str, path: str, seen: dict[str, str]) -> Problem | None:
    """What is wrong with a file's name, if anything: it becomes an address, so no two may be alike."""
    readable = path.encode("utf-8", "replace").decode()  # a name that is no UTF-8 has no text of its own
    stem, _, suffix = name.encode("utf-8", "replace").decode().rpartition(".")
    if suffix != "md":
        return Problem(Location(readable), f"the name ends in .{suffix}, so it is not read", "Rename it to end in .md.")
    key = unicodedata.normalize("NFC", stem)
    if path != readable or not _usable(key):
        plain = slug(key)[:_LONGEST_KEY].strip("-")
        better = plain if plain and _usable(plain) else "a-short-name"
        what = "this file name cannot become an address of the site"
        return Problem(Location(readable), what, f"Rename it to {better}.md.")
    if _mixed(key):
        what = "this file name mixes letters of two alphabets that look alike"
        return Problem(Location(readable), what, "Type the whole name anew in one alphabet.")
    same = unicodedata.normalize("NFKC", key).casefold()
    if same in seen:
        what = f"its name is too much like {safe(seen[same])}: on many machines both would be one file"
        return Problem(Location(readable), what, "Rename one of them.")
    seen[same] = name
    return None


def _usable(key: str) -> bool:
    if not key or len(key) > _LONGEST_KEY or not key[0].isalnum() or key.endswith(".") or key.lower() in _RESERVED:
        return False
    if _PLAIN.fullmatch(key):
        return True
    return all(char in "-_." or char.isalnum() or unicodedata.category(char)[0] == "M" for char in key)


def _mixed(key: str) -> bool:
    """Whether Latin letters stand beside Greek or Cyrillic ones, which the eye cannot tell apart."""
    if key.isascii():
        return False
    alphabets = {unicodedata.name(char, "").partition(" ")[0] for char in key if char.isalpha()}
    return len(alphabets & {"LATIN", "GREEK", "CYRILLIC"}) > 1


def read_bytes(base: Path, name: str, problems: list[Problem]) -> bytes | None:
    """What a plain file inside the book holds, or None with a problem."""
    path = base / name
    try:
        found = path.stat()
        problem = _not_plain(name, found) or _astray(base, name)
        if problem is None:
            return path.read_bytes()
        problems.append(problem)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror or error}"
        problems.append(Problem(Location(name), what, "Look at who may read it, and whether it is still there."))
    return None


def _not_plain(name: str, found: os.stat_result) -> Problem | None:
    if stat.S_ISDIR(found.st_mode):
        return Problem(
            Location(name), "this is a folder, not a file", "Rename the folder; photos go in one without .md."
        )
    if not stat.S_ISREG(found.st_mode):
        return Problem(Location(name), "this is not a plain file", "Put a text file in its place.")
    return too_large(name, found.st_size) if found.st_size > LARGEST_BYTES else None


def _astray(base: Path, name: str) -> Problem | None:
    """A problem for a link, of the file or of its folder, that leads out of the book's content."""
    content = os.path.realpath(base / "content")
    if os.path.realpath(base / name).startswith(content + os.sep):
        return None
    return Problem(Location(name), "this is a link that leads out of the book", "Copy the file itself here.")
