"""The pages of a book as they are planned, without a publish."""

from __future__ import annotations

from pathlib import Path

from msgspec.structs import replace

from bowbook.book.values import Given, Now
from bowbook.charts.style import default_style
from bowbook.findings.compute import compute
from bowbook.format.kite_file import KiteFile
from bowbook.format.read_book import read_book
from bowbook.pages.kite_plan import KitePlan
from bowbook.pages.outline import ReadBook, ReadKite, kite_read
from bowbook.pages.site_plan import Look, plan
from bowbook.pages.targets import PageSpec


def planned(root: Path) -> tuple[PageSpec, ...]:
    """Every page of the book in a folder, photos left out."""
    book = read_book(root)
    assert not book.problems, book.problems[:3]
    kites = {}
    for key, kite in book.kites.items():
        read = kite_read(KiteFile(key, kite), (), kite.file)
        outline = replace(read.outline(), photos=())
        kites[key] = ReadKite(outline, replace(read, outline=Given(outline)))
    values = compute(book, {key: kite.given for key, kite in kites.items()}, Now())
    site = plan(ReadBook(book, kites, {}), values, {}, Look(default_style(), ""), Now())
    return (*site.pages, *(page for kite in site.kites.values() for page in KitePlan(site.book, kite, Now()).pages()))
