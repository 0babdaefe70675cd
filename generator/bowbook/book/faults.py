"""A fault in a maker's file: where it is, what is wrong, what to write instead."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something stands in a file; lines and columns count from 1, `end` is one past the last column."""

    file: str
    line: int = 0
    column: int = 0
    end: int = 0


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong: the place, a sentence saying what, and a sentence saying what to write instead.

    `source` is the line's own text, so that the fault can be shown with a mark under the spot without
    reading the file again; it is empty where there is no line (a missing or unreadable file).
    """

    place: Place
    what: str
    instead: str = ""
    source: str = ""

    def as_json(self) -> dict[str, object]:
        """The fault as plain data: file, line, column, what, instead."""
        p = self.place
        return {"file": p.file, "line": p.line, "column": p.column, "what": self.what, "instead": self.instead}
