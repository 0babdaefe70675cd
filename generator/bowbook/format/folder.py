"""The files of a book's folder: which there are, whether each may be read, and what it holds."""

from __future__ import annotations

import os
import re
import unicodedata
from pathlib import Path

from bowbook.book.file_names import folded
from bowbook.book.problems import Location, Problem, safe
from bowbook.format.build_records import slug
from bowbook.format.source_file import LARGEST_BYTES, too_large
from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain

_RESERVED = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{i}" for i in range(1, 10)), *(f"lpt{i}" for i in range(1, 10))}
)
_LONGEST_KEY = 100
_MOST_KEY_BYTES = 200  # systems take 255 in a name, and some names are made longer still
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
    same = folded(key)
    if same in seen:
        what = f"its name is too much like {safe(seen[same])}: on many machines both would be one file"
        return Problem(Location(readable), what, "Rename one of them.")
    seen[same] = name
    return None


def key_for(name: str) -> str:
    """The key of a new kite of this name: one that may be a file's name; "" where the name has no letter for it.

    >>> key_for("Kite Ω"), key_for("Con"), key_for("Turnstone II")
    ('kite', 'con-1', 'turnstone-ii')
    """
    key = slug(unicodedata.normalize("NFKC", name))
    if _mixed(key):
        first = next(alphabet(char) for char in key if char.isalpha())
        key = slug("".join(char for char in key if not char.isalpha() or alphabet(char) == first))
    while len(key) > _LONGEST_KEY or len(key.encode()) > _MOST_KEY_BYTES:
        key = key[:-1]
    key = key.strip("-")
    return key if not key or _usable(key) else f"{key}-1" if _usable(f"{key}-1") else ""


def _usable(key: str) -> bool:
    if not key or len(key) > _LONGEST_KEY or len(key.encode("utf-8", "replace")) > _MOST_KEY_BYTES:
        return False
    if not key[0].isalnum() or key.endswith(".") or key.lower() in _RESERVED:
        return False
    if _PLAIN.fullmatch(key):
        return True
    return all(char in "-_." or char.isalnum() or unicodedata.category(char)[0] == "M" for char in key)


def _mixed(key: str) -> bool:
    """Whether Latin letters stand beside Greek or Cyrillic ones, which look the same."""
    if key.isascii():
        return False
    alphabets = {alphabet(char) for char in key if char.isalpha()}
    return len(alphabets & {"LATIN", "GREEK", "CYRILLIC"}) > 1


def alphabet(char: str) -> str:
    """What the names of a script's letters begin with: "LATIN", "CJK"; "" for a sign without a name."""
    return unicodedata.name(char, "").partition(" ")[0]


def read_bytes(base: Path, name: str, problems: list[Problem]) -> bytes | None:
    """What a plain file inside the book holds, or None with a problem."""
    try:
        problem = _astray(base, name)
        if problem is None:
            return read_plain(base / name, LARGEST_BYTES)
    except NotPlainError as error:
        problem = Problem(Location(name), f"this is {error.strerror}", "Put a text file in its place.")
    except TooLargeError:
        problem = too_large(name, (base / name).stat().st_size)
    except OSError as error:
        what = f"the file cannot be read: {error.strerror or error}"
        problem = Problem(Location(name), what, "Look at who may read it, and whether it is still there.")
    problems.append(problem)
    return None


def _astray(base: Path, name: str) -> Problem | None:
    """A problem for a link, of the file or of its folder, that leads out of the content, and any link of its folder."""
    content, folder = os.path.realpath(base / "content"), name.rpartition("/")[0]
    if not os.path.realpath(base / name).startswith(content + os.sep):
        return Problem(Location(name), "this is a link that leads out of the book", "Copy the file itself here.")
    if folder != "content" and (base / folder).is_symlink():  # what lies behind it is not looked through
        return Problem(Location(name), f"{folder} is a link to a folder", "Put the folder itself there.")
    return None
