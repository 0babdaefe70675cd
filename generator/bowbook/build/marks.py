"""What the site has to know of a kite before any of its files is made: its digests, its photos, its links."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Location, Places, location_of
from bowbook.book.records import Kite
from bowbook.build.digests import digest
from bowbook.findings.results import Findings
from bowbook.pages.links import linked, pictures
from bowbook.sheets.building_order import steps


class Named(Struct, frozen=True):
    """One photo of a kite as its file names it: listed there, or shown by its story alone."""

    file: str
    alt: str
    caption: str | None
    place: Location
    in_story: bool


class Marks(Struct, frozen=True):
    """One kite's marks. `whole` and `untold` are digests of its findings, `untold` without photos and of the story
    only the order of building, which the sheet has.

    `links` are the kites and pages that its story's links mean, there or not.
    """

    whole: str
    untold: str
    photos: tuple[Named, ...]
    links: tuple[str, ...]


def marks_of(found: Findings, places: Places) -> Marks:
    """The marks of a kite as it was worked out, whose values stand at `places`."""
    kite = found.kite
    order = "\n".join(steps(kite.story))
    untold = replace(found, kite=replace(kite, story=order, story_line=0, photos=()))
    return Marks(digest(found), digest(untold), named_photos(kite, places), linked(kite.story, kite.file))


def named_photos(kite: Kite, places: Places) -> tuple[Named, ...]:
    """Every photo of a kite: those its file lists, then those only its story shows."""
    listed = [
        Named(photo.file, photo.alt, photo.caption, location_of(f"photos.{i}.file", places, kite.file), False)
        for i, photo in enumerate(kite.photos)
    ]
    names = {photo.file for photo in listed}
    place = Location(kite.file, kite.story_line)
    told = [Named(name, alt, None, place, True) for name, alt in pictures(kite.story, kite.file) if name not in names]
    return (*listed, *told)
