"""Field sessions as the phone hands them over: a small JSON file, or the same as lines of text in a message."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Any, Literal

import msgspec

LARGEST_BYTES = 1_000_000  # a year of Sundays is smaller
TOO_LARGE = "This is far too large for a session: a whole day of taps is a few thousand letters."
MOST_TAPS = 2000
FIRST_WORDS = "bowbook session 1"  # of the text for a message
Said = Literal["little", "liked", "much"]
_Line = Annotated[str, msgspec.Meta(max_length=200)]
_Wind = Annotated[float, msgspec.Meta(ge=0, le=200, description="In the session's unit.", examples=[6])]


def _mark(what: str) -> Any:
    return Annotated[int, msgspec.Meta(ge=1, le=5, description=what)]


class SessionTap(msgspec.Struct, frozen=True, omit_defaults=True):
    """One tap: how a kite flew in the wind of that moment."""

    at: Annotated[str, msgspec.Meta(pattern="^[0-2][0-9]:[0-5][0-9]$", description="Time of day.", examples=["14:33"])]
    kite: Annotated[_Line, msgspec.Meta(min_length=1, description="File name of the kite, without .md.")]
    wind: _Wind
    said: Annotated[Said, msgspec.Meta(description="Too little, liked, too much.")]
    name: Annotated[_Line, msgspec.Meta(description="The kite's name.")] = ""
    flyer: Annotated[_Line, msgspec.Meta(description="Who flew.")] = ""
    bow: Annotated[_Line, msgspec.Meta(description="Which bow, where the kite has several.")] = ""
    pull: _mark("1 light, 5 hauls.") | None = None  # type: ignore[valid-type]
    turn: _mark("1 lazy, 5 spins.") | None = None  # type: ignore[valid-type]
    track: _mark("1 wanders, 5 holds.") | None = None  # type: ignore[valid-type]
    control: _mark("1 wild, 5 obeys.") | None = None  # type: ignore[valid-type]
    speed: _mark("1 slow, 5 fast.") | None = None  # type: ignore[valid-type]
    word: Annotated[str, msgspec.Meta(max_length=500, description="Anything to remember.")] = ""


class Session(msgspec.Struct, frozen=True, omit_defaults=True):
    """A day at the field, as the page field.html hands it over."""

    kind: Literal["bowbook session"]
    format: Literal[1]
    id: Annotated[str, msgspec.Meta(pattern="^[0-9a-f]{8,32}$", description="Tells this session from every other.")]
    on: Annotated[str, msgspec.Meta(pattern="^[0-9]{4}-[0-9]{2}-[0-9]{2}$", description="The day.")]
    unit: Annotated[Literal["mph", "m/s", "km/h", "kn", "ft/s"], msgspec.Meta(description="Of every wind.")]
    taps: Annotated[tuple[SessionTap, ...], msgspec.Meta(max_length=MOST_TAPS)]
    height_m: Annotated[float, msgspec.Meta(ge=0.1, le=200, description="At which the winds were told.")] = 2.0
    edits: Annotated[int, msgspec.Meta(ge=0, le=999_999, description="How often it was changed on the phone.")] = 0
    book: Annotated[str, msgspec.Meta(max_length=300, description="Title of the book.")] = ""
    place: Annotated[_Line, msgspec.Meta(description="Where, as the flyer calls it.")] = ""


class SessionError(Exception):
    """What is no session, in a sentence for the maker."""


def session_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a session file."""
    made = msgspec.json.schema(Session)
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A session at the field"}
    return head | made


def read_session(data: bytes) -> Session:
    """The session that a file or a message holds. Raises SessionError."""
    if len(data) > LARGEST_BYTES:
        raise SessionError(TOO_LARGE)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise SessionError("This is not text, so no session. Give the file that the field page saved.") from None
    session = (
        _from_text(text) if "bowbook session 1" in text and not text.lstrip().startswith("{") else _from_json(text)
    )
    if not session.taps:
        raise SessionError("This session holds no tap: there is nothing to write.")
    words = (
        session.place,
        *(part for tap in session.taps for part in (tap.kite, tap.name, tap.flyer, tap.bow, tap.word)),
    )
    if not all(word.isprintable() for word in words):
        raise SessionError("This session holds letters that cannot be printed; it was not made by the field page.")
    return session


def _from_json(text: str) -> Session:
    try:
        found = msgspec.json.decode(text)
    except (msgspec.DecodeError, RecursionError, UnicodeError) as broken:
        begins = text.lstrip()[:1] == "{"
        what = f"This session file is broken ({broken})" if begins else "This is no session of the field page"
        raise SessionError(f"{what}. Hand it over again: the phone still has it.") from None
    if not isinstance(found, dict) or found.get("kind") != "bowbook session":
        raise SessionError("This is no session of the field page. Give the file that the page saved, or its text.")
    if found.get("format") != 1:
        raise SessionError("This session is of a newer kind than this program can read: update bowbook, then read it.")
    return _converted(found)


def _converted(found: dict[str, Any]) -> Session:
    try:
        return msgspec.convert(found, Session, strict=True)
    except msgspec.ValidationError as wrong:
        what, _, where = str(wrong).partition(" - at ")
        named = where.strip("`$.").rpartition(".")
        place = f" (the {named[2]} of a tap)" if named[0] else f" ({named[2]})" if named[2] else ""
        raise SessionError(f"This session does not read well{place}: {what}. Hand it over again.") from None


def _from_text(text: str) -> Session:
    """The session from a message: one line a tap, parts between strokes, the last line counting them."""
    lines = [re.sub(r"^[>\s]+", "", line).rstrip() for line in text.splitlines()]
    start = next(n for n, line in enumerate(lines) if FIRST_WORDS in line)
    head = _parts(lines[start][lines[start].index(FIRST_WORDS) :])
    edits = re.fullmatch(r"edit (\d{1,6})", head[6]) if len(head) == 7 else None
    if len(head) != 6 and edits is None:
        raise SessionError("The first line of this session is not whole: copy the text again.")
    taps: list[dict[str, Any]] = []
    for number, line in enumerate(lines[start + 1 :], start + 2):
        if count := re.match(r"(\d{1,6}) taps?\b", line):
            if int(count[1]) != len(taps):
                raise SessionError(f"The text counts {count[1]} taps and {len(taps)} are there: copy the whole of it.")
            break
        if line:
            taps.append(_tap(_parts(line), number))
    else:
        raise SessionError("The end of this session is missing (a line such as: 12 taps | 5 kites): copy all of it.")
    height = re.fullmatch(r"(\d{1,3}(?:\.\d{1,4})?) m", head[4])
    return _converted(
        {
            "kind": "bowbook session",
            "format": 1,
            "id": head[1],
            "on": head[2],
            "unit": head[3],
            "height_m": float(height[1]) if height else head[4],
            "edits": int(edits[1]) if edits else 0,
            "place": "" if head[5] == "-" else head[5],
            "taps": taps,
        }
    )


def _parts(line: str) -> list[str]:
    return [part.strip() for part in line.split("|")]


_ANSWERS = {"too little": "little", "liked": "liked", "too much": "much"}


def _tap(parts: Sequence[str], number: int) -> dict[str, Any]:
    if len(parts) < 5 or parts[4] not in _ANSWERS or not re.fullmatch(r"\d{1,3}(\.\d{1,3})?", parts[3]):
        raise SessionError(f"Line {number} is no tap such as: 14:33 | nib | Ansa | 9 | too much. Copy the text again.")
    tap: dict[str, Any] = {"at": parts[0], "kite": parts[1], "wind": float(parts[3]), "said": _ANSWERS[parts[4]]}
    if parts[2] != "-":
        tap["flyer"] = parts[2]
    for part in parts[5:]:
        name, _, value = part.partition(" ")
        if name in ("bow", "word"):
            tap[name] = value
        elif name in ("pull", "turn", "track", "control", "speed") and value.isascii() and value.isdigit():
            tap[name] = int(value[:9])
        else:
            raise SessionError(f"Line {number} holds {part[:40]!r}, which says nothing of a tap. Copy the text again.")
    return tap
