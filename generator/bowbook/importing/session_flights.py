"""The taps of a session joined to flights: one for each kite, flyer and bow of the day."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from bowbook.book.records import Book, Flight, Kite, Tap, Wind
from bowbook.book.units import from_unit
from bowbook.format.session_file import Session, SessionError, SessionTap

BETWEEN_WORDS = "; "  # words of one flight, each behind the time of its tap


def kites_named(session: Session) -> dict[str, str]:
    """Every kite of the session: its key as the phone knew it, and its name."""
    return {tap.kite: tap.name or tap.kite for tap in session.taps}


def found_kite(key: str, name: str, book: Book) -> Kite | None:
    """The kite of the book that a session means: by its key, else by a name that only one has."""
    if key in book.kites:
        return book.kites[key]
    words = {key.casefold(), name.casefold()}
    same = [kite for kite in book.kites.values() if kite.name.casefold() in words]
    return same[0] if len(same) == 1 else None


def day_of(session: Session, today: date) -> str:
    """The session's day. Raises SessionError where no such day was, as a clock set wrong leaves it."""
    try:
        on = date.fromisoformat(session.on)
    except ValueError:
        raise SessionError(f"{session.on} is no day. Say the day it was: --on {today.isoformat()}") from None
    if on > today + timedelta(days=1) or on.year < 1990:
        raise SessionError(
            f"The phone says this was on {session.on}; its clock must have been wrong. "
            f"Say the day it was: --on {today.isoformat()}"
        )
    return session.on


def flights_from_taps(
    session: Session, on: str, means: Mapping[str, Kite], height_m: float
) -> dict[str, tuple[Flight, ...]]:
    """The session's flights by the key of their kite, kites in the order of their first tap; one a flyer and bow.

    Kites that `means` does not name are left out. `height_m` is the book's own: another is noted with the flight.
    """
    parts: dict[str, dict[tuple[str, str], list[SessionTap]]] = {}
    for tap in session.taps:
        if (kite := means.get(tap.kite)) is not None:
            bow = tap.bow if tap.bow in kite.bows else ""
            parts.setdefault(kite.key, {}).setdefault((tap.flyer, bow), []).append(tap)
    return {
        key: tuple(_flight(taps, session, on, flyer, bow, height_m) for (flyer, bow), taps in of_kite.items())
        for key, of_kite in parts.items()
    }


def _tap(tap: SessionTap, session: Session) -> Tap:
    return Tap(from_unit(tap.wind, session.unit, "wind"), tap.said)


def _flight(taps: list[SessionTap], session: Session, on: str, flyer: str, bow: str, height_m: float) -> Flight:
    """One flight: what blew while it was tapped, where it was liked, the taps themselves, the last marks, the words."""
    noted = sorted((_tap(tap, session) for tap in taps), key=lambda tap: tap.wind_m_s)
    words = [f"{tap.at} {tap.word}" for tap in taps if tap.word]
    words += sorted({f"with the bow {tap.bow}" for tap in taps if tap.bow and tap.bow != bow})
    return Flight(
        on=on,
        flyer=flyer or None,
        wind=blew(noted),
        best=liked(noted),
        height_m=session.height_m if abs(session.height_m - height_m) > 1e-3 else None,
        control=_last(tap.control for tap in taps),
        speed=_last(tap.speed for tap in taps),
        note=BETWEEN_WORDS.join(words) or None,
        taps=tuple(noted),
        session=f"{session.id}/{session.edits}" if session.edits else session.id,
        bow=bow or None,
        place=session.place or None,
        pull=_last(tap.pull for tap in taps),
        turn=_last(tap.turn for tap in taps),
        track=_last(tap.track for tap in taps),
    )


def blew(taps: Iterable[Tap]) -> Wind | None:
    """The winds of all taps."""
    return _span(tap.wind_m_s for tap in taps)


def liked(taps: Iterable[Tap]) -> Wind | None:
    """The winds of those that were liked."""
    return _span(tap.wind_m_s for tap in taps if tap.said == "liked")


def _span(winds: Iterable[float]) -> Wind | None:
    """From the weakest to the strongest; a tap in a calm counts as no wind that was liked."""
    known = list(winds)
    return Wind(min(known), max(known)) if known and max(known) > 0 else None


def _last(marks: Iterable[int | None]) -> int | None:
    return next((mark for mark in reversed(list(marks)) if mark is not None), None)
