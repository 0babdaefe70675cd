"""The book as it is read for a publish: every kite's file read once for as long as it holds the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import Book, Kite, Units
from bowbook.book.values import Given, Value, bind
from bowbook.build.cache import Cache
from bowbook.findings.compute import KiteFacts, facts_of
from bowbook.format.folder import key_of, read_bytes
from bowbook.format.kite_file import KiteFile
from bowbook.format.read_book import (
    KITES,
    BookFrame,
    KiteEntry,
    assemble,
    kite_problems,
    places_again,
    read_decorated,
    read_frame,
)
from bowbook.pages.links import linked, sound
from bowbook.pages.photo_view import NamedPhoto
from bowbook.pages.photos import named_photos
from bowbook.storage.stamps import FileBytes, FileChangedError


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


def read_for_publish(root: Path, contents: Mapping[str, str], cache: Cache) -> ReadBook:
    """The book in this folder; `contents` has the digest of each of its files, by name. Raises FileChangedError."""
    frame = read_frame(root)
    folders = _folders(contents)
    units, flown_at = Given(frame.settings.units), Given(frame.settings.places)
    stock = Given((sorted(frame.rod_keys), sorted(frame.skin_keys)))
    book = _BookFolder(root, frame)
    unread: list[Problem] = []
    entries: dict[str, KiteEntry] = {}
    outlines, records, untold = {}, {}, {}
    for name in frame.kites:
        if len(contents.get(name, "")) != 64:  # no digest: it could not be read, or is no plain file
            if read_bytes(root, name, unread) is not None:
                raise FileChangedError
            continue
        key = key_of(name)
        source = FileBytes(root / name, contents[name])
        folder = folders.get(key, ())
        drawings = Given(tuple(file for file in folder if ".svg " in file.lower()))
        # A disk that refused a file now may read it the next time, so what has a problem is not kept.
        reading = bind(book.read, source, Given(name), units, flown_at, drawings)
        read = cache.run(KiteFile, reading, lambda file: not file.problems)
        outline = cache.run(Outline, bind(outline_of, read, Given(name)))()
        checking = bind(book.check, read, stock, Given(folder))
        problems = cache.run(tuple[Problem, ...], checking, lambda found: not found)()
        entries[key] = KiteEntry(outline.hidden, problems, bind(record, read))
        if not problems and not outline.hidden:
            outlines[key], records[key] = outline, bind(record, read)
            untold[key] = cache.run(Kite, bind(without_words, read))
    whole = assemble(root, frame, entries, unread)
    return ReadBook(whole, {key: outlines[key] for key in whole.kites}, contents, records, untold)


class _BookFolder:
    """The steps that look into the book's folder, which is no input of theirs: the digests of its files are."""

    def __init__(self, root: Path, frame: BookFrame) -> None:
        self._root, self._frame = root, frame

    def read(
        self,
        data: bytes,
        name: str,
        units: Units,
        flown_at: bool,
        drawings: tuple[str, ...],  # noqa: ARG002 as the kite's folder has them: another drawing is another sail
    ) -> KiteFile:
        """One kite's file with its sail's drawing; where its values stand is left out, and read again if need be."""
        return replace(read_decorated(data, name, units, flown_at, self._root), places={})

    def check(
        self,
        read: KiteFile,
        stock: tuple[list[str], list[str]],  # noqa: ARG002 as the frame has it: other stock asks for other checks
        folder: tuple[str, ...],  # noqa: ARG002 as the disk has it
    ) -> tuple[Problem, ...]:
        """Every problem of a kite, those too that need more than its own file."""
        found = kite_problems(read.kite, read.problems, {}, self._root, self._frame)
        if found and read.kite is not None:
            places = places_again(self._root, read.kite.file, self._frame.settings.units)
            found = kite_problems(read.kite, read.problems, places, self._root, self._frame)
        return found


def outline_of(read: KiteFile, name: str) -> Outline:
    """What has to be known of a kite at once."""
    kite = read.kite
    if kite is None:
        return Outline(KiteFacts(key_of(name), "", name), read.hidden)
    story = kite.story, kite.file
    return Outline(facts_of(kite), read.hidden, named_photos(kite), linked(*story), sound(*story))


def record(read: KiteFile) -> Kite:
    """The record of a kite that was found without problem."""
    assert read.kite is not None
    return read.kite


def without_words(read: KiteFile) -> Kite:
    """The record without its story and its photos, as lists and data take it."""
    return replace(record(read), story="", story_line=0, photos=())


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
