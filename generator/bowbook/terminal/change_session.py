"""The questions about a change: what was changed, and to what."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from bowbook.book.as_typed import with_unit
from bowbook.book.days import DayError, parse_day
from bowbook.book.problems import Location, Problem
from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Book, Kite
from bowbook.book.suggest import nearest
from bowbook.book.units import show, show_range
from bowbook.book.written_numbers import QuantityError
from bowbook.format.common_fields import LENGTH
from bowbook.format.cross_checks import decoration
from bowbook.terminal.prompts import ask, one_of

_ASKED = {
    "skin": "  The new skin, a key of skins.yaml?",
    "bow": "  The new bow: a rod of rods.yaml and its length, such as glass-2, 640 mm; or a loose strip?",
    "span": "  Tip to tip, strung anew, such as 590 mm?",
    "stage": "  Its stage now: planned, building, flying, resting, given, lost, broken or retired?",
    "to": "  Who has it now?",
    "note": "  What was done?",
}


def ask_change(kite: Kite) -> dict[str, str | None]:
    """What was changed on a kite, as it is typed."""
    words = "skin, bow, span, stage, to or note"
    what = ask(f"What was changed on {kite.name}? {words}:", one_of({name: name for name in _ASKED}, words))
    given: dict[str, str | None] = dict.fromkeys(_ASKED)
    given[what] = ask(_ASKED[what], _something)
    if what != "note":
        given["note"] = ask("  Anything to remember?", lambda text: text) or None
    return given


def _something(text: str) -> str:
    if not text:
        raise ValueError("Write it, or leave with Ctrl-C.")
    return text


def entry_of(given: Mapping[str, str | None], on: str, book: Book, kite: Kite) -> tuple[str, dict[str, Any]]:
    """The day and the rest of an entry of `changes`; the rest is empty where only the stage moved.

    A bow that is a loose strip is named by its key `strip`.

    Raises ValueError, with a sentence that names the thing.
    """
    try:
        day = parse_day(on)
    except DayError as wrong:
        raise ValueError(f"--on: {wrong}") from None
    if given["to"] and given["stage"] not in (None, "given"):
        raise ValueError(f"--to says who has it now, and --stage {given['stage']} that nobody has: give one of them.")
    entry: dict[str, Any] = {}
    if given["skin"]:
        entry["skin"] = _in_stock("skin", given["skin"], book.skins)
    if given["bow"]:
        entry["bow"] = _bow(given["bow"], book)
    if given["span"]:
        entry["span"] = _size("span", given["span"], book)
    entry |= _look(given, book, kite)
    if given["note"]:
        entry["note"] = given["note"]
    return day, entry


def _look(given: Mapping[str, str | None], book: Book, kite: Kite) -> dict[str, Any]:
    """How the sail looks since. Whether colours are colours is seen where the file is read again."""
    look: dict[str, Any] = {}
    if colours := given.get("colours"):
        look["colours"] = _listed(colours)
    if panels := given.get("panels"):
        lay, _, pieces = panels.partition(":")
        look["panels"] = {"lay": lay.strip(), "colours": _listed(pieces)}
    if name := given.get("decoration"):
        found = decoration(name, Location(kite.file), kite, Path(book.root), "")
        if isinstance(found, Problem):
            raise ValueError(f"--decoration: {found.message}. {found.hint}")
        look["decoration"] = name
    return look


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split(",")]


def _bow(text: str, book: Book) -> dict[str, str]:
    """The new bow: a rod, or a loose strip, and its length where one is said."""
    rod, _, length = (part.strip() for part in text.partition(","))
    own = {"length": _size("bow", length, book)} if length else {}
    if rod in book.strips and rod not in book.rods:
        return {"strip": rod} | own
    return {"rod": _in_stock("bow", rod, {**book.rods, **book.strips})} | own


def strip_sizes(rod: str | None, length: str | None, book: Book) -> dict[str, str]:
    """What a loose strip is made from and how long it is, as given. Raises ValueError with a sentence."""
    found = {"rod": _in_stock("rod", rod, book.rods)} if rod else {}
    return found | ({"length": _size("length", length, book)} if length else {})


def ask_strip(book: Book) -> dict[str, str]:
    """What a new loose strip is made from, and how long it is. Raises LeftError."""
    rod = ask("  What is it made from, a rod of rods.yaml (Enter: not noted)?", _named(book))
    length = ask(
        "  How long is it, such as 640 mm (Enter: not noted)?", lambda text: text and _size("length", text, book)
    )
    return {key: text for key, text in (("rod", rod), ("length", length)) if text}


def _named(book: Book) -> Callable[[str], str]:
    return lambda text: text and _in_stock("rod", text, book.rods)


def _in_stock(option: str, key: str, stock: Mapping[str, object]) -> str:
    if key not in stock:
        near = nearest(key, stock)
        hint = f"Did you mean {near[0]}?" if near else f"In stock: {', '.join(stock) or 'none'}."
        raise ValueError(f"--{option}: {key} is not in stock. {hint}")
    return key


def _size(option: str, text: str, book: Book) -> str:
    """A rod's length or span as it is typed, with its unit. Raises ValueError."""
    units = book.settings.units
    try:
        size_m = parse_quantity(text, "length", units)
        typed = with_unit(text, "length", units)
    except QuantityError as wrong:
        raise ValueError(f"--{option}: {wrong}") from None
    if not LENGTH.low <= size_m <= LENGTH.high:
        may_be = show_range(LENGTH.low, LENGTH.high, "length", units)
        raise ValueError(f"--{option}: {show(size_m, 'length', units)} cannot be; it should be {may_be}.")
    return typed
