"""A kite's states and days as its page shows them: dates in words, what is told, what stands beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from bowbook.book.days import in_order
from bowbook.book.records import Change, Flight, Kite, Rod, Units
from bowbook.charts.style import Style
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import Findings
from bowbook.pages.chart_figure import Chart, chart_or_none
from bowbook.pages.kite_days import GONE, Day, StateDays
from bowbook.pages.kite_drawings import flights_drawing, strongest
from bowbook.pages.kite_row import Picture
from bowbook.pages.markup import SafeHtml
from bowbook.pages.story_html import ShownPhoto
from bowbook.wording import days as words
from bowbook.wording import numbers
from bowbook.wording.field import taps_said

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
    look: Picture | None  # where it looked otherwise than now
    figures: tuple[tuple[str, str, str | None], ...]
    days: tuple[ShownDay, ...]


def shown_states(
    found: Findings,
    record: Kite,
    units: Units,
    states: Sequence[StateDays],
    photos: Mapping[str, ShownPhoto],
    rounds: Mapping[str, Chart],
    verdicts: Mapping[str, str],
    style: Style,
    rod: Rod | None,
    looks: Sequence[Picture | None],
) -> tuple[ShownState, ...]:
    """Every state with its days; `rounds` are charts by the path of the round, `verdicts` what each showed."""
    most = strongest(record)
    first = next(iter(in_order(record.flights, lambda flight: flight.on)), None)
    shown, number = [], 0
    before: dict[str, str] = {}
    for state, look in zip(states, looks, strict=True):
        days = []
        for day in state.days:
            number += 1
            charts = [rounds[path] for path in day.pressed if path in rounds]
            flown = flights_drawing(found, day, number, most, units) if day.flights else None
            rows = _flights_table(day.flights, units) if day.season else None
            if (chart := chart_or_none(flown, rows, _caption(day), style)) is not None:
                charts.append(chart)
            beside = tuple(photos[file] for file in day.photos)
            days.append(_day(found, record, units, day, verdicts, tuple(charts), beside, first))
        figures = _figures(found, record, state, rod, units, before)
        shown.append(ShownState(state.name, state.cover, state.cover != "bare", look, figures, tuple(days)))
    return tuple(shown)


def _day(
    found: Findings,
    record: Kite,
    units: Units,
    day: Day,
    verdicts: Mapping[str, str],
    charts: tuple[Chart, ...],
    photos: tuple[ShownPhoto, ...],
    first: Flight | None,
) -> ShownDay:
    told = [FlightNote(None, day.change.note)] if day.change and day.change.note else []
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
        notes=(*told, *notes),
        said=_said(found, record, units, day, verdicts),
        charts=charts,
        photos=photos,
    )


def _label(day: Day) -> str:
    done = (("made", day.made), ("bench", day.rounds), ("covered", day.kind == "covered" and not day.rounds))
    parts = [PLAIN[kind] for kind, there in done if there]
    if day.change:
        parts.insert(0, words.what_changed(day.change))
    if day.flights:
        parts.append(words.flown_by(day.flights))
    return ", ".join(parts)


def _title(day: Day, first: Flight | None, units: Units) -> str | None:
    """What a day is called that the story has no heading for."""
    if day.change:  # its state is called by it, but where it came back or is at rest
        stays = day.change.of_stage_alone and day.change.stage not in GONE
        return numbers.capital(words.what_changed(day.change)) if stays else None
    if day.kind == "covered":
        return "Pressed with the skin on"
    if day.rounds:
        return " and ".join(
            words.round_title(number) if place == 0 else words.round_title(number).lower()
            for place, number in enumerate(day.rounds)
        ).replace(" round and", " and")
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


def _said(found: Findings, record: Kite, units: Units, day: Day, verdicts: Mapping[str, str]) -> tuple[str, ...]:
    """What the figures of a day say."""
    said = []
    for number in day.rounds:
        one = record.bench[number]
        verdict = verdicts.get(f"bench.{number}") or words.pressed(one, units)
        taken = words.what_was_shaved(one.shaves, units)
        said.append(" ".join(text for text in (one.note, verdict, taken) if text))
    for flight in day.flights:
        if taps := taps_said(flight, units):
            who = f"{flight.flyer}: " if flight.flyer and len(day.flights) > 1 else ""
            said.append(numbers.stopped(f"{who}{taps if who else numbers.capital(taps)}"))
    for path in day.pressed:
        if path in found.rounds and (share := found.rounds[path].share) is not None:
            said.append(f"The skin gives {numbers.share(share, units)} of what the two resist together.")
    return tuple(text for text in said if text)


def _caption(day: Day) -> str:
    if day.season:
        return "Thin, the wind that blew; thick, what was liked."
    return words.marks_given(day.flights[0]) if len(day.flights) == 1 else ""


def _figures(
    found: Findings, record: Kite, state: StateDays, rod: Rod | None, units: Units, before: dict[str, str]
) -> tuple[tuple[str, str, str | None], ...]:
    """The figures under a state's name, with what they were `before`, which is brought up to date."""
    known: dict[str, str | None] = {}
    if state.cover == "bare":
        section = rod.section if rod else None
        thick = numbers.plain(section.thick_m, "thin", units) if section else None
        if section and section.wide_m is not None:
            thick = f"{numbers.plain(section.wide_m, 'thin', units)} × {thick}"
        known["long"] = numbers.plain(record.bow.length_m, "length", units) if record.bow.length_m else None
        known["wide, thick" if section and section.wide_m else "thick"] = thick
        known["bow weighs"] = numbers.plain(record.bow.mass_kg, "mass", units) if record.bow.mass_kg else None
    elif state.cover != "away":
        begun = [change for change in record.changes if not change.of_stage_alone]
        last = not begun or state.change == begun[-1]
        flex, mass = _flex(found, begun, state), state.change.mass_kg if state.change else record.mass_kg
        known["flexes at"] = numbers.measured(flex, "wind", units) if flex else None
        share = found.skin.share if last else None
        known["skin’s share"] = numbers.share(share, units) if share is not None else None
        known["weighs"] = numbers.plain(mass, "mass", units) if mass else None
        span = state.change.span_m if state.change else record.bow.span_m if begun else None
        known["tip to tip"] = numbers.plain(span, "length", units) if span else None
    rows = []
    for name, value in known.items():
        if value:
            was = before.get(name)
            rows.append((name, value, was if was != value else None))
            before[name] = value
    return tuple(rows)


def _flex(found: Findings, changes: Sequence[Change], state: StateDays) -> Measured | None:
    """The flex wind of one state; of the first, before any of the changes that began one."""
    if not changes:
        return found.wind.flex_m_s
    begun = {change.on for change in changes}
    own = [s for s in found.states if (s.since == state.change.on if state.change else s.since not in begun)]
    return next((s.flex_m_s for s in reversed(own) if s.flex_m_s), None)


def _flights_table(flights: Sequence[Flight], units: Units) -> ChartTable:
    """Flights without words, oldest first."""
    rows = tuple(
        ChartRow(
            (
                words.dated_in_a_line(flight.on) if flight.on else "no day",
                flight.flyer or "–",
                numbers.winds(flight.wind, units) if flight.wind else "–",
                numbers.winds(flight.best, units) if flight.best else "–",
            )
        )
        for flight in flights
    )
    return ChartTable(("Day", "Flyer", "It blew", "Liked best"), rows)
