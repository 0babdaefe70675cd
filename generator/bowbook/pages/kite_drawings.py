"""What is drawn on a kite's page beside its answers and its days, from the findings of that kite."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import TYPE_CHECKING

from bowbook.book.days import days_of
from bowbook.book.records import Flight, Kite, Press, Units
from bowbook.charts.answers import wind_chart
from bowbook.charts.flown import FlownRow, flown_chart, highest
from bowbook.charts.sheet import Drawing
from bowbook.charts.years import StateSpan, years_chart
from bowbook.findings.results import BookFindings, Findings, Predicted, Range, RoundFindings
from bowbook.pages.kite_days import Day, StateDays
from bowbook.wording import numbers
from bowbook.wording.days import dated

if TYPE_CHECKING:
    from bowbook.charts.press_round import PressRound


def winds_drawing(found: Findings, units: Units) -> Drawing | None:
    """The winds that up to four flyers like the kite in; where nobody has flown it, those they should."""
    wind = found.wind
    people: Mapping[str, Range | Predicted] = wind.flown or wind.predicted
    first = sorted(people, key=lambda name: (name != wind.flyer, name))[:4]
    shown = {name: people[name] for name in first}
    most = max([strongest(found.kite), *(span.high for span in shown.values())], default=0.0)
    return wind_chart(found, units, shown, most) if shown else None


def strongest(kite: Kite) -> float:
    """The strongest wind of any flight, m/s: the end of the axis that all charts of winds share."""
    return highest([wind for flight in kite.flights for wind in (flight.wind, flight.best)])


def years_drawing(kite: Kite, states: Sequence[StateDays], units: Units, own: str | None) -> Drawing | None:
    """The strip of all the kite's years."""
    stretches = [StateSpan(days_of(s.since).first, s.name, s.cover) for s in states if s.since]
    return years_chart(kite, _growing(stretches), units, own)


def _growing(stretches: Sequence[StateSpan]) -> list[StateSpan]:
    """The stretches as far as each begins later than the one before."""
    kept: list[StateSpan] = []
    latest = date.min
    for one in stretches:
        if one.since > latest:
            kept.append(one)
            latest = one.since
    return kept


def round_drawings(found: Findings, book: BookFindings) -> Mapping[str, tuple[Drawing, str]]:
    """Every round with a press of a half, by its path, with captions; those of one bow on one scale."""
    from bowbook.charts.press_round import limits_of, round_chart

    units, coverage = book.book.settings.units, book.coverage
    of_bow: dict[tuple[str | None, int], dict[str, PressRound]] = {}
    for path, one in found.rounds.items():
        if (shown := _round(found, path, one, units)) is not None:
            of_bow.setdefault((one.bow, one.bow_number), {})[path] = shown
    drawn: dict[str, tuple[Drawing, str]] = {}
    for rounds in of_bow.values():
        limits, told = limits_of(list(rounds.values()), coverage), False
        for path, shown in rounds.items():
            caption = ""
            if found.rounds[path].round.skin_on:
                dot = any(half.before is not None for half in shown.halves)
                caption = f"Pressed with the skin on{'; the dot is the bow alone' if dot else ''}."
            elif not told:
                told, caption = True, "Each tick is one press, each bar their mean, 19 times in 20."
            drawn[path] = round_chart(shown, limits, units, coverage), caption
    return drawn


def _round(found: Findings, path: str, one: RoundFindings, units: Units) -> PressRound | None:
    from bowbook.charts.press_round import PressedHalf, PressRound

    halves = [
        PressedHalf(side, reading.values_N, mean, was.value if was else None)
        for side, reading, mean, was in zip(
            ("left", "right"),
            (one.round.left, one.round.right),
            (one.showed.left_N, one.showed.right_N),
            one.before_N,
            strict=True,
        )
        if isinstance(reading, Press) and mean is not None
    ]
    if not halves:
        return None
    kite, place = found.kite, path.rpartition(".")[2]
    with_bow = f", its {one.bow} bow" if one.bow else ""
    if one.round.skin_on:
        share = f"the skin’s share is {numbers.share(one.share, units)}" if one.share is not None else ""
        title = f"{kite.name} pressed with its skin on{with_bow}"
        return PressRound(place, kite.key, title, tuple(halves), share)
    judged, tolerance = one.showed, found.balance.tolerance
    act = {"left stiffer": "left", "right stiffer": "right"}.get(judged.verdict or "")
    apart = f"{numbers.share(abs(judged.difference.value), units)} apart" if judged.difference else ""
    softer = min(half.mean.value for half in halves)
    ratio = (2 - tolerance) / (2 + tolerance)
    even = (softer * ratio, softer / ratio) if len(halves) == 2 else None
    title = f"Round {int(place) + 1} of {kite.name}{with_bow}"
    return PressRound(place, kite.key, title, tuple(halves), apart, act, even)


def flights_drawing(found: Findings, day: Day, number: int, most: float, units: Units) -> Drawing | None:
    """What blew and what was liked on one day, or on many days one under another."""
    several = len(day.flights) > 1
    own = found.wind.flyer
    rows = [
        FlownRow(
            _row_name(flight, day),
            "" if several or not flight.best else f"liked {numbers.winds(flight.best, units)}",
            flight.wind,
            flight.best,
            main=not own or flight.flyer in (own, None) or not several,
        )
        for flight in day.flights
    ]
    return flown_chart("flown", f"{found.kite.key}-{number}", f"Flights of {found.kite.name}", rows, most, units)


def _row_name(flight: Flight, day: Day) -> str:
    """What stands before a flight's row: its day among several days, else its flyer among several flyers."""
    if day.season:
        when = dated(flight.on).strong if flight.on else "no day"
        return f"{when}, {flight.flyer}" if flight.flyer else when
    return flight.flyer or "" if len(day.flights) > 1 else ""
