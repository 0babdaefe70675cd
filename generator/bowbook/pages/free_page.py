"""A free page: the maker's own title and text."""

from __future__ import annotations

from typing import cast

from msgspec import Struct

from bowbook.book.records import Page
from bowbook.pages.markup import SafeHtml
from bowbook.pages.plan import Facts, frame_from
from bowbook.pages.story_html import story_html


class FreePage(Struct, frozen=True):
    """What a free page shows."""

    title: str
    description: str
    story: SafeHtml


def view(facts: Facts) -> FreePage:
    """The page as its template takes it."""
    page = cast("Page", facts["page"])
    story = story_html(facts, f"pages/{page.key}.html", page.story, page.file)
    return FreePage(page.title, f"{page.title}: a page of {frame_from(facts).title}.", story or SafeHtml(""))
