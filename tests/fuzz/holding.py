"""What must hold of anything read, whatever it is: checked by every kind of fuzzing."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from pathlib import Path

from msgspec import Struct

from bowbook.book.problems import Problem, render
from bowbook.book.quantities import parse_quantities, parse_quantity
from bowbook.book.records import Book, Units
from bowbook.book.written_numbers import QuantityError
from bowbook.book.written_winds import parse_wind
from bowbook.format.kite_file import KiteFile, read_kite, read_page
from bowbook.format.read_book import read_book


def reads_kite(data: bytes) -> KiteFile:
    """Reading gives a record of finite figures, or problems that can be shown."""
    found = read_kite(data, "content/kites/x.md")
    assert (found.kite is None) == bool(found.problems)
    can_be_shown(found.problems)
    finite(found.kite)
    return found


def reads_page(data: bytes) -> None:
    """A free page is a record with a title, or problems that can be shown."""
    problems: list[Problem] = []
    page = read_page(data, "content/pages/x.md", problems)
    assert (page is None) == bool(problems)
    assert page is None or page.title
    can_be_shown(problems)


def reads_book(root: Path, files: Iterable[str]) -> Book:
    """A whole book gives records of finite figures; its problems can be shown, and are problems of its own files."""
    book = read_book(root)
    can_be_shown(book.problems)
    assert {problem.location.file for problem in book.problems} <= set(files)
    for part in (book.settings, *book.rods.values(), *book.skins.values(), *book.kites.values()):
        finite(part)
    return book


def wind_edges(text: str) -> list[float]:
    """The edges of a wind that are known, m/s."""
    wind = parse_wind(text, Units())
    return [edge for edge in (wind.low_m_s, wind.high_m_s) if edge is not None]


def reads_quantity(text: str, kind: str) -> None:
    """A quantity is a finite number or a sentence."""
    sentences = []
    for parse in (
        lambda: [parse_quantity(text, kind, Units())],
        lambda: parse_quantities(text, kind, Units()),
        lambda: wind_edges(text),
    ):
        try:
            values = parse()
        except QuantityError as error:
            sentences.append((error.message, error.hint))
        else:
            assert all(math.isfinite(value) for value in values)
    assert all(what and instead.endswith(".") for what, instead in sentences)


def can_be_shown(problems: Iterable[Problem]) -> None:
    """Every problem says something, on lines of a terminal, with letters that can be written down."""
    for problem in problems:
        assert problem.message
        assert all(line.isprintable() for line in render(problem).split("\n"))
        problem.message.encode("utf-8")


def finite(value: object) -> None:
    """No figure of a record is infinite or not a number."""
    if isinstance(value, float):
        assert math.isfinite(value)
    elif isinstance(value, tuple):
        for item in value:
            finite(item)
    elif isinstance(value, Mapping):
        for item in value.values():
            finite(item)
    elif isinstance(value, Struct):
        for name in value.__struct_fields__:
            finite(getattr(value, name))
    else:
        assert value is None or isinstance(value, str | int | bytes), type(value)
