"""What a site is made from, as files: the book's own, the themes, the program."""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path

import bowbook
from bowbook.storage.stamps import FileStamp, files_under, stamps

LIBRARIES = {
    "jinja2",
    "markupsafe",
    "markdown_it_py",
    "mdit_py_plugins",
    "matplotlib",
    "fonttools",
    "msgspec",
    "reportlab",
    "rl_accel",
    "python_bidi",
    "uharfbuzz",
    "contourpy",
    "kiwisolver",
    "numpy",
    "pillow",
    "pyyaml",
    "segno",
    "shapely",
    "uncertainties",
}
"""Distributions, as their folders are named, whose versions a page's bytes or a kept result depend on."""


def scan(root: Path, known: Mapping[str, FileStamp]) -> dict[str, FileStamp]:
    """Every file the site is made from, by a name of its own; bytes are read only where `known` isn't sure."""
    return stamps(_sources(root), known)


def digests(found: Mapping[str, FileStamp], *rooms: str) -> str:
    """One digest over all files of the named rooms: "content", "themes", "program", "shipped"."""
    whole = hashlib.sha256()
    for name in sorted(found):
        if name.partition("/")[0] in rooms:
            whole.update(f"{name}\0{found[name].digest}\n".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def contents(found: Mapping[str, FileStamp]) -> dict[str, str]:
    """The digest of every file's bytes, by name; a book's own files are named as they are in the book."""
    return {name: seen.digest for name, seen in found.items() if name.startswith(("content/", "themes/"))}


def program_version(found: Mapping[str, FileStamp]) -> str:
    """One digest over the program's own files, its libraries' versions and the language it runs in."""
    own = digests(found, "program", "shipped")
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    text = "\n".join([bowbook.__version__, own, sys.version, *_libraries(), epoch])
    return hashlib.sha256(text.encode()).hexdigest()


def _sources(root: Path) -> Iterator[tuple[str, str]]:
    package = Path(bowbook.__file__).parent
    yield from files_under(root / "content", "content")
    yield from _theme_files(root / "themes", "themes")
    yield from files_under(package, "program", ".py")
    for themes in (package / "themes", package.parent.parent / "themes"):
        if themes != root / "themes":
            yield from _theme_files(themes, "shipped")


def _theme_files(folder: Path, room: str) -> Iterator[tuple[str, str]]:
    """The files of all themes in a folder; code that was compiled from their templates is none of them."""
    for name, path in files_under(folder, room):
        if "__pycache__" not in name.split("/"):  # nor is the folder for it, where it is empty
            yield name, path


def _libraries() -> list[str]:
    """Names with versions of the installed libraries a page's bytes depend on."""
    found = set()
    for folder in sys.path:
        try:
            names = [entry.name for entry in os.scandir(folder or ".")]
        except OSError:
            continue
        found |= {
            name.lower()
            for name in names
            if name.endswith(".dist-info") and name.lower().partition("-")[0] in LIBRARIES
        }
    return sorted(found)
