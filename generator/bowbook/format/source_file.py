"""One file of a book as lines of text: decoded, looked over for hostile characters, front matter told from story."""

from __future__ import annotations

from itertools import islice

from bowbook.book.problems import Location, Problem
from bowbook.book.unseen import UNSEEN

LARGEST_BYTES = 1_000_000  # a kite's file is some kilobytes; far larger ones are mistakes or bombs
MOST_FAULTS = 60  # of one file: after these, more would not help


class Source:
    """A file being read: its lines, and the problems found in it so far."""

    __slots__ = ("file", "lines", "problems")

    def __init__(self, file: str, lines: list[str] | None = None) -> None:
        self.file, self.lines = file, lines or []
        self.problems: list[Problem] = []

    def problem(self, place: Location, what: str, instead: str = "") -> None:
        """Notes a problem at a place, with the text of its line."""
        if self.full or any(f.location == place and f.message == what for f in self.problems):
            return
        if len(self.problems) == MOST_FAULTS:
            self.problems.append(
                Problem(Location(self.file), "there are more problems than these", "Mend these first.")
            )
            return
        line = self.lines[place.line - 1] if 0 < place.line <= len(self.lines) else ""
        self.problems.append(Problem(place, what, instead, line))

    @property
    def full(self) -> bool:
        """Whether so many problems were found that no more are noted."""
        return len(self.problems) > MOST_FAULTS

    def at(self, line: int, column: int = 1, end: int = 0) -> Location:
        """The place at a line and column of this file, counted from 1."""
        return Location(self.file, line, column, end or column + 1)


def read_text(data: bytes, file: str) -> Source:
    """The lines of a file. Problems, if it is too large, not UTF-8, or has hidden characters, stand in the result."""
    source = Source(file)
    if len(data) > LARGEST_BYTES:
        source.problems.append(too_large(file, len(data)))
        return source
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = len(before[before.rfind(b"\n") + 1 :].decode("utf-8", "replace")) + 1
        source.lines = data.decode("utf-8", "replace").replace("\r\n", "\n").replace("\r", "\n").split("\n")
        source.problem(
            source.at(line, column),
            f"the file is not UTF-8 text: byte {error.start + 1} ({data[error.start]:#04x}) is no part of a letter",
            "Save it again with the encoding UTF-8.",
        )
        return source
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    source.lines = text.split("\n")
    for found in islice(UNSEEN.finditer(text), MOST_FAULTS + 1):  # counting lines up to each of a million takes hours
        line = text.count("\n", 0, found.start()) + 1
        column = found.start() - (text.rfind("\n", 0, found.start()) + 1) + 1
        source.problem(
            source.at(line, column),
            f"a character that cannot be seen stands here (U+{ord(found[0]):04X})",
            "Delete it, or type the line again.",
        )
    return source


def too_large(file: str, size: int) -> Problem:
    """The problem of a file that holds too many bytes to be a text."""
    what = f"the file holds {size / 1e6:.1f} MB; that is no text to read"
    return Problem(Location(file), what, "Keep it under 1 MB: photos and scans belong beside it, not in it.")


def front_matter(source: Source) -> tuple[int, int] | None:
    """The lines of the front matter, first and one past the last (counted from 0), or None with a problem noted."""
    lines = source.lines
    if not any(line.strip() for line in lines):
        source.problem(
            source.at(1), "the file is empty", "Begin it with a line ---, then name: and a name, then a line ---."
        )
        return None
    if lines[0].rstrip() != "---":
        what = "there is no front matter: the first line is not ---"
        source.problem(
            source.at(1, 1, len(lines[0]) + 1), what, "Put a line --- first, then name: and the rest, then a line ---."
        )
        return None
    for number in range(1, len(lines)):
        if lines[number].rstrip() in ("---", "..."):
            return 1, number
    source.problem(source.at(1, 1, 4), "the front matter is not closed", "Put a line --- after the last of its keys.")
    return None
