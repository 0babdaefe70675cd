"""The steps that read and check one kite's file, each known by all that it reads of the book's folder."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec.structs import replace

from bowbook.book.problems import Problem
from bowbook.book.records import Units
from bowbook.book.values import Bound, Given, Value, bind
from bowbook.format.folder import key_of
from bowbook.format.kite_file import KiteFile
from bowbook.format.read_book import KITES, BookFrame, kite_problems, places_again, read_decorated
from bowbook.storage.stamps import FileBytes

_NONE = Given[tuple[str, ...]](())


class KiteSteps:
    """The steps for the kites of the book in one folder; `contents` has the digest of each of its files, by name."""

    def __init__(self, root: Path, frame: BookFrame, contents: Mapping[str, str]) -> None:
        self._root, self._frame, self._contents = root, frame, contents
        self._folders = _folders(contents)
        self._units, self._show_places = Given(frame.settings.units), Given(frame.settings.places)
        self._stock = Given((sorted(frame.rod_keys), sorted(frame.skin_keys)))

    def reading(self, name: Given[str]) -> Bound[KiteFile]:
        """How the kite's file of this name is read; where its values stand is left out."""
        source = FileBytes(self._root / name(), self._contents[name()])
        drawings = tuple(file for file in self._folders.get(key_of(name()), ()) if ".svg " in file.lower())
        return bind(self._read, source, name, self._units, self._show_places, Given(drawings) if drawings else _NONE)

    def checking(self, name: str, read: Value[KiteFile]) -> Bound[tuple[Problem, ...]]:
        """How every problem of the kite that was `read` is found, those too that need more than its own file."""
        folder = self._folders.get(key_of(name))
        return bind(self._check, read, self._stock, Given(folder) if folder else _NONE)

    def _read(
        self,
        data: bytes,
        name: str,
        units: Units,
        show_places: bool,
        drawings: tuple[str, ...],  # noqa: ARG002 as the kite's folder has them: another drawing is another sail
    ) -> KiteFile:
        return replace(read_decorated(data, name, units, show_places, self._root), places={})

    def _check(
        self,
        read: KiteFile,
        stock: tuple[list[str], list[str]],  # noqa: ARG002 as the frame has it: other stock asks for other checks
        folder: tuple[str, ...],  # noqa: ARG002 as the disk has it
    ) -> tuple[Problem, ...]:
        found, kite = kite_problems(read, {}, self._root, self._frame), read.legible
        if found and kite is not None:
            places = places_again(self._root, kite.file, self._frame.settings.units)
            found = kite_problems(read, places, self._root, self._frame)
        return found


def _folders(contents: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    """Of each kite's own folder, by the kite's key, the names and digests of its files."""
    found: dict[str, list[str]] = {}
    for name, digest in contents.items():
        if name.startswith(f"{KITES}/"):
            first, _, rest = name[len(KITES) + 1 :].partition("/")
            if rest:
                found.setdefault(key_of(f"{first}.md"), []).append(
                    f"{rest} {digest}".encode("utf-8", "backslashreplace").decode()
                )
    return {key: tuple(sorted(names)) for key, names in found.items()}
