"""A kite's states and days as its page shows them: dates in words, what is told, what stands beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from bowbook.book.records import Flight, Rod, Units
from bowbook.charts.style import Style
from bowbook.charts.tables import Row, Table
from bowbook.findings.results import Findings
from bowbook.pages.chart_figure import Chart, chart_or_none
from bowbook.pages.kite_days import Day, State
from bowbook.pages.kite_drawings import COVERED, flights_drawing, strongest
from bowbook.pages.markup import SafeHtml
from bowbook.pages.story_html import ShownPhoto
from bowbook.wording import days as words
from bowbook.wording import numbers

PLAIN: Mapping[str, str] = {"made": "made", "bench": "at the bench", "covered": "covered", "told": ""}
"""What a day is called on the rail where nobody flew."""


class FlightNote(Struct, frozen=True):
    """What a flyer wrote of a flight."""

    flyer: str | None
    text: str


class ShownDay(Struct, frozen=True):
    """One day on the page. `title` is None where the story has a heading of its own."""

    kind: str
    when: tuple[words.Dated, ...]  # none, one, or the first and the last
    label: str
    title: str | None
    story: tuple[SafeHtml, ...]
    notes: tuple[FlightNote, ...]
    said: tuple[str, ...]
    charts: tuple[Chart, ...]
    photos: tuple[ShownPhoto, ...]


class ShownState(Struct, frozen=True):
    """One state: its name, its cover, its figures with what they were before, its days."""

    name: str
    cover: str
    drawn: bool  # as the whole kite; else as its bare bones
    figures: tuple[tuple[str, str, str | None], ...]
    days: tuple[ShownDay, ...]


def shown_states(
    found: Findings,
    units: Units,
    states: Sequence[State],
    photos: Mapping[str, ShownPhoto],
    rounds: Mapping[str, Chart],
    verdicts: Sequence[str | None],
    style: Style,
    rod: Rod | None,
) -> tuple[ShownState, ...]:
    """Every state with its days; `rounds` are charts by the number of the round, `verdicts` what each showed."""
    most = strongest(found.kite)
    first = next((flight for flight in found.kite.flights if flight.note), None)
    shown, number = [], 0
    for state in states:
        days = []
        for day in state.days:
            number += 1
            names = [f"{place}" for place in day.rounds] + ([COVERED] if day.covered else [])
            charts = [rounds[name] for name in names if name in rounds]
            flown = flights_drawing(found, day, number, most, units) if day.flights else None
            rows = _flights_table(day.flights, units) if day.season else None
            if (chart := chart_or_none(flown, rows, _caption(day), style)) is not None:
                charts.append(chart)
            days.append(
                _day(found, units, day, verdicts, tuple(charts), tuple(photos[file] for file in day.photos), first)
            )
        figures = _figures(found, state, rod, units)
        shown.append(ShownState(state.name, state.cover, state.cover != "bare", figures, tuple(days)))
    return tuple(shown)


def _day(
    found: Findings,
    units: Units,
    day: Day,
    verdicts: Sequence[str | None],
    charts: tuple[Chart, ...],
    photos: tuple[ShownPhoto, ...],
    first: Flight | None,
) -> ShownDay:
    notes = [FlightNote(flight.flyer, flight.note) for flight in day.flights if flight.note]
    if len(day.flights) == 1:
        notes = [FlightNote(None, note.text) for note in notes]
    ends = [end for end in (day.on, day.until) if end]
    headed = bool(day.story) and day.story[0].headed
    return ShownDay(
        kind=day.kind,
        when=tuple(words.dated(end) for end in ends),
        label=_label(day),
        title=None if headed else _title(day, first, units),
        story=tuple(SafeHtml(part.html) for part in day.story),
        notes=tuple(notes),
        said=_said(found, units, day, verdicts),
        charts=charts,
        photos=photos,
    )


def _label(day: Day) -> str:
    done = (("made", day.made), ("bench", day.rounds), ("covered", day.covered))
    parts = [PLAIN[kind] for kind, there in done if there]
    if day.flights:
        parts.append(words.flown_by(day.flights))
    return ", ".join(parts)


def _title(day: Day, first: Flight | None, units: Units) -> str | None:
    """What a day is called that the story has no heading for."""
    if day.rounds:
        return " and ".join(
            words.round_title(number) if place == 0 else words.round_title(number).lower()
            for place, number in enumerate(day.rounds)
        ).replace(" round and", " and")
    if day.covered:
        return "Pressed with the skin on"
    if any(part.on is None for part in day.story):
        return "How it was made"
    if day.made:
        return None if day.story else "Finished"
    if day.season:
        return "Flights"
    if first in day.flights:
        return "First flight"
    liked = [flight.best for flight in day.flights if flight.best]
    if len(liked) == 1:
        return f"Liked in {numbers.winds(liked[0], units)}"
    return "Flown" if day.flights else None


def _said(found: Findings, units: Units, day: Day, verdicts: Sequence[str | None]) -> tuple[str, ...]:
    """What the figures of a day say."""
    said = []
    for number in day.rounds:
        record = found.kite.bench[number]
        verdict = verdicts[number] if number < len(verdicts) else None
        taken = words.shaved(record.shaves, units)
        said.append(" ".join(text for text in (record.note, verdict, taken) if text))
    if day.covered and found.skin.share is not None:
        said.append(f"The skin gives {numbers.share(found.skin.share, units)} of what the two resist together.")
    return tuple(text for text in said if text)


def _caption(day: Day) -> str:
    if day.season:
        return "Thin, the wind that blew; thick, what was liked."
    return words.marks(day.flights[0]) if len(day.flights) == 1 else ""


def _figures(found: Findings, state: State, rod: Rod | None, units: Units) -> tuple[tuple[str, str, str | None], ...]:
    """The figures under a state's name: of the bare bow its sizes, of the covered kite how it flexes."""
    record, section = found.kite, rod.section if rod else None
    if state.cover == "away":
        return ()
    if state.cover == "bare":
        thick = numbers.plain(section.thick_m, "thin", units) if section else None
        if section and section.wide_m is not None:
            thick = f"{numbers.plain(section.wide_m, 'thin', units)} × {thick}"
        rows = (
            ("long", numbers.plain(record.bow.length_m, "length", units) if record.bow.length_m else None),
            ("wide, thick" if section and section.wide_m else "thick", thick),
            ("weighs", numbers.plain(record.bow.mass_kg, "mass", units) if record.bow.mass_kg else None),
        )
    else:
        flex = found.wind.flex_m_s
        rows = (
            ("flexes at", numbers.measured(flex, "wind", units) if flex else None),
            ("skin’s share", numbers.share(found.skin.share, units) if found.skin.share is not None else None),
            ("weighs", numbers.plain(record.mass_kg, "mass", units) if record.mass_kg else None),
        )
    return tuple((name, value, None) for name, value in rows if value)


def _flights_table(flights: Sequence[Flight], units: Units) -> Table:
    """Flights without words, oldest first."""
    rows = tuple(
        Row(
            (
                words.dated_in_a_line(flight.on) if flight.on else "no day",
                flight.flyer or "–",
                numbers.winds(flight.wind, units) if flight.wind else "–",
                numbers.winds(flight.best, units) if flight.best else "–",
            )
        )
        for flight in flights
    )
    return Table(("Day", "Flyer", "It blew", "Liked best"), rows)
