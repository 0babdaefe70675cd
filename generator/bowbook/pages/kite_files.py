"""What stands beside a kite's page: the printable sheet, the picture for link previews, the file to build from."""

from __future__ import annotations

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book, Bow, Kite, Settings
from bowbook.book.sail import Sail
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings, Findings, WindFindings
from bowbook.sheets.content import PrintedSheet


class DrawnSheet(Struct, frozen=True):
    """A sheet's pages, drawn but not yet a PDF, and what the PDF says of itself."""

    pages: tuple[Any, ...]
    title: str
    author: str | None


class Card(Struct, frozen=True):
    """A kite as far as its preview picture shows it, and its winds in words."""

    findings: Findings
    book: BookFindings
    style: Style
    said: str


def drawn_sheet(sheet: PrintedSheet, paper: str) -> DrawnSheet:
    """A kite's sheet, drawn."""
    from bowbook.sheets.sheet import pages_of

    return DrawnSheet(tuple(pages_of(sheet, paper)), sheet.view.name, sheet.findings.book.settings.maker)


def printed_pdf(sheet: DrawnSheet) -> bytes:
    """The sheet as it is printed."""
    from bowbook.sheets.pdf import write_pdf

    return write_pdf(sheet.pages, sheet.title, sheet.author)


def on_card(found: Findings, book: BookFindings, style: Style) -> Card:
    """A kite as far as its card shows it."""
    from bowbook.wording.answers import likes

    kite, wind = found.kite, found.wind
    slim = Kite(
        kite.key,
        kite.name,
        sail=Sail(kite.sail.skin, kite.sail.outline, kite.sail.colours),
        bow=Bow(crosses_m=kite.bow.crosses_m),
    )
    said = likes(found, book.book.settings.units) or ""
    return Card(Findings(slim, wind=WindFindings(basis=wind.basis, range=wind.range)), book, style, said)


def card_words(card: Card) -> Card:
    """The card with its winds in words alone."""
    wind = replace(card.findings.wind, range=None)
    return replace(card, findings=replace(card.findings, wind=wind))


def card_file(card: Card) -> bytes:
    """The card as a PNG."""
    from bowbook.charts.card import card_png

    return card_png(card.findings, card.book, card.style)


def shared_settings(settings: Settings) -> Settings:
    """The settings that a kite's file rests on when it is given away."""
    return replace(settings, title="", about=None, accent=None, theme="", bands=(), compare=(), flyer=None)


def to_share(kite: Kite, book: Book) -> str:
    """The file to build the kite from; `book` has its stock."""
    from bowbook.format.share import kite_to_share

    return kite_to_share(replace(book, kites={kite.key: kite}), kite.key)
