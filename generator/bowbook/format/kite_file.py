"""One Markdown file with front matter to one record: a kite or a free page, each read on its own."""

from __future__ import annotations

from typing import Any

import yaml
from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.problems import Places, Problem, location_of
from bowbook.book.quantities import HasUnits
from bowbook.book.records import Flight, Kite, Page, Units
from bowbook.format import build_records, fields, schema
from bowbook.format.checks import check_kite
from bowbook.format.folder import key_of
from bowbook.format.source_file import Source, front_matter, read_text
from bowbook.format.state_checks import check_life
from bowbook.format.validate import walk
from bowbook.format.validate_values import Walk, is_empty
from bowbook.format.yaml_nodes import Loader, compose

_PAGE = fields.Record({"title": fields.Key(fields.Text(200), "Title of the page.", "How to measure")})


_LONGEST_STORY = 60_000  # some forty pages; Markdown can be written that takes a square of its length to read
_NOTHING: yaml.Node = next(iter(yaml.compose_all("{}", Loader)))  # what stands between two lines --- with no key


class KiteFile(Struct, frozen=True):
    """One kite's file as read on its own: its record (None where it has a problem), problems, and places of values.

    `draft` is what could be read of a kite with a problem: only for finding what else is wrong with it.
    """

    key: str
    kite: Kite | None = None
    draft: Kite | None = None
    hidden: bool = False
    problems: tuple[Problem, ...] = ()
    places: Places = {}

    @property
    def legible(self) -> Kite | None:
        """Its record, or what could be read of one with a problem."""
        return self.kite or self.draft


def read_kite(data: bytes, file: str, units: HasUnits | None = None) -> KiteFile:
    """One kite's file, checked on its own: the same bytes, name and units give the same result.

    `file` is the path inside the book, such as content/kites/turnstone.md. A hidden kite comes back with `hidden`
    set, for the caller to leave out; private flights are left out.
    """
    key = key_of(file)
    source = read_text(data, file)
    spot = None if source.problems else front_matter(source)
    if spot is None:
        return KiteFile(key, problems=tuple(source.problems))
    at, values = _walked(source, *spot, schema.KITE, units or Units())
    if values is None:
        return KiteFile(key, problems=tuple(source.problems))
    kite, places = build_records.kite(key, values, at.places, file, at.about)

    def say(path: str, what: str, instead: str) -> None:
        source.problem(location_of(path, places, file), what, instead)

    check_kite(kite, values, at.units, say)
    check_life(kite, values, at.units, say)
    line, story = _story(source, spot[1])
    _check_length(source, line, story)
    whole = replace(kite, story=story, story_line=line)
    if source.problems:
        return KiteFile(key, draft=whole, problems=tuple(source.problems), places=places)
    return KiteFile(key, whole, hidden=bool(values.get("hidden")), places=places)


class FiledFlight(Struct, frozen=True):
    """A flight as it stands in a kite's file: its number there, from 0, and whether it is private."""

    number: int
    flight: Flight
    private: bool = False


def read_flights(data: bytes, file: str, units: HasUnits) -> tuple[FiledFlight, ...]:
    """Every flight of a kite's file, private ones too, as they stand: for writing into them, never for a page."""
    source = read_text(data, file)
    spot = None if source.problems else front_matter(source)
    values = None if spot is None else _walked(source, *spot, schema.KITE, units)[1]
    return tuple(
        FiledFlight(number, build_records.flight(one), bool(one.get("private")))
        for number, one in enumerate((values or {}).get("flights", ()))
        if isinstance(one, dict)
    )


def read_page(data: bytes, file: str, problems: list[Problem]) -> Page | None:
    """A free page; its title is the front matter's, else its first heading, else its file's name."""
    source = read_text(data, file)
    key = key_of(file)
    title, line, story = "", 1, "\n".join(source.lines)
    if not source.problems and source.lines[0].rstrip() == "---":
        spot = front_matter(source)
        if spot is not None:
            _, values = _walked(source, *spot, _PAGE, Units())
            title = (values or {}).get("title", "")
            line, story = _story(source, spot[1])
    _check_length(source, line, story)
    problems += source.problems
    if source.problems:
        return None
    heading = next((text[2:].strip(" #") for text in story.split("\n") if text.startswith("# ")), "")
    return Page(key, title or heading or key, story, line, file)


def _walked(source: Source, first: int, last: int, shape: fields.Shape, units: HasUnits) -> tuple[Walk, Any]:
    """The walk and its value for some lines of a file; None where nothing could be read."""
    at = Walk(source, units, first)
    node = compose(source, first, last)
    if node is None or is_empty(node):
        if source.problems:
            return at, None
        node = _NOTHING
    value = walk(node, shape, at)
    return at, value if isinstance(value, dict) else None


def _check_length(source: Source, line: int, story: str) -> None:
    if len(story) > _LONGEST_STORY:
        what = f"the text has {len(story)} letters"
        source.problem(
            source.at(line), what, f"Keep it under {_LONGEST_STORY}: a part of it may become a page of its own."
        )


def _story(source: Source, close: int) -> tuple[int, str]:
    """The line the story starts on (from 1; 0 where there is none) and its Markdown."""
    lines = source.lines[close + 1 :]
    blank = 0
    while blank < len(lines) and not lines[blank].strip():
        blank += 1
    story = "\n".join(lines[blank:]).rstrip()
    return (close + 2 + blank if story else 0), story
