"""A kite's photos and its story, as HTML that is safe as it stands."""

from __future__ import annotations

from msgspec import Struct

from bowbook.pages.markup import SafeHtml
from bowbook.pages.photo_view import PhotoView


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


def photos_html(photos: tuple[PhotoView, ...], here: str) -> tuple[tuple[SafeHtml, ...], tuple[str | None, ...]]:
    """The photos that the kite's file lists, and their captions."""
    listed = [photo for photo in photos if not photo.in_story]
    if not listed:
        return (), ()
    from bowbook.pages.story import Setting, picture

    setting = Setting(here, "", photos=photos, folder=here.rpartition("/")[0])
    return tuple(SafeHtml(picture(p, setting, p.alt)) for p in listed), tuple(p.caption for p in listed)
