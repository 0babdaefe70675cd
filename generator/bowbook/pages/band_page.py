"""A wind band: the kites for it, flown ones first; or what would fill it."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Band
from bowbook.pages.by_letter import LetterPart, by_letter
from bowbook.pages.chrome import Chrome
from bowbook.pages.kite_row import KiteRow, rows_in_order
from bowbook.wording import collection, numbers

PICTURED = 60
"""Kites of a band that are shown with their pictures; more stand as lists of names by letters."""


class BandPage(Struct, frozen=True):
    """What a band's page shows."""

    title: str
    heading: str
    description: str
    lead: str
    flown: tuple[KiteRow, ...]
    predicted: tuple[KiteRow, ...]
    flown_parts: tuple[LetterPart, ...]  # by letters, where they are too many for pictures
    predicted_parts: tuple[LetterPart, ...]
    fill: str
    command: str


def band_page(chrome: Chrome, band: Band, rows: tuple[KiteRow, ...]) -> BandPage:
    """The page as its template takes it; `rows` are of every kite, in any order."""
    known, units = rows_in_order(rows), chrome.units
    lines = [line for line in known if band.name in line.bands]
    flown = tuple(line for line in lines if line.basis == "flown")
    predicted = tuple(line for line in lines if line.basis != "flown")
    many = len(lines) > PICTURED
    lead = collection.band_lead(band, len(flown), len(predicted), units)
    return BandPage(
        title=numbers.capital(band.name),
        heading=numbers.capital(band.name),
        description=lead,
        lead=lead,
        flown=flown,
        predicted=predicted,
        flown_parts=by_letter(flown) if many else (),
        predicted_parts=by_letter(predicted) if many else (),
        fill=collection.band_fill(band, units),
        command=collection.band_command(band, {x.key: x.flex_m_s for x in known if x.flex_m_s}, units),
    )
