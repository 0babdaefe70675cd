"""A wind band: the kites for it, flown ones first; or what would fill it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from bowbook.book.records import Band
from bowbook.site import figures, words_shelf
from bowbook.site.pages import Facts, frame_from, kites_of
from bowbook.site.views.facts import stock_of
from bowbook.site.views.lines import Line, lines_of


@dataclass(frozen=True, slots=True)
class BandPage:
    """What a band's page shows."""

    title: str
    heading: str
    description: str
    lead: str
    flown: tuple[Line, ...]
    predicted: tuple[Line, ...]
    fill: str
    command: str


def view(facts: Facts) -> BandPage:
    """The page as its template takes it."""
    band, units = cast("Band", facts["here"]), frame_from(facts).units
    kites = [k for k in kites_of(facts).values() if band.name in k.wind.bands]
    lines = lines_of(kites, units, stock_of(facts))
    flown = tuple(line for line in lines if line.basis == "flown")
    predicted = tuple(line for line in lines if line.basis != "flown")
    lead = words_shelf.band_lead(band, len(flown), len(predicted), units)
    return BandPage(
        title=figures.capital(band.name),
        heading=figures.capital(band.name),
        description=lead,
        lead=lead,
        flown=flown,
        predicted=predicted,
        fill=words_shelf.band_fill(band, units),
        command=words_shelf.band_command(band, kites_of(facts).values(), units),
    )
