"""A kite's photos and its story, as HTML that is safe as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.pages.markup import SafeHtml
from bowbook.pages.photo_view import PhotoView

if TYPE_CHECKING:
    from bowbook.pages.story import StoryPart

WHOLE_SCREEN = "(min-width: 48rem) 61vw, 100vw"
BESIDE = "(min-width: 64rem) 25rem, (min-width: 48rem) 37rem, 92vw"
"""How wide the photo at the top and one beside a day's text are shown."""


class ShownPhoto(Struct, frozen=True):
    """A photo that the kite's file lists: its picture element and its caption."""

    file: str
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

    folder = here.rpartition("/")[0]
    return SafeHtml(to_html(story, Setting(here, file, links.kites, links.pages, photos, folder)))


def story_parts(story: str, file: str, here: str, links: Links, photos: tuple[PhotoView, ...]) -> tuple[StoryPart, ...]:
    """The story parted by the days it names, its headings under those of the page's states."""
    if not story.strip():
        return ()
    from bowbook.pages.story import Setting, to_parts

    folder = here.rpartition("/")[0]
    return to_parts(story, Setting(here, file, links.kites, links.pages, photos, folder, 4))


def photos_html(photos: tuple[PhotoView, ...], here: str) -> tuple[ShownPhoto, ...]:
    """The photos that the kite's file lists, in its order; the first fills the top of the page."""
    listed = [photo for photo in photos if not photo.in_story]
    if not listed:
        return ()
    from bowbook.pages.story import Setting, picture

    setting, shown = Setting(here, "", photos=photos, folder=here.rpartition("/")[0]), []
    for number, photo in enumerate(listed):
        how = (BESIDE, "lazy") if number else (WHOLE_SCREEN, "eager")
        shown.append(ShownPhoto(photo.file, SafeHtml(picture(photo, setting, photo.alt, *how)), photo.caption))
    return tuple(shown)
