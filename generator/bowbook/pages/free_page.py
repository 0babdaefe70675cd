"""A free page: the maker's own title and text."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Page
from bowbook.pages.chrome import Chrome
from bowbook.pages.markup import SafeHtml
from bowbook.pages.story_html import Links, story_html
from bowbook.wording.numbers import stopped


class FreePage(Struct, frozen=True):
    """What a free page shows."""

    title: str
    description: str
    story: SafeHtml


def free_page(chrome: Chrome, page: Page, links: Links) -> FreePage:
    """The page as its template takes it."""
    story = story_html(page.story, page.file, f"pages/{page.key}.html", links, ())
    return FreePage(page.title, stopped(f"{page.title}: a page of {chrome.title}"), story or SafeHtml(""))
