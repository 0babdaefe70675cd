"""The pages of a book as they are planned, without a publish."""

from __future__ import annotations

from pathlib import Path

from bowbook.book.values import Given, Now
from bowbook.charts.style import default_style
from bowbook.findings.compute import computed
from bowbook.format.read_book import read_book
from bowbook.pages.links import linked
from bowbook.pages.site_plan import PageSpec, Told, links_of, plan


def planned(root: Path) -> tuple[PageSpec, ...]:
    """Every page of the book in a folder, photos left out."""
    book = read_book(root)
    assert not book.problems, book.problems[:3]
    values = computed(book)
    told = {
        key: Told(Given(kite), Given(()), links_of(linked(kite.story, kite.file), book.kites, book.pages))
        for key, kite in book.kites.items()
    }
    return plan(book, values, told, default_style(), Now()).pages
