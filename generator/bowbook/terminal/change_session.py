"""The talk about a change: what was changed, and to what."""

from __future__ import annotations

from collections.abc import Mapping

from bowbook.book.as_typed import with_unit
from bowbook.book.days import DayError, parse_day
from bowbook.book.quantities import QuantityError
from bowbook.book.records import Book, Kite
from bowbook.book.suggest import nearest
from bowbook.terminal.prompts import ask, one_of

_ASKED = {
    "skin": "  The new skin, a key of skins.yaml?",
    "bow": "  The new bow: a rod of rods.yaml, and its length where it is another, such as glass-2, 640 mm?",
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


def entry_of(given: Mapping[str, str | None], on: str, book: Book) -> tuple[str, dict[str, object]]:
    """The day and the rest of an entry of `changes`; the rest is empty where only the stage moved.

    Raises ValueError, with a sentence that names the thing.
    """
    try:
        day = parse_day(on)
    except DayError as wrong:
        raise ValueError(f"--on: {wrong.message}. {wrong.hint}") from None
    entry: dict[str, object] = {}
    if given["skin"]:
        entry["skin"] = _in_stock("skin", given["skin"], book.skins)
    if given["bow"]:
        entry["bow"] = _bow(given["bow"], book)
    if given["span"]:
        entry["span"] = _size("span", given["span"], book)
    if given["note"]:
        entry["note"] = given["note"]
    return day, entry


def _bow(text: str, book: Book) -> dict[str, str]:
    rod, _, length = (part.strip() for part in text.partition(","))
    if rod in book.strips:
        strip = book.strips[rod]
        grown = {"rod": strip.rod, "length": f"{strip.length_m * 1000:.7g} mm" if strip.length_m else None}
        return {key: value for key, value in grown.items() if value is not None}
    found = {"rod": _in_stock("bow", rod, book.rods)}
    return found | ({"length": _size("bow", length, book)} if length else {})


def _in_stock(option: str, key: str, stock: Mapping[str, object]) -> str:
    if key not in stock:
        near = nearest(key, stock)
        hint = f"Did you mean {near[0]}?" if near else f"In stock: {', '.join(stock) or 'none'}."
        raise ValueError(f"--{option}: {key} is not in stock. {hint}")
    return key


def _size(option: str, text: str, book: Book) -> str:
    try:
        return with_unit(text, "length", book.settings.units)
    except QuantityError as wrong:
        raise ValueError(f"--{option}: {wrong.message}. {wrong.hint}") from None
