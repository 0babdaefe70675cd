"""A kite's photos and its story, as HTML that is safe as it stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from bowbook.pages.markup import SafeHtml
from bowbook.pages.plan import Facts, PhotoView

if TYPE_CHECKING:
    from bowbook.pages.story import Setting


def story_html(facts: Facts, here: str, story: str, file: str) -> SafeHtml | None:
    """The story; None where there is none."""
    if not story.strip():
        return None
    from bowbook.pages.story import to_html

    return SafeHtml(to_html(story, _setting(facts, here, file)))


def photos_html(facts: Facts, here: str) -> tuple[tuple[SafeHtml, ...], tuple[str | None, ...]]:
    """The photos that the kite's file lists, and their captions."""
    listed = [photo for photo in _photos(facts) if not photo.in_story]
    if not listed:
        return (), ()
    from bowbook.pages.story import picture

    setting = _setting(facts, here, "")
    return tuple(SafeHtml(picture(p, setting, p.alt)) for p in listed), tuple(p.caption for p in listed)


def _photos(facts: Facts) -> tuple[PhotoView, ...]:
    return cast("tuple[PhotoView, ...]", facts.get("photos", ()))


def _setting(facts: Facts, here: str, file: str) -> Setting:
    from bowbook.pages.story import Setting

    kites, pages = cast("tuple[tuple[str, ...], tuple[str, ...]]", facts["links"])
    return Setting(here, file, kites, pages, _photos(facts), here.rpartition("/")[0])
