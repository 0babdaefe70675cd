"""A session from the field in words: its count, and what each kite's taps say and teach."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from bowbook.book.records import Flight, Settings, Units
from bowbook.findings.tap_edges import TapEdges, tap_edges
from bowbook.wording import numbers
from bowbook.wording.field import taps_said

if TYPE_CHECKING:
    from bowbook.format.session_file import Session
    from bowbook.importing.session_changes import KiteTaps


def counts(session: Session) -> str:
    """The count as the phone says it: "12 taps, 5 kites"."""
    kites = len({tap.kite for tap in session.taps})
    taps = len(session.taps)
    return f"{taps} {'tap' if taps == 1 else 'taps'}, {kites} {'kite' if kites == 1 else 'kites'}"


def said_of_kite(one: KiteTaps, settings: Settings, units: Units) -> Iterator[str]:
    """What will be written of one kite, and what its taps teach; winds in the phone's units."""
    if not one.changes:
        what = "its tap stands" if one.taps == 1 else f"all {one.taps} taps stand"
        yield f"{one.kite.name}: {what} in its file already."
    for change in one.changes:
        flight, own = change.flight, change.held
        if flight is None:
            if own is not None:
                yield f"{_whose(one, own.flight)}: taken out on the phone, so it goes: {taps_said(own.flight, units)}."
            continue
        corrected = f"{', corrected' if own else ''}{', still private' if own and own.private else ''}"
        yield f"{_whose(one, flight)}{corrected}: {taps_said(flight, units)}."
        if own and taps_said(own.flight, units) != taps_said(flight, units):
            yield f"  It was: {taps_said(own.flight, units)}."
        said = edges_said(tap_edges([flight], settings), settings)
        if said:
            yield f"  {said}"


def _whose(one: KiteTaps, flight: Flight) -> str:
    return f"{one.kite.name} for {flight.flyer}" if flight.flyer else one.kite.name


def edges_said(found: TapEdges, settings: Settings) -> str:
    """Where the edges lie: "Its bottom is under 6 mph, its top lies between 6.5 and 9.9 mph (19 in 20)."; or ""."""
    said = [text for text in (_edge("bottom", found.low, settings), _edge("top", found.high, settings)) if text]
    return f"{numbers.capital(', '.join(said))} (19 in 20)." if said else ""


def _edge(name: str, bounds: tuple[float | None, float | None], settings: Settings) -> str:
    least, most = (None if v is None else round(numbers.wind_number(v, settings.units), 1) for v in bounds)
    unit = numbers.wind_unit(settings.units)
    if least is not None and most is not None:
        return f"its {name} lies between {numbers.number(least)} and {numbers.number(most)}\u00a0{unit}"
    if least is not None and name == "top":
        return f"its top is above {numbers.number(least)}\u00a0{unit}"
    if most is not None and name == "bottom":
        return f"its bottom is under {numbers.number(most)}\u00a0{unit}"
    return ""
