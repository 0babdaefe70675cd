"""A kite from old notes, each value as it was typed with the cells it came from."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Units
from bowbook.format.kite_file import read_kite
from bowbook.format.schema import KITE
from bowbook.format.write_kite import file_text


class Cell(Struct, frozen=True):
    """One cell of the table: its row, its column's place and heading, its text."""

    row: int
    place: int
    heading: str
    text: str


class CellValue(Struct, frozen=True):
    """What a kite's file has of one or several cells."""

    text: str
    cells: tuple[Cell, ...]


Entry = Mapping[str, CellValue]


class OldKite(Struct, frozen=True):
    """A kite from a table: facts by their place ("bow.length"), rounds, flights, changes, and what stays words."""

    key: str
    name: str
    facts: Mapping[str, CellValue] = {}
    rounds: tuple[Entry, ...] = ()
    flights: tuple[Entry, ...] = ()
    changes: tuple[Entry, ...] = ()
    words: tuple[str, ...] = ()

    def file_text(self) -> str:
        """The kite's file as it is where the book has no such kite yet."""
        values: dict[str, Any] = {"name": self.name}
        for path, value in self.facts.items():
            _put(values, path, as_in_file(path, value))
        for key, entries in (("changes", self.changes), ("bench", self.rounds), ("flights", self.flights)):
            if entries:
                values[key] = [entry_texts(entry) for entry in entries]
        ordered = {key: values[key] for key in KITE.keys if key in values}
        return file_text(ordered, words_text(self.words))


OPENING: Final = "From old notes:"
_NO_LINK: Final = re.compile(r"(?<=\])(?=[(\[:])|(?<=<)(?=[a-z]+:)")  # what would make a link of words that are none


def as_in_file(path: str, value: CellValue) -> str | list[str]:
    """A fact as it stands in the file: tags are a list."""
    return value.text.split(", ") if path == "tags" else value.text


def _put(values: dict[str, Any], path: str, value: Any) -> None:
    """Put a value where a path such as "bow.length" leads."""
    *holders, key = path.split(".")
    for holder in holders:
        values = values.setdefault(holder, {})
    values[key] = value


def entry_texts(entry: Entry) -> dict[str, Any]:
    """A round, a flight or a change as texts by their keys."""
    values: dict[str, Any] = {}
    for path, value in entry.items():
        _put(values, path, value.text)
    return values


def story_line(words: str) -> str:
    """Words on one line of a story, where nothing in them makes a link."""
    return _NO_LINK.sub(" ", " ".join(words.split()))


def words_text(words: tuple[str, ...]) -> str:
    """What stays words, as a list for the story; "" for nothing."""
    lines = "\n".join(f"- {story_line(line)}" for line in words)
    return f"{OPENING}\n\n{lines}" if lines else ""


def fitted(kite: OldKite, units: Units) -> tuple[OldKite, list[tuple[Cell, str]]]:
    """The kite without the values that its file could not have, these kept as words, and why each was taken out."""
    out: list[tuple[Cell, str]] = []
    problems = _problems(kite, units)
    while problems:
        parts = [(part, _without(kite, part)) for part in _parts(kite)]
        counts = [len(_problems(less, units)) for _, less in parts]
        if not counts:
            break
        best = min(range(len(counts)), key=counts.__getitem__)
        cells = _cells_of(kite, parts[best][0])
        out += [(cell, problems[0]) for cell in cells]
        kite = parts[best][1]
        problems = _problems(kite, units)
    return kite, out


Part = tuple[str, int, str]  # "facts" or one of the lists; which of them; the key
LISTS: Final = ("flights", "rounds", "changes")


def _parts(kite: OldKite) -> Iterator[Part]:
    """Every value that may be taken out, the least telling first."""
    for name in LISTS:
        for n, entry in enumerate(getattr(kite, name)):
            yield from ((name, n, key) for key in reversed(list(entry)))
    yield from (("facts", 0, path) for path in reversed(list(kite.facts)))


def _cells_of(kite: OldKite, part: Part) -> tuple[Cell, ...]:
    name, n, key = part
    held = kite.facts if name == "facts" else getattr(kite, name)[n]
    cells: tuple[Cell, ...] = held[key].cells
    return cells


def _without(kite: OldKite, part: Part) -> OldKite:
    """The kite without one value, its cells kept as words."""
    name, n, key = part
    words = (*kite.words, *(f"{cell.heading}: {cell.text}" for cell in _cells_of(kite, part)))
    if name == "facts":
        return replace(kite, facts={path: value for path, value in kite.facts.items() if path != key}, words=words)
    entries = [{k: v for k, v in entry.items() if (i, k) != (n, key)} for i, entry in enumerate(getattr(kite, name))]
    return replace(kite, words=words, **{name: tuple(entry for entry in entries if entry)})


def _problems(kite: OldKite, units: Units) -> list[str]:
    found = read_kite(kite.file_text().encode(), f"content/kites/{kite.key}.md", units)
    return [problem.message for problem in found.problems]
