"""The files of a theme's folder, read once and by rules: plain files of the folder's own, none too large."""

from __future__ import annotations

import hashlib
import os
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from bowbook.book.problems import Location, Problem
from bowbook.charts.style import FILE
from bowbook.pages.theme_problems import ThemeProblem, from_themes
from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain

SERVED = (".css", ".js", ".svg", ".woff2")
"""What of a theme's folder goes into the site's assets/."""

SETTINGS = "theme.toml"
TEMPLATES = "templates"
_MOST_FILES = 500
_MOST_BYTES = 2_000_000  # of one file


class ThemeFolder(Struct, frozen=True):
    """One theme's folder: where it is, whether it is the book's own, its files by their path inside it."""

    path: Path
    own: bool
    files: Mapping[str, bytes]

    @property
    def name(self) -> str:
        """The theme's name."""
        return self.path.name

    def settings(self) -> dict[str, Any]:
        """What theme.toml says. Raises ThemeProblem where it cannot be read."""
        if SETTINGS not in self.files:
            return {}
        try:
            return tomllib.loads(self.text(SETTINGS))
        except (tomllib.TOMLDecodeError, RecursionError) as error:
            what, line = f"not valid TOML: {error}", getattr(error, "lineno", 1)
            raise self.problem(SETTINGS, what, 'Write lines like title = "Notebook".', line) from error

    def text(self, name: str) -> str:
        """A file of the folder as text. Raises ThemeProblem where it is not UTF-8."""
        try:
            return self.files[name].decode("utf-8")
        except UnicodeDecodeError as error:
            raise self.problem(name, "this is not UTF-8 text", "Save it again with the encoding UTF-8.") from error

    def problem(self, name: str, what: str, hint: str, line: int = 1) -> ThemeProblem:
        """A problem of one of its files."""
        return ThemeProblem(Problem(Location(from_themes(self.path / name), line), what, hint))


def read_folder(path: Path, own: bool) -> ThemeFolder:
    """The files of a theme's folder that a site may be made from.

    Raises ThemeProblem where one is no plain file, is too large, or, in the book's own, is a link that leads out.
    """
    folder = ThemeFolder(path, own, {})
    found: dict[str, bytes] = {}
    for name in _names(path):
        if own and not os.path.realpath(path / name).startswith(os.path.realpath(path) + os.sep):
            raise folder.problem(name, "this is a link that leads out of the theme", "Copy the file itself here.", 0)
        try:
            found[name] = read_plain(path / name, _MOST_BYTES)
        except (NotPlainError, TooLargeError) as error:
            what = f"this cannot be a theme's file: {error.strerror}"
            raise folder.problem(name, what, f"Keep plain files of at most {_MOST_BYTES // 10**6} MB.", 0) from error
        except OSError as error:
            raise folder.problem(name, f"it cannot be read: {error.strerror}", "Look at who may read it.", 0) from error
        if len(found) > _MOST_FILES:
            raise folder.problem("", f"there are more than {_MOST_FILES} files here", "Keep only what is used.", 0)
    whole = ThemeFolder(path, own, found)
    for name in found:
        if name.endswith((".html", ".toml")):
            whole.text(name)
    return whole


def theme_digest(folders: tuple[ThemeFolder, ...]) -> str:
    """One digest over every file of the folders."""
    whole = hashlib.sha256()
    for folder in folders:
        for name, data in sorted(folder.files.items()):
            whole.update(
                f"{folder.name}/{name} {hashlib.sha256(data).hexdigest()}\n".encode("utf-8", "surrogateescape")
            )
    return whole.hexdigest()


def _names(path: Path) -> Iterator[str]:
    """The files that a theme is made of, in a fixed order; folders that are links are not gone into."""
    for entry in sorted(os.scandir(path), key=lambda entry: entry.name):
        if entry.name in (SETTINGS, FILE) or (entry.name.endswith(SERVED) and not entry.is_dir(follow_symlinks=False)):
            yield entry.name
    waiting = [TEMPLATES]
    while waiting:
        here = waiting.pop(0)
        if (path / here).is_symlink() or not (path / here).is_dir():
            continue
        for entry in sorted(os.scandir(path / here), key=lambda entry: entry.name):
            if entry.is_dir(follow_symlinks=False):
                waiting.append(f"{here}/{entry.name}")
            elif entry.name.endswith(".html"):
                yield f"{here}/{entry.name}"
