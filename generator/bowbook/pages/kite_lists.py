"""One kite as every page and file that has all kites takes it: worked out once, each part known by itself."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.records import Kite, Rod, Skin, Units
from bowbook.book.values import Given, Value
from bowbook.findings.ratings import ratings_of
from bowbook.findings.results import BookFindings, Findings
from bowbook.pages.atom import FeedEntry, entries_of
from bowbook.pages.comparison_table import Compared, compared
from bowbook.pages.data_files import kite_as_csv, kite_as_json
from bowbook.pages.days_page import KiteDays, days_of_kite
from bowbook.pages.field_page import FlightCounts, flown_of
from bowbook.pages.kite_row import KiteRow, row_of


class ListedKite(Struct, frozen=True):
    """A kite's figures: as a row, among the others, and in the data files."""

    row: Value[KiteRow]
    compared: Value[Compared]
    json: Value[str]
    csv: Value[str]


class KiteLog(Struct, frozen=True):
    """A kite's days and flights: for the page of days, for the field, and in the feed."""

    days: Value[KiteDays]
    flown: Value[FlightCounts]
    feed: Value[tuple[FeedEntry, ...]]


def listed_kite(
    found: Findings,
    shown: BookFindings,
    skins: Mapping[str, Skin],
    rods: Mapping[str, Rod],
    flyers: tuple[str, ...],
) -> ListedKite:
    """A kite as lists show it; `skins` and `rods` need only have its own."""
    record = found.filed or found.kite
    return ListedKite(
        row=Given(row_of(found, shown.book.settings.units, skins, rods, flyers)),
        compared=Given(compared(found, shown, ratings_of(record))),
        json=Given(kite_as_json(found)),
        csv=Given(kite_as_csv(found)),
    )


def kite_log(kite: Kite, flex_m_s: float | None, units: Units) -> KiteLog:
    """What a kite's record says of its days."""
    return KiteLog(
        days=Given(days_of_kite(kite, flex_m_s)),
        flown=Given(flown_of(kite)),
        feed=Given(entries_of(kite, units)),
    )
