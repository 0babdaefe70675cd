"""A problem in a maker's file: where it is, what is wrong, what to write instead."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import NamedTuple

from msgspec import Struct


class Location(NamedTuple):
    """Where something stands in a file; lines and columns count from 1, `end` is one past the last column."""

    file: str
    line: int = 0
    column: int = 0
    end: int = 0


Places = Mapping[str, Location]
"""Where the values of one file stand, by their paths in it: "bow.span", "bench.0.left"."""


def location_of(path: str, places: Places, file: str) -> Location:
    """Where the value at a path stands; its nearest parent if it is not there, else the file's first line."""
    while path and path not in places:
        path = path.rpartition(".")[0]
    return places.get(path, Location(file, 1))


class HintedError(ValueError):
    """What cannot be taken as it is: what is wrong, and what to write or do instead; as text, both sentences."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(f"{message}. {hint}")
        self.message, self.hint = message, hint


class Problem(Struct, frozen=True):
    """One thing that is wrong: the place, a sentence saying what, and a sentence saying what to write instead.

    `source` is the line's own text, so that the problem can be shown with a mark under the spot without
    reading the file again; it is empty where there is no line (a missing or unreadable file).
    """

    location: Location
    message: str
    hint: str = ""
    source: str = ""

    def as_json(self) -> dict[str, object]:
        """The problem as plain data: file, line, column, what, instead."""
        p = self.location
        return {"file": p.file, "line": p.line, "column": p.column, "what": self.message, "instead": self.hint}


def render(problem: Problem, colour: bool = False) -> str:
    """The problem as a terminal shows it: the place, what is wrong, the line with a mark under the spot, what to write.

    Control characters from the maker's file are written out, so that a file cannot command the terminal.

    >>> print(render(Problem(Location("content/kites/tern.md", 4, 7, 13), "no unit", "Write 24 in.", "span: 24 inn")))
    content/kites/tern.md:4:7: no unit
      span: 24 inn
            ^^^^^^
      Write 24 in.
    """
    place = problem.location
    where = safe(place.file) + "".join(f":{n}" for n in (place.line, place.column) if n)
    lines = [f"{where}: {safe(problem.message)}"]
    shown = line_and_mark(problem)
    lines += ["  " + line for line in shown]
    if problem.hint:
        lines.append("  " + safe(problem.hint))
    if colour:
        lines[0] = f"\x1b[1m{where}:\x1b[0m \x1b[31m{safe(problem.message)}\x1b[0m"
        if shown:
            lines[2] = f"\x1b[31m{lines[2]}\x1b[0m"
    return "\n".join(lines)


def line_and_mark(problem: Problem) -> tuple[str, ...]:
    """The line of a problem as it is shown, and the mark under the spot; nothing where its line is not known."""
    return _marked(problem.source, problem.location) if problem.source.strip() else ()


_WIDEST = 96  # of a source line as shown: longer ones are cut around the spot


def safe(text: str) -> str:
    """The text with control and direction characters written out, as ␛ or <U+202E>, on one line."""
    if text.isprintable():
        return text
    return "".join(c if c.isprintable() else _written_out(c) for c in text)


def _written_out(char: str) -> str:
    code = ord(char)
    if code < 0x20:
        return " " if char in "\t\n\r" else chr(0x2400 + code)
    if char.isspace():
        return " "
    return f"<U+{code:04X}>"


def _marked(source: str, place: Location) -> tuple[str, str]:
    """The source line as shown and the marks under it; wide letters take two columns, a tab takes four."""
    start = max(place.column - 1, 0)
    end = max(place.end - 1, start + 1)
    first = max(0, start - _WIDEST // 2) if len(source) > _WIDEST else 0
    piece = source[first : first + _WIDEST]
    shown = mark = ""
    for i, char in enumerate(piece, first):
        text = "    " if char == "\t" else safe(char)
        shown += text
        if i < end:
            mark += ("^" if i >= start else " ") * sum(_columns(c) for c in text)
    if start >= first + len(piece):
        mark = " " * sum(_columns(c) for c in shown) + "^"
    return ("…" if first else "") + shown, (" " if first else "") + mark.rstrip()


def _columns(char: str) -> int:
    if unicodedata.combining(char):
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1
