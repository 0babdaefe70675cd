"""What pages have to know of every kite of a book at once, without its record; and the book as it was read so far."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Location, Problem, location_of
from bowbook.book.records import Book, Kite
from bowbook.book.values import Given, Value
from bowbook.findings.kite_input import KiteFacts, KiteInput, facts_of, for_figures
from bowbook.findings.readings import repeated
from bowbook.findings.results import Repeated
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


class KiteRead(Struct, frozen=True):
    """All that a publish takes from one kite's file, each part known by itself.

    `draft` is what could be read of a kite with a problem; the records of such a kite are empty.
    """

    outline: Value[Outline]
    problems: Value[tuple[Problem, ...]]
    draft: Value[Kite | None]
    record: Value[Kite]
    untold: Value[Kite]  # without its story and its photos, as lists and data take it
    bench: Value[Kite]
    repeats: Value[Repeated]


class ReadKite(Struct, frozen=True):
    """One kite as it was read: what has to be known of it at once, and all that is taken from its file."""

    outline: Outline
    read: KiteRead

    @property
    def given(self) -> KiteInput:
        """The kite as it is computed."""
        return KiteInput(self.outline.facts, self.read.untold, self.read.bench, self.read.repeats)


class ReadBook(Struct, frozen=True):
    """A book as it was read, its kites by key, and the digest of each of its files by name."""

    book: Book
    kites: Mapping[str, ReadKite]
    contents: Mapping[str, str]

    @property
    def links(self) -> dict[str, tuple[str, ...]]:
        """What the links of each sound story mean, by the kite's key, if every photo it shows is there."""
        outlines = {key: kite.outline for key, kite in self.kites.items()}
        return {
            key: outline.links
            for key, outline in outlines.items()
            if outline.sound and all(f"{outline.folder}/{photo.file}" in self.contents for photo in outline.photos)
        }

    def photo_place(self, key: str, number: int) -> Location:
        """Where one of a kite's photos is named."""
        kite = self.book.kites[key]
        if self.kites[key].outline.photos[number].in_story:
            return Location(kite.file, kite.story_line)
        return location_of(f"photos.{number}.file", self.book.places[key], kite.file)


def outline_of(read: KiteFile, name: str) -> Outline:
    """What has to be known of a kite at once."""
    kite = read.kite
    if kite is None:
        return Outline(KiteFacts(key_of(name), "", name), read.hidden)
    story = kite.story, kite.file
    return Outline(facts_of(kite), read.hidden, named_photos(kite), linked(*story), sound(*story))


def kite_read(file: KiteFile, problems: tuple[Problem, ...], name: str) -> KiteRead:
    """What a publish takes from the file of this name."""
    kite = Kite(file.key, "") if problems or file.kite is None else file.kite
    bench = for_figures(kite)
    return KiteRead(
        outline=Given(outline_of(file, name)),
        problems=Given(problems),
        draft=Given(file.legible if problems else None),
        record=Given(kite),
        untold=Given(replace(kite, story="", story_line=0, photos=())),
        bench=Given(bench),
        repeats=Given(repeated(bench)),
    )
