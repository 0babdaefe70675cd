"""A kite's own page: what it is, the three answers, the bench, the strung bow, its winds, its flights, its story."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.days import middle_of
from bowbook.book.records import Flight, Kite, Units
from bowbook.charts.bench import bench_chart, bench_rows
from bowbook.charts.bow import bow_chart, bow_rows
from bowbook.charts.comfort import comfort_chart, comfort_rows, flyer_of
from bowbook.charts.silhouette import describe
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import BookFindings, Findings, FlyerFindings
from bowbook.pages.chart_figure import Chart, ComfortPart, chart_or_none
from bowbook.pages.chrome import Chrome, NavItem, kite_address
from bowbook.pages.figures_table import figures_table
from bowbook.pages.kite_row import KiteRow
from bowbook.pages.markup import Data, SafeHtml, data_block
from bowbook.pages.photo_view import PhotoView
from bowbook.pages.shaving_table import Shave, shaving_of
from bowbook.pages.story_html import Links, photos_html, story_html
from bowbook.wording import answers, numbers
from bowbook.wording.missing import Missing, Note, missing_of, notes_of


class KitePage(Struct, frozen=True):
    """What a kite's page shows."""

    title: str
    description: str
    kite: Kite
    line: KiteRow
    portrait: str
    said: tuple[str, ...]
    answers: tuple[answers.Answer, ...]
    warnings: tuple[str, ...]
    bench: Chart | None
    shave: Shave | None
    bow: Chart | None
    comfort: Chart | None
    comfort_of: str | None
    winds: Table | None
    bands: tuple[NavItem, ...]
    flights: Table | None
    figures: Table | None
    photos: tuple[SafeHtml, ...]
    captions: tuple[str | None, ...]
    story: SafeHtml | None
    missing: tuple[Missing, ...]
    assumed: tuple[Note, ...]
    folder: str
    address: str
    preview: str | None
    about: Data


class BowCharts(Struct, frozen=True):
    """The charts of a kite's bow by itself."""

    bench: Chart | None
    bow: Chart | None


def bow_charts(found: Findings, book: BookFindings, style: Style) -> BowCharts:
    """A kite's rounds at the bench and its strung bow; the winds it was flown in have no part in them."""
    return BowCharts(
        chart_or_none(
            bench_chart(found, book),
            bench_rows(found, book),
            "Every round at the bench; bars are 95 % intervals.",
            style,
        ),
        chart_or_none(bow_chart(found, book), bow_rows(found, book), "The strung bow, true to shape.", style),
    )


def comfort_part(found: Findings, book: BookFindings, style: Style) -> ComfortPart:
    """The kite among those a flyer has logged; `book` has the one flyer whose records are shown, if any."""
    flyer = flyer_of(found, book)
    return ComfortPart() if flyer is None else ComfortPart(_comfort(found, book, flyer, style), flyer)


def kite_page(
    chrome: Chrome,
    found: Findings,
    row: KiteRow,
    flyers: Mapping[str, FlyerFindings],
    charts: BowCharts,
    comfort: ComfortPart,
    photos: tuple[PhotoView, ...],
    links: Links,
) -> KitePage:
    """The page as its template takes it; of the `flyers` only how many records they have is shown."""
    record, units = found.kite, chrome.units
    said = answers.three_answers(found, units, flyers, chrome.flyer)
    address = kite_address(record.key)
    pictures, captions = photos_html(photos, address)
    return KitePage(
        title=record.name,
        description=record.summary or " ".join(a.text for a in said),
        kite=record,
        line=replace(row, ranges=(), own_flyer=""),
        portrait=describe(found),
        said=_said(record, chrome),
        answers=said,
        warnings=found.warnings,
        bench=charts.bench,
        shave=shaving_of(found, units),
        bow=charts.bow,
        comfort=comfort.chart,
        comfort_of=comfort.flyer,
        winds=_winds(found, units),
        bands=tuple(band for band in chrome.bands if band.title in found.wind.bands),
        flights=_flights(record, units),
        figures=figures_table(found, units),
        photos=pictures,
        captions=captions,
        story=story_html(record.story, record.file, address, links, photos),
        missing=missing_of(found),
        assumed=notes_of(found),
        folder=f"kites/{record.key}",
        address=address,
        preview=chrome.absolute(f"kites/{record.key}/card.png"),
        about=data_block(_about(record, chrome, said)),
    )


def _said(record: Kite, chrome: Chrome) -> tuple[str, ...]:
    """The short facts under the name: stage, date, where it came from."""
    said: list[str] = [record.stage] if record.stage else []
    if record.made:
        said.append(f"made {record.made}")
    if record.origin and (record.origin.kite or record.origin.maker):
        by = f" by {record.origin.maker}" if record.origin.maker else ""
        said.append(f"after {record.origin.kite or 'a kite'}{by}")
    elif chrome.maker:
        said.append(f"by {chrome.maker}")
    return tuple(said)


def _comfort(found: Findings, book: BookFindings, flyer: str, style: Style) -> Chart | None:
    picture = comfort_chart(found, book, flyer)
    rows = comfort_rows(found, book, flyer) if picture else None  # of a large book they are many
    return chart_or_none(picture, rows, f"This kite among those {flyer} has told about.", style)


def _winds(found: Findings, units: Units) -> Table | None:
    """Each flyer's range, flown and predicted."""
    wind = found.wind
    rows = []
    for flyer in sorted({*wind.flown, *wind.predicted}):
        flown, predicted = wind.flown.get(flyer), wind.predicted.get(flyer)
        edges = ""
        if predicted and predicted.low_interval and predicted.high_interval:
            edges = f"{numbers.winds(predicted.low_interval, units)} · {numbers.winds(predicted.high_interval, units)}"
        rows.append(
            Row(
                (
                    flyer,
                    numbers.winds_both(flown, units) if flown else "–",
                    numbers.winds_both(predicted, units) if predicted else "–",
                    edges or "–",
                    numbers.counted(predicted.kites, "kite") if predicted else "–",
                )
            )
        )
    head = ("Flyer", "Flown best in", "Predicted", "95 % of either edge", "Going by")
    return Table(head, tuple(rows)) if rows else None


def _flights(record: Kite, units: Units) -> Table | None:
    """The log, newest first."""
    rows = [
        Row(
            (
                flight.on or "no date",
                flight.flyer or "–",
                _wind(flight, "wind", units),
                _wind(flight, "best", units),
                f"{flight.control} of 5" if flight.control else "–",
                f"{flight.speed} of 5" if flight.speed else "–",
                flight.note or "",
            )
        )
        for flight in sorted(record.flights, key=_day, reverse=True)
    ]
    head = ("Day", "Flyer", "It blew", "Liked best", "Control", "Speed", "Note")
    return Table(head, tuple(rows)) if rows else None


def _day(flight: Flight) -> date:
    """Where a flight stands among others; before all of them without a day."""
    return middle_of(flight.on) if flight.on else date.min


def _wind(flight: Flight, which: str, units: Units) -> str:
    """A logged wind as it was measured, with its height where that is not the book's."""
    wind = flight.wind if which == "wind" else flight.best
    if wind is None:
        return "–"
    height = " at 10 m" if wind.at_10m else f" at {numbers.number(flight.height_m)} m" if flight.height_m else ""
    return numbers.winds(wind, units) + height


def _about(record: Kite, chrome: Chrome, said: tuple[answers.Answer, ...]) -> dict[str, Any]:
    """The page for machines, in schema.org's words."""
    about: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "CreativeWork",
        "name": record.name,
        "genre": "kite",
        "description": record.summary or " ".join(a.text for a in said),
        "isPartOf": {"@type": "CollectionPage", "name": chrome.title},
    }
    if chrome.maker:
        about["creator"] = {"@type": "Person", "name": chrome.maker}
    if record.made and record.made[0].isdigit():  # a season is no date of schema.org
        about["dateCreated"] = record.made
    if chrome.address:
        about["url"] = chrome.absolute(kite_address(record.key))
        about["image"] = chrome.absolute(f"kites/{record.key}/card.png")
    return about
