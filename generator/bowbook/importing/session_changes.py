"""A session against what the kites' files hold of it already: what is new, what was corrected, what was taken out."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Flight, Kite, Units, Wind
from bowbook.format.edit import TextChange, drop, item, value
from bowbook.format.kite_file import FiledFlight
from bowbook.format.write_kite import flight_entry
from bowbook.importing.session_flights import BETWEEN_WORDS, blew, liked

SAME = 1e-6  # two winds this near are one, m/s


class FlightChange(Struct, frozen=True):
    """One flight to write: a new one, one that stands in the file as it is to be now, or one (None) to take out."""

    flight: Flight | None
    held: FiledFlight | None = None


class KiteTaps(Struct, frozen=True):
    """What a session says of one kite: its flights now, and what must be written so that its file has them."""

    kite: Kite
    flights: tuple[Flight, ...]
    changes: tuple[FlightChange, ...]
    seen: bytes  # of the kite's file, when it was compared

    @property
    def taps(self) -> int:
        """How many taps the session holds of this kite."""
        return sum(len(flight.taps) for flight in self.flights)


def of_session(flights: Iterable[FiledFlight], session: str) -> tuple[FiledFlight, ...]:
    """Those flights of a file that were noted in this session."""
    return tuple(one for one in flights if one.flight.session and one.flight.session.partition("/")[0] == session)


def edits_held(flights: Iterable[FiledFlight]) -> int:
    """How often the session had been changed on the phone when its newest flight was written."""
    return max((_edits(one.flight) for one in flights), default=0)


def changes_of(now: Sequence[Flight], held: Sequence[FiledFlight], edits: int, before: int) -> tuple[FlightChange, ...]:
    """What must be written of one kite so that its file says what the session says now.

    `held` are the file's flights of this session, private ones too; `edits` is how often the session has been changed
    on the phone (0 where the phone does not count), `before` how often when anything of it was last written. Nothing
    is written that the file has; what was corrected since is corrected where it stands; what was taken out goes. What
    the maker changed by hand stays, as long as the phone did not change the same thing.
    """
    missing = sum(map(_marks, now), Counter()) - sum((_marks(one.flight) for one in held), Counter())
    newer = edits > before or (not edits and bool(now) and bool(missing))
    if not newer and not missing:
        return ()
    pairs, left = _paired(now, held)
    found = [FlightChange(flight) for flight, own in pairs if own is None]
    if newer:
        for flight, own in pairs:
            corrected = _corrected(own.flight, flight) if own else flight
            if own and corrected != replace(own.flight, session=corrected.session):
                found.append(FlightChange(corrected, own))
        found += [FlightChange(None, own) for own in left]
    return tuple(found)


def _paired(
    now: Sequence[Flight], held: Sequence[FiledFlight]
) -> tuple[list[tuple[Flight, FiledFlight | None]], list[FiledFlight]]:
    """Each flight of the session with the one that stands for it in the file, and the file's that stand for none.

    It is the one of the same flyer and bow, a private one first; else the one with most taps in common.
    """
    left = sorted(held, key=lambda one: not one.private)
    found: dict[int, FiledFlight] = {}
    for alike in (_same_part, _common):
        for number, flight in enumerate(now):
            best = max(left, key=lambda one: alike(one.flight, flight), default=None)
            if number not in found and best is not None and alike(best.flight, flight) > 0:
                found[number] = best
                left.remove(best)
    return [(flight, found.get(number)) for number, flight in enumerate(now)], left


def _same_part(one: Flight, other: Flight) -> int:
    return int((one.flyer, one.bow) == (other.flyer, other.bow))


def _common(one: Flight, other: Flight) -> int:
    return (_marks(one) & _marks(other)).total()


def _marks(flight: Flight) -> Counter[tuple[int, str]]:
    return Counter((round(tap.wind_m_s / SAME), tap.said) for tap in flight.taps)


def _edits(flight: Flight) -> int:
    return int((flight.session or "").partition("/")[2] or 0)


def _corrected(own: Flight, now: Flight) -> Flight:
    """The flight of the file with the session's taps, and whatever of it followed from the taps it had."""
    return replace(
        own,
        on=now.on,
        flyer=now.flyer,
        bow=now.bow,
        wind=now.wind if _near(own.wind, blew(own.taps)) and not _near(own.wind, now.wind) else own.wind,
        best=now.best if _near(own.best, liked(own.taps)) and not _near(own.best, now.best) else own.best,
        note=_note(own.note, now.note),
        taps=own.taps if _marks(own) == _marks(now) else now.taps,
        session=now.session,
        place=now.place if own.place else None,  # one that was taken out of the file by hand stays out
        **{mark: getattr(now, mark) or getattr(own, mark) for mark in ("control", "speed", "pull", "turn", "track")},
    )


def _near(one: Wind | None, other: Wind | None) -> bool:
    """Whether two winds are one, whatever rounding did."""
    if one is None or other is None:
        return one is other
    edges = ((one.low_m_s, other.low_m_s), (one.high_m_s, other.high_m_s))
    return all(a is not None and b is not None and abs(a - b) < SAME for a, b in edges)


def _note(own: str | None, now: str | None) -> str | None:
    """The session's words, each behind the time of its tap, and whatever else the maker wrote there."""
    ours = now.split(BETWEEN_WORDS) if now else []
    by_hand = [
        part
        for part in (own or "").split(BETWEEN_WORDS)
        if part and part not in ours and not re.match(r"[0-2][0-9]:[0-5][0-9] |with the bow ", part)
    ]
    return BETWEEN_WORDS.join([*ours, *by_hand]) or None


def text_changes(one: KiteTaps, units: Units) -> list[TextChange]:
    """The changes in the text of a kite's file, winds in these units: what is corrected, what goes, what is new."""
    own = [change for change in one.changes if change.held is not None]
    found = []
    for change in own:
        if change.flight is not None and change.held is not None:
            was, now = flight_entry(change.held.flight, units), flight_entry(change.flight, units)
            where = f"flights.{change.held.number}"
            found += [value(f"{where}.{key}", now[key]) for key in now if now[key] != was.get(key)]
            found += [drop(f"{where}.{key}") for key in was if key not in now]
    gone = sorted((c.held.number for c in own if c.flight is None and c.held is not None), reverse=True)
    found += [drop(f"flights.{number}") for number in gone]
    return found + [item("flights", flight_entry(c.flight, units)) for c in one.changes if c.flight and c.held is None]
