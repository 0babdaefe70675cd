"""A kite's own page: its picture, the three answers, its days state by state, its place among the others, figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.days import middle_of
from bowbook.book.records import Flight, Kite, Rod, Skin, Units
from bowbook.charts.sail_cloth import drawing_prefix
from bowbook.charts.silhouette import describe
from bowbook.charts.style import Style
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.results import BookFindings, Findings, FlyerFindings
from bowbook.findings.states import sail_as_of
from bowbook.pages.chart_figure import Chart, ComfortPart, chart_or_none, files_of
from bowbook.pages.chrome import Chrome, NavItem, kite_address
from bowbook.pages.figures_table import FigureGroup, figure_groups
from bowbook.pages.kite_days import StateDays, days_by_state
from bowbook.pages.kite_drawings import round_drawings, winds_drawing, years_drawing
from bowbook.pages.kite_row import KiteRow, Picture, picture_of
from bowbook.pages.links import batch_address
from bowbook.pages.markup import Data, SafeHtml, data_block
from bowbook.pages.photo_view import PhotoView
from bowbook.pages.shaving_table import ShavingTable, shaving_of
from bowbook.pages.shown_states import ShownState, shown_states
from bowbook.pages.story_html import Links, ShownPhoto, photos_html, story_parts, top_photo
from bowbook.wording import numbers
from bowbook.wording.days import dated_in_a_line, flights_lead, marks_given, round_judged
from bowbook.wording.field import taps_said
from bowbook.wording.kite_answers import SureAnswer, sure_answers
from bowbook.wording.missing import Missing, Note, missing_of, notes_of
from bowbook.wording.target import target_said

WIDE_WORD, LONG_WORD, LONGEST_WORD = 9, 11, 17
"""Letters of the longest word of a name, from which on it is set smaller, smaller still, and smallest."""


class DrawnAnswer(Struct, frozen=True):
    """One of the three answers with its small drawing."""

    said: SureAnswer
    picture: Chart | None


class KitePage(Struct, frozen=True):
    """What a kite's page shows."""

    title: str
    long: str  # "wide", "long" or "longest" where the name is set smaller
    description: str
    kite: Kite
    line: KiteRow
    portrait: str
    hero: ShownPhoto | None
    flying: SafeHtml | None  # where there is no photo and the outline is known
    facts: tuple[tuple[str, str], ...]
    answers: tuple[DrawnAnswer, ...]
    warnings: tuple[str, ...]
    target: tuple[str, ...]
    shave: ShavingTable | None
    lead: str
    years: Chart | None
    states: tuple[ShownState, ...]
    bench: ChartTable | None
    bench_files: tuple[tuple[str, str], ...]
    rereads: Chart | None  # where its readings say that the bow changed by itself
    batch: NavItem | None
    bow: Chart | None
    comfort: Chart | None
    comfort_of: str | None
    winds: ChartTable | None
    bands: tuple[NavItem, ...]
    flights: ChartTable | None
    figures: tuple[FigureGroup, ...]
    missing: tuple[Missing, ...]
    assumed: tuple[Note, ...]
    folder: str
    preview: str | None
    about: Data


class BowCharts(Struct, frozen=True):
    """The charts of a kite's bow by itself, what each round showed, and all as a table with its chart to take home."""

    even: Chart | None
    stiff: Chart | None
    rounds: Mapping[str, Chart]
    verdicts: Mapping[str, str]
    bench: ChartTable | None
    bench_files: tuple[tuple[str, str], ...]
    bow: Chart | None
    rereads: Chart | None


def bow_charts(found: Findings, book: BookFindings, style: Style) -> BowCharts:
    """A kite's rounds at the bench and its strung bow; the winds it was flown in have no part in them."""
    from bowbook.charts.answers import even_chart, stiff_chart
    from bowbook.charts.bench import bench_chart, bench_rows
    from bowbook.charts.bow import bow_chart, bow_rows
    from bowbook.charts.rereads import rereads_chart, rereads_rows

    bench, table = bench_chart(found, book), bench_rows(found, book)
    units, tolerance = book.book.settings.units, found.balance.tolerance
    rounds = {name: chart_or_none(one, None, said, style) for name, (one, said) in round_drawings(found, book).items()}
    return BowCharts(
        even=chart_or_none(even_chart(found, book), None, "", style),
        stiff=chart_or_none(stiff_chart(found, book), None, "", style),
        rounds={name: chart for name, chart in rounds.items() if chart},
        verdicts={
            path: said
            for path, one in found.rounds.items()
            if (said := round_judged(one.showed, book.coverage, tolerance, units)) is not None
        },
        bench=table if table.rows else None,
        bench_files=files_of(bench) if bench else (),
        bow=chart_or_none(bow_chart(found, book), bow_rows(found, book), "The strung bow, true to shape.", style),
        rereads=chart_or_none(rereads_chart(found, book), rereads_rows(found, book), "", style),
    )


def comfort_part(found: Findings, book: BookFindings, style: Style) -> ComfortPart:
    """The kite among those a flyer has logged; `book` has the one flyer whose records are shown, if any."""
    from bowbook.charts.comfort import flyer_of

    flyer = flyer_of(found, book)
    return ComfortPart() if flyer is None else ComfortPart(_comfort(found, book, flyer, style), flyer)


class Surroundings(Struct, frozen=True):
    """What a kite's page needs of the book around it: its rod and its skin in stock, links of its story, the style."""

    rod: Rod | None
    skin: Skin | None
    skins: Mapping[str, Skin]  # that it ever wore
    links: Links
    style: Style


def kite_page(
    chrome: Chrome,
    found: Findings,
    row: KiteRow,
    flyers: Mapping[str, FlyerFindings],
    charts: BowCharts,
    comfort: ComfortPart,
    photos: tuple[PhotoView, ...],
    around: Surroundings,
) -> KitePage:
    """The page as its template takes it; of the `flyers` only how many records they have is shown."""
    record, units, address = found.filed or found.kite, chrome.units, kite_address(found.kite.key)
    style = around.style
    said = sure_answers(found, units, flyers, chrome.flyer)
    top = top_photo(record.photos)
    loose = photos_html(photos, address, top)
    hero = loose.pop(top) if top else None
    story = story_parts(record.story, record.file, address, around.links, photos)
    states = days_by_state(record, story, [(photo.file, photo.on) for photo in record.photos if photo.file in loose])
    looks = [_look(found, record, state, number, around) for number, state in enumerate(states)]
    pictures = charts.even, charts.stiff, chart_or_none(winds_drawing(found, units), None, "", style)
    return KitePage(
        title=record.name,
        long=_set_smaller(record.name),
        description=record.summary or " ".join(answer.say for answer in said),
        kite=record,
        line=replace(row, ranges=(), own_flyer=""),
        portrait=describe(found),
        hero=hero,
        flying=None if hero or len(record.sail.outline) < 2 else _flying(found, around.skin),
        facts=_facts(record, chrome, around),
        answers=tuple(DrawnAnswer(answer, picture) for answer, picture in zip(said, pictures, strict=True)),
        warnings=found.warnings,
        target=target_said(found.target, units) if found.target else (),
        shave=shaving_of(found, units),
        lead=flights_lead(record.flights),
        years=chart_or_none(years_drawing(record, states, units, found.wind.flyer), None, "", style),
        states=shown_states(
            found, record, units, states, loose, charts.rounds, charts.verdicts, style, around.rod, looks
        ),
        bench=charts.bench,
        bench_files=charts.bench_files,
        rereads=charts.rereads,
        batch=NavItem(batch_address(record.batch), record.batch) if record.batch else None,
        bow=charts.bow,
        comfort=comfort.chart,
        comfort_of=comfort.flyer,
        winds=_winds(found, units),
        bands=tuple(band for band in chrome.bands if band.title in found.wind.bands),
        flights=_flights(record, units),
        figures=figure_groups(found, units),
        missing=missing_of(found),
        assumed=notes_of(found),
        folder=f"kites/{record.key}",
        preview=chrome.absolute(f"kites/{record.key}/card.png"),
        about=data_block(_about(record, chrome, said)),
    )


def _flying(found: Findings, skin: Skin | None) -> SafeHtml:
    """The kite as it flies; its ids are others than those of the kite drawn flat on the same page."""
    from bowbook.charts.in_flight import in_flight_svg

    prefix = drawing_prefix(found.kite.key)
    return SafeHtml(in_flight_svg(found, found.wind.fold_rad, skin).replace(prefix, f"flying-{prefix}"))


def _look(found: Findings, record: Kite, state: StateDays, number: int, around: Surroundings) -> Picture | None:
    """The kite as it looked in one of its states, with ids of its own; None where that is as it looks now."""
    sail = sail_as_of(record, state.change)
    if state.cover in ("bare", "away") or sail == found.kite.sail or len(sail.outline) < 2:
        return None
    picture = picture_of(replace(found, kite=replace(found.kite, sail=sail)), around.skins.get(sail.skin or ""))
    prefix = drawing_prefix(record.key)
    return replace(picture, shapes=SafeHtml(picture.shapes.text.replace(prefix, f"then-{number}-{prefix}")))


def _facts(record: Kite, chrome: Chrome, around: Surroundings) -> tuple[tuple[str, str], ...]:
    """The short facts under the name: what it is now, who made it and when, after what, of what."""
    maker = chrome.maker
    now = f"with {record.to}" if record.stage == "given" and record.to else record.stage
    facts: list[tuple[str, str]] = [("Now", now)] if now else []
    made = ", ".join(part for part in (maker, dated_in_a_line(record.made) if record.made else None) if part)
    if made:
        facts.append(("Made by" if maker else "Made", made))
    if record.origin and (record.origin.kite or record.origin.maker):
        by = f" by {record.origin.maker}" if record.origin.maker else ""
        facts.append(("After", f"{record.origin.kite or 'a kite'}{by}"))
    of = [stuff.material or stuff.key for stuff in (around.rod, around.skin) if stuff]
    if of:
        facts.append(("Of", ", ".join(of)))
    return tuple(facts)


def _comfort(found: Findings, book: BookFindings, flyer: str, style: Style) -> Chart | None:
    from bowbook.charts.comfort import comfort_chart, comfort_rows

    picture = comfort_chart(found, book, flyer)
    rows = comfort_rows(found, book, flyer) if picture else None  # of a large book they are many
    return chart_or_none(picture, rows, f"This kite among those {flyer} has told about.", style)


def _winds(found: Findings, units: Units) -> ChartTable | None:
    """Each flyer's range, flown and predicted."""
    wind = found.wind
    rows = []
    for flyer in sorted({*wind.flown, *wind.predicted}):
        flown, predicted = wind.flown.get(flyer), wind.predicted.get(flyer)
        edges = ""
        if predicted and predicted.low_interval and predicted.high_interval:
            edges = f"{numbers.winds(predicted.low_interval, units)} · {numbers.winds(predicted.high_interval, units)}"
        rows.append(
            ChartRow(
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
    return ChartTable(head, tuple(rows)) if rows else None


def _flights(record: Kite, units: Units) -> ChartTable | None:
    """The log, newest first; a column that nobody filled in is left out."""
    head = ("Day", "Flyer", "It blew", "Gusts", "Liked best", "Taps", "Bow", "Line", "Place", "Marks", "Note")
    cells = [
        (
            dated_in_a_line(flight.on) if flight.on else "no date",
            flight.flyer or "–",
            _wind(flight, "wind", units),
            numbers.winds(flight.gusts, units) if flight.gusts else "–",
            _wind(flight, "best", units),
            taps_said(flight, units) or "–",
            flight.bow or "–",
            numbers.line(flight.line_m, units) if flight.line_m else "–",
            flight.place or "–",
            marks_given(flight).rstrip(".") or "–",
            flight.note or "–",
        )
        for flight in sorted(record.flights, key=_day, reverse=True)
    ]
    kept = [column for column in range(len(head)) if not column or any(row[column] != "–" for row in cells)]
    rows = tuple(ChartRow(tuple(row[column] for column in kept)) for row in cells)
    return ChartTable(tuple(head[column] for column in kept), rows) if rows else None


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


def _about(record: Kite, chrome: Chrome, said: Sequence[SureAnswer]) -> dict[str, Any]:
    """The page for machines, in schema.org's words."""
    about: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "CreativeWork",
        "name": record.name,
        "genre": "kite",
        "description": record.summary or " ".join(a.say for a in said),
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


def _set_smaller(name: str) -> str:
    longest = max((len(word) for word in name.split()), default=0)
    steps = ((LONGEST_WORD, "longest"), (LONG_WORD, "long"), (WIDE_WORD, "wide"))
    return next((size for letters, size in steps if longest >= letters), "")
