"""Field sessions from file and message: what reads, what is refused and with which sentence, what is joined."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import jsonschema
import pytest

from bowbook.book.records import Book, Bow, Flight, Kite, Settings, Wind
from bowbook.format.session_file import SessionError, read_session, session_schema
from bowbook.importing.session_flights import day_of, flights_from_taps, found_kite, kites_named

MPH = 0.44704  # m/s, exact: 1609.344 m in 3600 s (NIST SP 811, B.8)
TEXT = """\
bowbook session 1 | 00ff00ff00ff00ff | 2026-06-14 | mph | 2 m | the dunes
14:33 | nib | Ansa | 9 | too much | pull 4 | turn 3 | word gusty, turns to the left
15:20 | nib | Ansa | 6 | liked
15:31 | nib | Ansa | 7 | liked | bow strong
3 taps | 1 kite
"""


def session(**changes: Any) -> dict[str, Any]:
    """A session as the page hands it over, with some of it changed."""
    taps = [
        {"at": "14:33", "kite": "nib", "name": "Nib", "flyer": "Ansa", "wind": 9, "said": "much", "control": 2},
        {"at": "15:20", "kite": "nib", "name": "Nib", "flyer": "Ansa", "wind": 6, "said": "liked"},
        {"at": "15:31", "kite": "nib", "name": "Nib", "flyer": "Ansa", "wind": 7, "said": "liked", "control": 4},
    ]
    whole = {"kind": "bowbook session", "format": 1, "id": "00ff00ff00ff00ff", "on": "2026-06-14", "unit": "mph"}
    return {**whole, "height_m": 2, "taps": taps, **changes}


def as_bytes(value: object) -> bytes:
    """JSON as a file holds it."""
    return json.dumps(value).encode()


def book(*kites: Kite) -> Book:
    """A book of these kites."""
    return Book("", Settings(), kites={kite.key: kite for kite in kites})


def test_the_message_says_the_same_as_the_file() -> None:
    """Text pasted from a message reads as the file does, also quoted, among other words, and with Windows line ends."""
    for text in (
        TEXT,
        "Here it is:\n\n" + TEXT + "\nSee you",
        "> " + TEXT.replace("\n", "\n> "),
        TEXT.replace("\n", "\r\n"),
    ):
        found = read_session(text.encode())
        assert (found.id, found.on, found.unit, found.height_m, found.place) == (
            "00ff00ff00ff00ff",
            "2026-06-14",
            "mph",
            2.0,
            "the dunes",
        )
        assert [(tap.at, tap.wind, tap.said) for tap in found.taps] == [
            ("14:33", 9.0, "much"),
            ("15:20", 6.0, "liked"),
            ("15:31", 7.0, "liked"),
        ]
        assert (found.taps[0].pull, found.taps[0].turn, found.taps[0].word) == (4, 3, "gusty, turns to the left")
        assert found.taps[2].bow == "strong"
        assert found.edits == 0
    assert read_session(TEXT.replace("the dunes", "the dunes | edit 14").encode()).edits == 14


def test_the_published_schema_takes_what_the_reader_takes() -> None:
    """The JSON Schema holds for a session, and refuses what the reader refuses."""
    check = jsonschema.Draft202012Validator(session_schema())
    check.check_schema(session_schema())
    assert list(check.iter_errors(session())) == []
    for wrong in (session(unit="furlongs"), session(taps=[{"at": "14:33"}]), session(id="no id")):
        assert list(check.iter_errors(wrong))
        with pytest.raises(SessionError):
            read_session(as_bytes(wrong))


WRONG = {
    "nothing": (b"", "no session of the field page"),
    "a photo": (b"\x89PNG\r\n\x1a\n\x00\xff\xfe", "not text"),
    "ten megabytes": (b"[" * 10_000_000, "far too large"),
    "deep nesting": (b'{"taps": ' + b"[" * 100_000 + b"]" * 100_000 + b"}", "broken"),
    "cut short": (as_bytes(session())[:-40], "broken"),
    "another program's file": (as_bytes({"activities": []}), "no session of the field page"),
    "a list": (b"[1, 2]", "no session of the field page"),
    "a number": (b"12", "no session of the field page"),
    "a later format": (as_bytes(session(format=2)), "newer"),
    "no taps": (as_bytes(session(taps=[])), "no tap"),
    "a mark of nine": (as_bytes(session(taps=[{**session()["taps"][0], "pull": 9}])), "pull"),
    "a wind below none": (as_bytes(session(taps=[{**session()["taps"][0], "wind": -3}])), "wind"),
    "a wind that is no number": (as_bytes(session(taps=[{**session()["taps"][0], "wind": "9; rm"}])), "wind"),
    "a bell in a name": (as_bytes(session(taps=[{**session()["taps"][0], "name": "Ni\u0007b"}])), "cannot be printed"),
    "a message without its end": (TEXT.rpartition("3 taps")[0].encode(), "end of this session is missing"),
    "a message that lost a line": (
        TEXT.replace("15:20 | nib | Ansa | 6 | liked\n", "").encode(),
        "counts 3 taps and 2",
    ),
    "a message with a torn line": (TEXT.replace("| 6 | liked", "| 6").encode(), "Line 3 is no tap"),
}


@pytest.mark.parametrize("what", WRONG)
def test_what_is_no_session_gets_a_sentence(what: str) -> None:
    """Foreign, broken, huge and hostile files are refused with one sentence that says what to do, never otherwise."""
    data, sentence = WRONG[what]
    with pytest.raises(SessionError, match=sentence) as refused:
        read_session(data)
    assert str(refused.value).endswith(".")


def flights_of(data: dict[str, Any], kite: Kite) -> tuple[Flight, ...]:
    """The flights of one kite that a session joins to."""
    return flights_from_taps(read_session(as_bytes(data)), "2026-06-14", {kite.key: kite}, 2.0)[kite.key]


def test_taps_of_a_kite_become_one_flight() -> None:
    """What blew spans all taps, the best wind those that were liked; the last mark counts; every tap is kept."""
    (flight,) = flights_of(session(), Kite("nib", "Nib"))
    assert flight.wind == Wind(pytest.approx(6 * MPH), pytest.approx(9 * MPH))
    assert flight.best == Wind(pytest.approx(6 * MPH), pytest.approx(7 * MPH))
    assert [(round(tap.wind_m_s / MPH, 6), tap.said) for tap in flight.taps] == [
        (6, "liked"),
        (7, "liked"),
        (9, "much"),
    ]
    assert flight.control == 4
    assert flight.height_m is None
    assert flight.session == "00ff00ff00ff00ff"


def test_two_flyers_and_another_height_are_kept_apart() -> None:
    """One flight a flyer; a height that is not the book's own stands with the flight."""
    taps = [*session()["taps"], {"at": "16:00", "kite": "nib", "flyer": "Rook", "wind": 8, "said": "little"}]
    found = flights_of(session(taps=taps, height_m=10), Kite("nib", "Nib"))
    assert [flight.flyer for flight in found] == ["Ansa", "Rook"]
    assert found[1].best is None
    assert {flight.height_m for flight in found} == {10.0}


def test_a_second_bow_a_place_and_marks_come_along() -> None:
    """Flights with either bow are two; a bow that the kite has not got is kept as a word; the last marks count."""
    taps = [
        {"at": "14:00", "kite": "nib", "wind": 5, "said": "liked", "bow": "light", "pull": 2, "track": 5},
        {"at": "14:10", "kite": "nib", "wind": 7, "said": "liked", "bow": "strong", "pull": 4, "turn": 1},
        {"at": "14:20", "kite": "nib", "wind": 8, "said": "liked", "bow": "strong", "pull": 5},
        {"at": "14:30", "kite": "nib", "wind": 8, "said": "much", "bow": "borrowed"},
    ]
    nib = Kite("nib", "Nib", bows={"light": Bow(), "strong": Bow()})
    found = flights_of(session(taps=taps, place="the dunes"), nib)
    assert [(f.bow, f.pull, f.turn, f.track, f.place) for f in found] == [
        ("light", 2, None, 5, "the dunes"),
        ("strong", 5, 1, None, "the dunes"),
        (None, None, None, None, "the dunes"),
    ]
    assert found[2].note == "with the bow borrowed"


def test_a_kite_is_found_by_its_file_or_by_a_name_that_one_has() -> None:
    """The key first; a kite whose file was renamed by its name; not where two share the name."""
    nib, two = Kite("nib", "Nib"), Kite("kluut-2", "Kluut")
    assert found_kite("nib", "", book(nib, two)) is nib
    assert found_kite("kluut", "Kluut", book(nib, two)) is two
    assert found_kite("kluut", "Kluut", book(two, Kite("kluut-3", "Kluut"))) is None
    assert kites_named(read_session(as_bytes(session()))) == {"nib": "Nib"}


@pytest.mark.parametrize("on", ["1970-01-01", "2099-06-14", "2026-02-30"])
def test_a_clock_set_wrong_is_said(on: str) -> None:
    """A day that cannot have been is refused, with the way to say the right one."""
    with pytest.raises(SessionError, match="--on 2026-06-20"):
        day_of(read_session(as_bytes(session(on=on))), date(2026, 6, 20))
