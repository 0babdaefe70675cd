"""The book as it is read for a publish: every kite's file read once for as long as it holds the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from msgspec import Struct

from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import Book, Kite
from bowbook.book.values import Given, Value, bind
from bowbook.build.cache import Cache
from bowbook.findings.compute import KiteFacts, facts_of
from bowbook.format.folder import key_of, read_bytes
from bowbook.format.kite_file import KiteFile
from bowbook.format.kite_steps import KiteSteps, record, without_words
from bowbook.format.read_book import KiteEntry, assemble, read_frame
from bowbook.pages.links import linked, sound
from bowbook.pages.photo_view import NamedPhoto
from bowbook.pages.photos import named_photos
from bowbook.storage.stamps import FileChangedError


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
    kite_steps = KiteSteps(root, frame, contents)
    unread: list[Problem] = []
    entries: dict[str, KiteEntry] = {}
    outlines, records, untold = {}, {}, {}
    for name in frame.kites:
        if len(contents.get(name, "")) != 64:  # no digest: it could not be read, or is no plain file
            if read_bytes(root, name, unread) is not None:
                raise FileChangedError
            continue
        key = key_of(name)
        # A disk that refused a file now may read it the next time, so what has a problem is not kept.
        read = cache.run(KiteFile, kite_steps.reading(name), lambda file: not file.problems)
        outline = cache.run(Outline, bind(outline_of, read, Given(name)))()
        problems = cache.run(tuple[Problem, ...], kite_steps.checking(name, read), lambda found: not found)()
        entries[key] = KiteEntry(outline.hidden, problems, bind(record, read))
        if not problems and not outline.hidden:
            outlines[key], records[key] = outline, bind(record, read)
            untold[key] = cache.run(Kite, bind(without_words, read))
    book = assemble(root, frame, entries, unread)
    return ReadBook(book, {key: outlines[key] for key in book.kites}, contents, records, untold)


def outline_of(read: KiteFile, name: str) -> Outline:
    """What has to be known of a kite at once."""
    kite = read.kite
    if kite is None:
        return Outline(KiteFacts(key_of(name), "", name), read.hidden)
    story = kite.story, kite.file
    return Outline(facts_of(kite), read.hidden, named_photos(kite), linked(*story), sound(*story))
