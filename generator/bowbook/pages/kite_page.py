"""A kite's own page: what it is, the three answers, the bench, the strung bow, its winds, its flights, its story."""

from __future__ import annotations

import hashlib
from datetime import date
from functools import partial
from typing import Any

from msgspec import Struct

from bowbook.book.days import middle_of
from bowbook.book.records import Flight, Kite, Units
from bowbook.charts.bench import bench_chart, bench_rows
from bowbook.charts.bow import bow_chart, bow_rows
from bowbook.charts.comfort import comfort_chart, comfort_rows, flyer_of
from bowbook.charts.silhouette import describe
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import BookFindings, Findings
from bowbook.pages.chart_figure import Chart, chart_or_none
from bowbook.pages.chrome import Chrome, NavItem, kite_address
from bowbook.pages.facts import book_of, own_kite, parts_of, stock_of, style_of
from bowbook.pages.figures_table import figures_table
from bowbook.pages.kite_row import KiteRow, line_of
from bowbook.pages.markup import Data, SafeHtml, data_block
from bowbook.pages.parts import Parts
from bowbook.pages.plan import Facts, frame_from
from bowbook.pages.shaving_table import Shave, shaving_of
from bowbook.pages.story_html import photos_html, story_html
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


def view(facts: Facts) -> KitePage:
    """The page as its template takes it."""
    frame, found, book = frame_from(facts), own_kite(facts), book_of(facts)
    record, units = found.kite, frame.units
    said = answers.three_answers(found, units, book.flyers, frame.flyer)
    flyer, style, parts = flyer_of(found, book), style_of(facts), parts_of(facts)
    address = kite_address(record.key)
    pictures, captions = photos_html(facts, address)
    return KitePage(
        title=record.name,
        description=record.summary or " ".join(a.text for a in said),
        kite=record,
        line=line_of(found, units, stock_of(facts)),
        portrait=describe(found),
        said=_said(record, book),
        answers=said,
        warnings=found.warnings,
        bench=chart_or_none(
            bench_chart(found, book),
            bench_rows(found, book),
            "Every round at the bench; bars are 95 % intervals.",
            style,
            partial(parts.of, "bench", record.key),
        ),
        shave=shaving_of(found, units),
        bow=chart_or_none(
            bow_chart(found, book),
            bow_rows(found, book),
            "The strung bow, true to shape.",
            style,
            partial(parts.of, "bow", record.key),
        ),
        comfort=_comfort(found, book, flyer, style, parts),
        comfort_of=flyer,
        winds=_winds(found, units),
        bands=_bands(found, book),
        flights=_flights(record, units),
        figures=figures_table(found, units),
        photos=pictures,
        captions=captions,
        story=story_html(facts, address, record.story, record.file),
        missing=missing_of(found),
        assumed=notes_of(found),
        folder=f"kites/{record.key}",
        address=address,
        preview=frame.absolute(f"kites/{record.key}/card.png"),
        about=data_block(_about(record, frame, said)),
    )


def _said(record: Kite, book: BookFindings) -> tuple[str, ...]:
    """The short facts under the name: stage, date, where it came from."""
    said: list[str] = [record.stage] if record.stage else []
    if record.made:
        said.append(f"made {record.made}")
    if record.origin and (record.origin.kite or record.origin.maker):
        by = f" by {record.origin.maker}" if record.origin.maker else ""
        said.append(f"after {record.origin.kite or 'a kite'}{by}")
    elif book.book.settings.maker:
        said.append(f"by {book.book.settings.maker}")
    return tuple(said)


def _comfort(found: Findings, book: BookFindings, flyer: str | None, style: Style | None, parts: Parts) -> Chart | None:
    """The kite among those of its flyer; the chart rests on the names of the others too."""
    if flyer is None:
        return None
    picture = comfort_chart(found, book, flyer)
    rows = comfort_rows(found, book, flyer) if picture else None  # of a large book they are many
    kept = partial(parts.of, f"wind {_names(book)}", found.kite.key)
    return chart_or_none(picture, rows, f"This kite among those {flyer} has told about.", style, kept)


def _names(book: BookFindings) -> str:
    """A digest of what the kites are called and of the winds they flex in."""
    told = [(key, f.kite.name, f.wind.flex_m_s) for key, f in book.kites.items()]
    return hashlib.sha256(repr(told).encode("utf-8", "surrogatepass")).hexdigest()


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


def _bands(found: Findings, book: BookFindings) -> tuple[NavItem, ...]:
    return tuple(NavItem(f"bands/{b.key}.html", b.name) for b in book.bands if b.name in found.wind.bands)


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


def _about(record: Kite, frame: Chrome, said: tuple[answers.Answer, ...]) -> dict[str, Any]:
    """The page for machines, in schema.org's words."""
    about: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "CreativeWork",
        "name": record.name,
        "genre": "kite",
        "description": record.summary or " ".join(a.text for a in said),
        "isPartOf": {"@type": "CollectionPage", "name": frame.title},
    }
    if frame.maker:
        about["creator"] = {"@type": "Person", "name": frame.maker}
    if record.made and record.made[0].isdigit():  # a season is no date of schema.org
        about["dateCreated"] = record.made
    if frame.address:
        about["url"] = frame.absolute(kite_address(record.key))
        about["image"] = frame.absolute(f"kites/{record.key}/card.png")
    return about
