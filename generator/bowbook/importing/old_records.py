"""Old records in a table: what its headings mean, and in which units, as far as they say."""

from __future__ import annotations

import csv
import io
import re
from itertools import islice

from msgspec import Struct

from bowbook.book.problems import safe
from bowbook.book.unit_tables import find_unit
from bowbook.book.unseen import UNSEEN_IN_VALUE

LARGEST_BYTES = 10_000_000
MOST_ROWS = 20_000
_HEAD_ROWS = 100  # that may stand empty, or above the headings
MOST_COLUMNS = 200
LONGEST_CELL = 5000

# What a column may be, with the words that makers head it with. The first word is how it is said back.
FIELDS: dict[str, tuple[str, ...]] = {
    "name": ("name", "kite", "kite name", "title"),
    "made": ("made", "built", "finished", "date made", "date built"),
    "on": ("date", "day", "on", "when"),
    "stage": ("stage", "state", "status"),
    "summary": ("summary", "description", "about"),
    "skin": ("skin", "sail material", "cover", "covering", "sail skin", "fabric", "paper"),
    "mass": ("mass", "weight", "kite mass", "kite weight", "total mass", "total weight"),
    "bow.rod": ("rod", "bow rod", "bow material", "bow stock"),
    "bow.length": ("bow length", "length of bow", "bow", "rod length", "length"),
    "bow.span": ("span", "tip to tip", "bow span", "strung", "span strung"),
    "bow.mass": ("bow mass", "bow weight", "rod mass", "rod weight"),
    "bow.crosses": ("crosses", "bow crosses", "crossing"),
    "spine.rod": ("spine rod", "spine material"),
    "spine.length": ("spine", "spine length"),
    "left": ("left", "left half", "left reading", "l", "left press"),
    "right": ("right", "right half", "right reading", "r", "right press"),
    "whole": ("whole", "whole bow", "whole reading", "end to end"),
    "covered.left": ("covered left", "left covered", "left with skin", "left skin on"),
    "covered.right": ("covered right", "right covered", "right with skin", "right skin on"),
    "flyer": ("flyer", "flown by", "who", "by"),
    "wind": ("wind", "wind range", "what blew"),
    "wind.low": ("wind low", "wind from", "wind min", "least wind", "min wind", "low wind"),
    "wind.high": ("wind high", "wind to", "wind max", "most wind", "max wind", "high wind"),
    "best": ("best", "best wind", "liked", "liked best"),
    "best.low": ("best low", "best from", "best min", "best wind low", "best wind from", "best wind min"),
    "best.high": ("best high", "best to", "best max", "best wind high", "best wind to", "best wind max"),
    "height": ("height", "meter height", "wind height"),
    "control": ("control",),
    "speed": ("speed",),
    "note": ("note", "notes", "comment", "comments", "remarks"),
}
KINDS = {
    "mass": "mass",
    "bow.mass": "mass",
    "bow.length": "length",
    "bow.span": "length",
    "bow.crosses": "length",
    "spine.length": "length",
    "height": "length",
    **dict.fromkeys(("left", "right", "whole", "covered.left", "covered.right"), "force"),
    **dict.fromkeys(("wind", "wind.low", "wind.high", "best", "best.low", "best.high"), "wind"),
}
_WORDS = {word: field for field, words in FIELDS.items() for word in words}
_IN_BRACKETS = re.compile(r"^(.*?)[\s_]*[(\[]([^)\]]*)[)\]]\s*$")


class TableError(ValueError):
    """The file is no table of records; the message says why."""


class Column(Struct, frozen=True):
    """One column: its heading, what it is ("" where that is not known), and its unit ("" where none is written)."""

    place: int
    heading: str
    field: str
    unit: str = ""


class OldTable(Struct, frozen=True):
    """The columns, and the rows below them with their line numbers; a decimal comma has become a point."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]


def read_table(data: bytes) -> OldTable:
    """The table in a file of separated values. Raises TableError, with a sentence."""
    if len(data) > LARGEST_BYTES:
        raise TableError("The file is larger than 10 MB: take over a part at a time.")
    text = _text(data)
    if "\0" in text:
        raise TableError("This is not a text file. Save the sheet as CSV (values separated by commas) first.")
    separator = _separator(text)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
        lines = list(islice(reader, MOST_ROWS + _HEAD_ROWS))
    except csv.Error as wrong:
        raise TableError(f"The file is no table of values: {wrong}.") from None
    filled = [
        (n, [safe(UNSEEN_IN_VALUE.sub("", cell)).strip() for cell in row])
        for n, row in enumerate(lines, 1)
        if any(c.strip() for c in row)
    ]
    if not filled:
        raise TableError("The file is empty.")
    if len(filled) > MOST_ROWS:
        raise TableError(f"The file has more than {MOST_ROWS} rows: take over a part at a time.")
    for number, row in filled:
        if len(row) > MOST_COLUMNS:
            raise TableError(f"Row {number} has more than {MOST_COLUMNS} columns: is this a table of kites?")
        if any(len(cell) > LONGEST_CELL for cell in row):
            raise TableError(f"Row {number} has a cell of more than {LONGEST_CELL} letters: shorten it first.")
    start = next((i for i, (_, row) in enumerate(filled) if any(understand(c)[0] == "name" for c in row)), None)
    if start is None:
        raise TableError("No column is headed name (or kite): one must say which kite each row is about.")
    columns = tuple(Column(i, heading, *understand(heading)) for i, heading in enumerate(filled[start][1]) if heading)
    comma = separator != ","
    rows = tuple((n, tuple(_point(c) if comma else c for c in row)) for n, row in filled[start + 1 :])
    return OldTable(columns, rows)


def understand(heading: str) -> tuple[str, str]:
    """What a heading means: field and unit, either "" where it does not say.

    >>> understand("Left (g)"), understand("Best wind mph"), understand("Left 2"), understand("Colour")
    (('left', 'g'), ('best', 'mph'), ('left', ''), ('', ''))
    """
    plain = " ".join(heading.replace("_", " ").split()).strip(" :.")
    bracketed = _IN_BRACKETS.match(plain)
    words, unit = (bracketed[1], bracketed[2].strip()) if bracketed else (plain, "")
    field = _field(words)
    if field and unit:
        return field, find_unit(unit, KINDS.get(field, "")) or "" if field in KINDS else ""
    if field or bracketed:
        return field, ""
    before, _, last = words.rpartition(" ")
    field = _field(before.rstrip(" ,/-"))
    found = find_unit(last, KINDS[field]) if field in KINDS else None
    return (field, found) if found else ("", "")


def _field(words: str) -> str:
    """The field for these words, whatever number follows them; "" for none."""
    plain = re.sub(r"[\s#.]*\d+$", "", words.casefold().strip())
    plain = " ".join(re.sub(r"[^\w]+", " ", plain).split())
    return _WORDS.get(plain, "")


def _text(data: bytes) -> str:
    """The file's text: UTF-8, UTF-16 with its mark, else the usual Western code page."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return data.decode("cp1252", "replace")


def _separator(text: str) -> str:
    """What stands between the values: whatever parts the most headings that are understood."""
    heads = [line.replace('"', "") for line in text.splitlines()[:20] if line.strip()]

    def known(separator: str) -> int:
        return max((sum(bool(understand(cell)[0]) for cell in line.split(separator)) for line in heads), default=0)

    return max(",;\t|", key=known)


def _point(cell: str) -> str:
    """The cell with a decimal comma as a point: "2,1" and "2,1 g", but not "214, 213"."""
    return re.sub(r"(?<![\d,])(\d+),(\d+)(?![\d,])", r"\1.\2", cell)
