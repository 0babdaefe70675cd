"""A kite's photos and its story, as HTML that is safe as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Photo
from bowbook.pages.markup import SafeHtml
from bowbook.pages.photo_view import PhotoView

if TYPE_CHECKING:
    from bowbook.pages.story import StoryPart

WHOLE_SCREEN = "(min-width: 48rem) 61vw, 100vw"
BESIDE = "(min-width: 64rem) 25rem, (min-width: 48rem) 37rem, 92vw"
"""How wide the photo at the top and one beside a day's text are shown."""


class ShownPhoto(Struct, frozen=True):
    """A photo that the kite's file lists: its picture element and its caption."""

    picture: SafeHtml
    caption: str | None


class Links(Struct, frozen=True):
    """Of the kites and pages that a story's links mean, the keys of those that are there."""

    kites: tuple[str, ...] = ()
    pages: tuple[str, ...] = ()


def story_html(story: str, file: str, here: str, links: Links, photos: tuple[PhotoView, ...]) -> SafeHtml | None:
    """The story as it stands on the page at `here`; None where there is none."""
    if not story.strip():
        return None
    from bowbook.pages.story import Setting, to_html

    return SafeHtml(to_html(story, Setting(here, file, links.kites, links.pages, photos)))


def story_parts(story: str, file: str, here: str, links: Links, photos: tuple[PhotoView, ...]) -> tuple[StoryPart, ...]:
    """The story parted by the days it names, its headings under those of the page's states."""
    if not story.strip():
        return ()
    from bowbook.pages.story import Setting, to_parts

    return to_parts(story, Setting(here, file, links.kites, links.pages, photos, top=4))


def top_photo(photos: Sequence[Photo]) -> str | None:
    """The file of the photo that fills the top of a kite's page: the first without a day, else the first photo.

    A drawing that has a day stands there alone; where there is no other picture the kite itself is drawn at the top.
    """
    undated = next((photo.file for photo in photos if photo.on is None), None)
    return undated or next((photo.file for photo in photos if not photo.file.lower().endswith(".svg")), None)


def photos_html(photos: tuple[PhotoView, ...], here: str, top: str | None) -> dict[str, ShownPhoto]:
    """The photos that the kite's file lists, in its order, by their files; that of `top` fills the top of the page."""
    listed = [photo for photo in photos if not photo.in_story]
    if not listed:
        return {}
    from bowbook.pages.story import Setting, picture

    setting, shown = Setting(here, "", photos=photos), {}
    for photo in listed:
        how = (WHOLE_SCREEN, "eager") if photo.file == top else (BESIDE, "lazy")
        shown[photo.file] = ShownPhoto(SafeHtml(picture(photo, setting, photo.alt, *how)), photo.caption)
    return shown
