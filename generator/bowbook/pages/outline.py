"""What pages have to know of every kite of a book at once, without its record; and the book as it was read so far."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.problems import Location, location_of
from bowbook.book.records import Book, Kite
from bowbook.book.values import Value
from bowbook.findings.compute import KiteFacts, facts_of
from bowbook.format.folder import key_of
from bowbook.format.kite_file import KiteFile
from bowbook.pages.links import linked, sound
from bowbook.pages.photo_view import NamedPhoto
from bowbook.pages.photos import named_photos


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


def outline_of(read: KiteFile, name: str) -> Outline:
    """What has to be known of a kite at once."""
    kite = read.kite
    if kite is None:
        return Outline(KiteFacts(key_of(name), "", name), read.hidden)
    story = kite.story, kite.file
    return Outline(facts_of(kite), read.hidden, named_photos(kite), linked(*story), sound(*story))
