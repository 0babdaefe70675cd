"""The field page: which kite for the wind now, and a day's session noted by tapping; all that its script is given."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.days import days_of
from bowbook.book.records import Flight, Kite, Units
from bowbook.pages.chrome import Chrome, link
from bowbook.pages.kite_row import KiteRow, rows_in_order
from bowbook.pages.markup import Data, data_block
from bowbook.wording import field, numbers

PICTURES = 120
"""Above this many kites a row carries a mark in its kite's colour: outlines of all would weigh more than the page."""


SENTENCE = 30
"""So many kites that are not offered are named in one sentence."""


class WindRow(Struct, frozen=True):
    """One kite of the plain table: for each flyer in turn what they like, "" where nothing is known."""

    name: str
    address: str
    winds: tuple[str, ...]


class FieldPage(Struct, frozen=True):
    """What the field page shows before its script runs, and the data that its script reads."""

    title: str
    description: str
    unit: str
    height: str
    signs: tuple[field.LandSign, ...]
    kites: tuple[WindRow, ...]
    pictures: tuple[KiteRow, ...]
    not_offered: tuple[tuple[tuple[str, ...], str], ...]
    many_not_offered: str | None  # how many those are, where they are too many for a sentence
    flyers: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    marks: str
    data: Data


class FlightCounts(Struct, frozen=True):
    """How often each flyer flew a kite, its newest day, and its bows."""

    key: str
    times: Mapping[str, int]
    newest: str
    bows: tuple[str, ...] = ()


def field_page(
    chrome: Chrome,
    height_m: float,
    names: tuple[str, ...],
    rows: tuple[KiteRow, ...],
    flights: tuple[FlightCounts, ...],
) -> FieldPage:
    """The page as its template takes it; `names` are the flyers', `rows` and `flights` of every kite in any order."""
    units, flyers = chrome.units, list(names)
    lines = rows_in_order(rows)
    there = tuple(line for line in lines if line.stage not in field.NOT_THERE)
    at_hand = tuple(line for line in lines if line.stage == "resting" or line.stage not in field.NOT_THERE)
    signs = field.land_signs(height_m, units)
    flown = {one.key: one for one in flights}
    height = numbers.plain(height_m, "altitude", units)
    low, top = _axis(there)
    away = len(lines) - len(there)
    return FieldPage(
        title="Field",
        description=f"{chrome.title}: which kite suits the wind now, and a session noted at the field, without signal.",
        unit=numbers.wind_unit(units),
        height=height,
        signs=signs,
        kites=tuple(WindRow(line.name, line.address, _winds(line, len(flyers))) for line in there),
        pictures=at_hand if len(at_hand) <= PICTURES else (),
        not_offered=_not_offered(lines),
        many_not_offered=numbers.counted(away, "kite") if away > SENTENCE else None,
        flyers=tuple(flyers),
        answers=tuple(field.ANSWERS.items()),
        marks=", ".join(field.MARKS),
        data=data_block(
            {
                "book": chrome.title,
                "unit": numbers.wind_unit(units),
                "height_m": height_m,
                "step": field.wind_step(units),
                "low": low,
                "top": top,
                "first": chrome.flyer,
                "flyers": flyers,
                "answers": dict(field.ANSWERS),
                "marks": dict(field.MARKS),
                "newest": max((one.newest for one in flights), default=""),
                "signs": [{"low": sign.low, "high": sign.high, "short": sign.short} for sign in signs],
                "kites": [_given(line, flown[line.key], flyers, units) for line in at_hand],
            }
        ),
    )


def flown_of(kite: Kite) -> FlightCounts:
    """How often each flyer flew a kite."""
    times = dict(Counter(flight.flyer for flight in kite.flights if flight.flyer))
    return FlightCounts(kite.key, times, max(map(_day, kite.flights), default=""), tuple(kite.bows))


def _day(flight: Flight) -> str:
    """The first day that a flight may have been on, "" where nobody noted one."""
    return days_of(flight.on).first.isoformat() if flight.on else ""


def _not_offered(lines: list[KiteRow]) -> tuple[tuple[tuple[str, ...], str], ...]:
    """The kites that are not there to fly, by why: (names, "are still being built")."""
    away = {stage: tuple(line.name for line in lines if line.stage == stage) for stage in field.NOT_THERE}
    return tuple((names, field.not_there(stage, len(names))) for stage, names in away.items() if names)


def _winds(line: KiteRow, flyers: int) -> tuple[str, ...]:
    """What each flyer likes about a kite, in words."""
    said = {one.flyer: one.text if one.flown else f"{one.text}, predicted" for one in line.ranges}
    return tuple(said.get(flyer, "") for flyer in range(flyers))


def _given(line: KiteRow, told: FlightCounts, flyers: list[str], units: Units) -> dict[str, object]:
    """One kite as the script reads it; winds in the unit shown."""
    return {
        "key": line.key,
        "name": line.name,
        "href": link("field.html", line.address),
        "picture": line.picture.id,
        "box": line.picture.view_box,
        "colour": line.picture.colour,
        "bows": list(told.bows),
        **({} if line.lit else {"rests": True}),
        "likes": {
            flyers[one.flyer]: {
                "low": round(one.low, 2),
                "high": round(one.high, 2),
                "flown": told.times.get(flyers[one.flyer], 0) if one.flown else 0,
                "says": one.text.removesuffix("\u00a0" + numbers.wind_unit(units)),
            }
            for one in line.ranges
        },
    }


def _axis(lines: tuple[KiteRow, ...]) -> tuple[float, float]:
    """The winds the strips run over, with a little room at either end."""
    edges = [edge for line in lines for one in line.ranges for edge in (one.low, one.high)]
    return (round(min(edges) * 0.85, 2), round(max(edges) * 1.12, 2)) if edges else (1.0, 20.0)
