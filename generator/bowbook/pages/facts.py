"""A page's facts, each with its type: what a view reads them through."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from msgspec.structs import replace

from bowbook.book.records import Band, Rod, Skin
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings, Findings, FlyerFindings
from bowbook.pages.parts import Parts
from bowbook.pages.plan import Facts, kites_of

Stock = tuple[Mapping[str, Rod], Mapping[str, Skin]]


def book_of(facts: Facts) -> BookFindings:
    """The book as far as this page may know it: what all pages share, and the page's own kites whole."""
    shared = cast("BookFindings", facts["book"])
    return replace(shared, flyers=flyers_of(facts), kites={**shared.kites, **kites_of(facts)})


def whole_book(facts: Facts) -> BookFindings:
    """The book of a page that was handed every kite."""
    return replace(cast("BookFindings", facts["book"]), flyers=flyers_of(facts), kites=kites_of(facts))


def stock_of(facts: Facts) -> Stock:
    """Rods and skins by key."""
    book = cast("BookFindings", facts["book"]).book
    return book.rods, book.skins


def bands_of(facts: Facts) -> tuple[Band, ...]:
    """The book's wind bands."""
    return cast("BookFindings", facts["book"]).bands


def flyers_of(facts: Facts) -> Mapping[str, FlyerFindings]:
    """The flyers with their records, by name, in the book's order."""
    return cast("Mapping[str, FlyerFindings]", facts["flyers"])


def style_of(facts: Facts) -> Style | None:
    """The theme's chart style; None means the notebook's."""
    return cast("Style | None", facts.get("style"))


def own_kite(facts: Facts) -> Findings:
    """The kite the page is about."""
    return kites_of(facts)[cast("str", facts["here"])]


def parts_of(facts: Facts) -> Parts:
    """The parts of lists that are at hand already."""
    return cast("Parts", facts.get("parts")) or Parts()
