"""What must hold of anything read, whatever it is: checked by every kind of fuzzing."""

from __future__ import annotations

import math
from collections.abc import Iterable
from pathlib import Path

from bowbook.book.faults import Fault, render
from bowbook.book.kitefile import KiteFile
from bowbook.book.quantities import QuantityError, parse_quantities, parse_quantity, parse_wind
from bowbook.book.reading import read_book, read_kite, read_page
from bowbook.book.records import Book, Units


def reads_kite(data: bytes) -> KiteFile:
    """Reading gives a record of finite figures, or faults that can be shown."""
    found = read_kite(data, "content/kites/x.md")
    assert (found.kite is None) == bool(found.faults)
    can_be_shown(found.faults)
    finite(found.kite)
    return found


def reads_page(data: bytes) -> None:
    """A free page is a record with a title, or faults that can be shown."""
    faults: list[Fault] = []
    page = read_page(data, "content/pages/x.md", faults)
    assert (page is None) == bool(faults)
    assert page is None or page.title
    can_be_shown(faults)


def reads_book(root: Path, files: Iterable[str]) -> Book:
    """A whole book gives records of finite figures; its faults can be shown, and are faults of its own files."""
    book = read_book(root)
    can_be_shown(book.faults)
    assert {fault.place.file for fault in book.faults} <= set(files)
    for part in (book.settings, *book.rods.values(), *book.skins.values(), *book.kites.values()):
        finite(part)
    return book


def reads_quantity(text: str, kind: str) -> None:
    """A quantity is a finite number or a sentence."""
    sentences = []
    for parse in (
        lambda: [parse_quantity(text, kind, Units())],
        lambda: parse_quantities(text, kind, Units()),
        lambda: parse_wind(text, Units())[:2],
    ):
        try:
            values = parse()
        except QuantityError as error:
            sentences.append((error.what, error.instead))
        else:
            assert all(math.isfinite(value) for value in values)
    assert all(what and instead.endswith(".") for what, instead in sentences)


def can_be_shown(faults: Iterable[Fault]) -> None:
    """Every fault says something, on lines of a terminal, with letters that can be written down."""
    for fault in faults:
        assert fault.what
        assert all(line.isprintable() for line in render(fault).split("\n"))
        fault.what.encode("utf-8")


def finite(value: object) -> None:
    """No figure of a record is infinite or not a number."""
    if isinstance(value, float):
        assert math.isfinite(value)
    elif isinstance(value, tuple):
        for item in value:
            finite(item)
    elif hasattr(value, "__dataclass_fields__"):
        for name in value.__dataclass_fields__:
            finite(getattr(value, name))
