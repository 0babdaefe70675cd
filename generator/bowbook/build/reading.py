"""The book as it is read for a publish: every kite's file read once for as long as it holds the same bytes."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from functools import cached_property
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import Book, Kite, Units
from bowbook.book.values import Given, Steps, Value, bind, fingerprint
from bowbook.findings.compute import KiteFacts, facts_of
from bowbook.format.folder import key_of, read_bytes
from bowbook.format.read_book import (
    KITES,
    BookFrame,
    KiteEntry,
    assemble,
    kite_problems,
    read_decorated,
    read_frame,
    read_kite,
    without_places,
)
from bowbook.pages.links import linked, sound
from bowbook.pages.photo_view import NamedPhoto
from bowbook.pages.photos import named_photos


class InputChangedError(Exception):
    """A file does not hold any more what it held when the book's files were looked at: everything is looked at anew."""


class FileBytes:
    """What a file holds, known by the digest that was taken when the book's files were looked at."""

    def __init__(self, path: Path, digest: str) -> None:
        self._path, self._digest = path, digest

    @cached_property
    def fingerprint(self) -> bytes:
        """Of its bytes."""
        return fingerprint(self._digest.encode())

    def __call__(self) -> bytes:
        """Its bytes. Raises InputChangedError."""
        try:
            data = self._path.read_bytes()
        except OSError as error:
            raise InputChangedError from error
        if hashlib.sha256(data).hexdigest() != self._digest:
            raise InputChangedError
        return data


class ReadKite(Struct, frozen=True):
    """One kite's file as it was read: its record, None where it has a problem."""

    kite: Kite | None
    hidden: bool
    problems: tuple[Problem, ...]


class _WrongKiteError(Exception):
    """A kite with a problem, raised so that no step keeps it: a disk that refused a file now may read it next time."""

    def __init__(self, read: ReadKite) -> None:
        super().__init__()
        self.read = read


class Outline(Struct, frozen=True):
    """What a publish has to know of each kite at once, without its record.

    `links` are the kites and pages that its story's links mean; `sound` says that nothing else in the story can be
    wrong.
    """

    facts: KiteFacts
    hidden: bool
    photos: tuple[NamedPhoto, ...] = ()
    links: tuple[str, ...] = ()
    sound: bool = True

    @property
    def folder(self) -> str:
        """The kite's own folder, beside its file."""
        return self.facts.file.removesuffix(".md")


class ReadBook(Struct, frozen=True):
    """A book as it was read: what has to be known of each of its kites, and their records, whole and without words."""

    book: Book
    outlines: Mapping[str, Outline]
    contents: Mapping[str, str]
    records: Mapping[str, Value[Kite]]
    untold: Mapping[str, Value[Kite]]

    @property
    def links(self) -> dict[str, tuple[str, ...]]:
        """What the links of each sound story mean, by the kite's key, if every photo it shows is there."""
        return {
            key: outline.links
            for key, outline in self.outlines.items()
            if outline.sound and all(f"{outline.folder}/{photo.file}" in self.contents for photo in outline.photos)
        }

    def photo_place(self, key: str, number: int) -> Location:
        """Where one of a kite's photos is named."""
        kite = self.book.kites[key]
        if self.outlines[key].photos[number].in_story:
            return Location(kite.file, kite.story_line)
        return location_of(f"photos.{number}.file", self.book.places[key], kite.file)


def read_for_publish(root: Path, contents: Mapping[str, str], steps: Steps) -> ReadBook:
    """The book in this folder; `contents` has the digest of each of its files, by name."""
    frame = read_frame(root)
    folders = _folders(contents)
    units = Given(frame.settings.units)
    stock = Given((sorted(frame.rod_keys), sorted(frame.skin_keys)))
    unread: list[Problem] = []
    entries: dict[str, KiteEntry] = {}
    outlines, records, untold = {}, {}, {}
    for name in frame.kites:
        if len(contents.get(name, "")) != 64:  # no digest: it could not be read, or is no plain file
            if read_bytes(root, name, unread) is not None:
                raise InputChangedError
            continue
        key = key_of(name)
        source = FileBytes(root / name, contents[name])
        folder = folders.get(key, ())
        drawings = Given(tuple(file for file in folder if ".svg " in file.lower()))
        reading = bind(_Reader(root).read_file, source, Given(name), units, Given(frame.settings.places), drawings)
        read: Value[ReadKite]
        try:
            read = steps.run(ReadKite, reading)
        except _WrongKiteError as wrong:
            read = Given(wrong.read)
        outline = steps.run(Outline, bind(outline_of, read, Given(name)))()
        check = bind(_Checked(root, frame, name).problems, read, stock, Given(folder))
        try:
            problems = steps.run(tuple[Problem, ...], check)()
        except _WrongKiteError as wrong:
            problems = wrong.read.problems
        entries[key] = KiteEntry(outline.hidden, problems, bind(record, read))
        if not problems and not outline.hidden:
            outlines[key], records[key] = outline, bind(record, read)
            untold[key] = steps.run(Kite, bind(without_words, read))
    book = assemble(root, frame, entries, unread)
    return ReadBook(book, {key: outlines[key] for key in book.kites}, contents, records, untold)


class _Reader:
    """Reads kite files of the book in one folder."""

    def __init__(self, root: Path) -> None:
        self._root = root

    def read_file(
        self,
        data: bytes,
        name: str,
        units: Units,
        places: bool,
        drawings: tuple[str, ...],  # noqa: ARG002 as the kite's folder has them: another drawing is another sail
    ) -> ReadKite:
        """One kite's file with its sail's drawing; where its flights were only where the book says so."""
        read = read_decorated(data, name, units, self._root)
        kite = read.kite if places or read.kite is None else without_places(read.kite)
        found = ReadKite(kite, read.hidden, read.problems)
        if found.problems:
            raise _WrongKiteError(found)
        return found


def outline_of(read: ReadKite, name: str) -> Outline:
    """What has to be known of a kite at once."""
    kite = read.kite
    if kite is None:
        return Outline(KiteFacts(key_of(name), "", name), read.hidden)
    story = kite.story, kite.file
    return Outline(facts_of(kite), read.hidden, named_photos(kite), linked(*story), sound(*story))


def record(read: ReadKite) -> Kite:
    """The record of a kite that was found without problem."""
    assert read.kite is not None
    return read.kite


def without_words(read: ReadKite) -> Kite:
    """The record without its story and its photos, as lists and data take it."""
    return replace(record(read), story="", story_line=0, photos=())


class _Checked:
    """The checks of one kite that need more than its own file."""

    def __init__(self, root: Path, frame: BookFrame, name: str) -> None:
        self._root, self._frame, self._name = root, frame, name

    def problems(
        self,
        read: ReadKite,
        stock: tuple[list[str], list[str]],  # noqa: ARG002 as the frame has it: other stock asks for other checks
        folder: tuple[str, ...],  # noqa: ARG002 as the disk has it
    ) -> tuple[Problem, ...]:
        """Every problem of a kite. Where its values stand is read again only if there is one."""
        found = kite_problems(read.kite, read.problems, {}, self._root, self._frame)
        if found and read.kite is not None:
            data = read_bytes(self._root, self._name, [])
            places = {} if data is None else read_kite(data, self._name, self._frame.settings.units).places
            found = kite_problems(read.kite, read.problems, places, self._root, self._frame)
        if found:
            raise _WrongKiteError(ReadKite(None, read.hidden, found))
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
