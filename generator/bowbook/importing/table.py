"""A table of old notes as rows of texts: separated values in any usual encoding, or the first sheet of a workbook."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Final

from msgspec import Struct

from bowbook.book.problems import safe
from bowbook.book.unseen import UNSEEN_IN_VALUE
from bowbook.storage.regular import NotPlainError, TooLargeError, read_plain

LARGEST_BYTES: Final = 10_000_000
MOST_ROWS: Final = 20_000
MOST_COLUMNS: Final = 200
MOST_IN_A_CELL: Final = 20_000
SEPARATORS: Final = {",": "commas", ";": "semicolons", "\t": "tabs", "|": "upright strokes"}

# How files that are no table begin, and what to do with each.
_OTHERS: Final = (
    (b"\xff\xd8\xff", "This is a picture. Type its rows into a sheet and save that as CSV."),
    (b"\x89PNG", "This is a picture. Type its rows into a sheet and save that as CSV."),
    (b"GIF8", "This is a picture. Type its rows into a sheet and save that as CSV."),
    (b"%PDF", "This is a printed document. Save the sheet it was made from as CSV."),
    (b"\xd0\xcf\x11\xe0", "This is a workbook of an old kind. Open it and save it as XLSX or CSV."),
)

_NOTHING: Final = frozenset({"-", "–", "—", "--", "n/a", "n.a.", "k.a.", "n.v.t."})  # a cell with nothing to say


class TableError(ValueError):
    """The file is no table of records; the message says why and what to do."""


class TableRow(Struct, frozen=True):
    """One row: its line in the file (or its row in the sheet), and its cells without outer blanks."""

    number: int
    cells: tuple[str, ...]


class NotesTable(Struct, frozen=True):
    """The rows that hold anything, and sentences on how the file was read."""

    rows: tuple[TableRow, ...]
    said: tuple[str, ...] = ()
    commas: bool = True  # whether commas part the values: a comma in a cell is then no decimal comma


def read_table(path: Path, known: Callable[[str], bool], sheet: str = "") -> NotesTable:
    """The table in a file. `known` tells a heading that is understood; `sheet` names one of a workbook's.

    Raises TableError, with a sentence; OSError where the file cannot be read.
    """
    try:
        data = read_plain(path, LARGEST_BYTES)
    except TooLargeError:
        what = f"The file is larger than {LARGEST_BYTES // 10**6} MB: take over a part at a time."
        raise TableError(what) from None
    except NotPlainError as wrong:
        raise TableError(f"{path}: {wrong.strerror}. Name a table of rows: CSV, TSV or XLSX.") from None
    for start, sentence in _OTHERS:
        if data.startswith(start):
            raise TableError(sentence)
    if data.startswith(b"PK\x03\x04"):
        from bowbook.importing.workbook import sheet_rows

        rows, said = sheet_rows(data, sheet, known)
        return NotesTable(_filled(rows), said, commas=False)
    return _separated(data, known)


def heading_row(rows: Sequence[TableRow], known: Callable[[str], bool]) -> int:
    """Which of the first rows holds the headings: the one with the most that are understood, else the first."""
    counts = [sum(known(cell) for cell in row.cells) for row in rows[:20]]
    return counts.index(max(counts)) if counts else 0


def _separated(data: bytes, known: Callable[[str], bool]) -> NotesTable:
    text, said = _text(data)
    if "\0" in text:
        raise TableError("This is not a text file. Save the sheet as CSV (values separated by commas) first.")
    separator = _separator(text, known)
    rows, quotes = _parsed(text, separator)
    notes = [f"Its values are parted by {SEPARATORS[separator]}." if separator != "," else "", said, quotes]
    return NotesTable(_filled(rows), tuple(note for note in notes if note), commas=separator == ",")


def _filled(rows: Iterator[tuple[int, Sequence[str]]]) -> tuple[TableRow, ...]:
    """The rows that hold anything. Raises TableError where there is none, or more than a book can hold."""
    found: list[TableRow] = []
    for number, cells in rows:
        if len(cells) > MOST_COLUMNS:
            raise TableError(
                f"Line {number} has {len(cells)} columns; a table may have {MOST_COLUMNS}. Leave some out."
            )
        if any(len(cell) > MOST_IN_A_CELL for cell in cells):
            raise TableError(f"Line {number} has a cell of more than {MOST_IN_A_CELL} letters. Shorten it first.")
        texts = tuple(safe(UNSEEN_IN_VALUE.sub("", " ".join(cell.split()))) for cell in cells)
        texts = tuple("" if text.casefold() in _NOTHING else text for text in texts)
        if any(texts):
            found.append(TableRow(number, texts))
        if len(found) > MOST_ROWS + 1:
            raise TableError(f"The file has more than {MOST_ROWS} rows: take over a part at a time.")
    if not found:
        raise TableError("The file is empty.")
    return tuple(found)


def _parsed(text: str, separator: str) -> tuple[Iterator[tuple[int, Sequence[str]]], str]:
    """The rows, quotes understood; where a quote is never closed, quotes are inch marks if every row then fits."""
    csv.field_size_limit(MOST_IN_A_CELL * 4)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    rows: list[tuple[int, Sequence[str]]] = []
    start = 1
    try:
        for cells in reader:
            rows.append((start, cells))
            if len(rows) > MOST_ROWS + 2 or len(cells) > MOST_COLUMNS:
                break
            start = reader.line_num + 1
    except csv.Error:
        plain = [line.split(separator) for line in text.splitlines()]
        held = [cells for cells in plain if any(cell.strip() for cell in cells)]
        if len(held) > 1 and len({len(cells) for cells in held}) == 1 and len(held[0]) > 1:
            return iter(list(enumerate(plain, 1))), "Its quotes do not pair, so they are read as inch marks."
        raise TableError(
            f"Line {start} has a quote that is never closed, or text behind a closed one: in a cell that holds "
            'quotes, write each of them twice and put the cell in quotes, such as "19 1/2"" bow".'
        ) from None
    return iter(rows), ""


def _text(data: bytes) -> tuple[str, str]:
    """The file's text and what is to be said of its letters: UTF-8, UTF-16, else the usual Western code page."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace"), "Its letters are UTF-16."
    sample = data[:2000]
    for order, zeros in (("utf-16-le", sample[1::2]), ("utf-16-be", sample[::2])):
        if len(zeros) > 8 and zeros.count(0) > 0.4 * len(zeros) and sample.count(0) < 0.6 * len(sample):
            return data.decode(order, "replace"), "Its letters are UTF-16."
    try:
        return data.decode("utf-8-sig"), ""
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
        return text, "Its letters are not UTF-8; they were read as Windows-1252. Look at names with accents."


def _separator(text: str, known: Callable[[str], bool]) -> str:
    """What stands between the values: whatever parts the most headings that are understood."""
    heads = [line[:20_000].replace('"', "") for line in text[:200_000].splitlines()[:20] if line.strip()]

    def count(separator: str) -> tuple[int, int]:
        understood = max((sum(known(c) for c in line.split(separator)[:MOST_COLUMNS]) for line in heads), default=0)
        return understood, max((line.count(separator) for line in heads), default=0)

    return max(SEPARATORS, key=count)


def with_point(cell: str) -> str:
    """The cell with a decimal comma as a point: "2,1" and "2,1 g", but not "214, 213".

    >>> with_point("2,1 g"), with_point("214, 213")
    ('2.1 g', '214, 213')
    """
    return re.sub(r"(?<![\d,])(\d+),(\d+)(?![\d,])", r"\1.\2", cell)
