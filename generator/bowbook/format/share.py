"""A kite's file as a friend may have it, written from its record: what a reader of its page may know, and no more.

It reads the same in any book: every figure has its unit, and flights say how high the wind was read. What the record
does not hold is left out: private flights, comments, keys of the maker's own, photos. The maker is credited under
`after`, and the rods and skin stand as comments, ready to paste into the friend's stock.
"""

from __future__ import annotations

import re
from urllib.parse import quote

import yaml
from msgspec.structs import replace

from bowbook.book.records import Book, Flight, Kite, Origin
from bowbook.format.share_story import story_to_share
from bowbook.format.write_kite import kite_text, stock_lines

_STOCK = re.compile(r"^#   content/stock/(rods|skins)\.yaml$|^#   (.+)$")
_PASTE = "# What it is made of, to paste into your own stock where you have not got it:"


def kite_to_share(book: Book, key: str) -> str:
    """The file of the kite `key` as a friend may have it: nothing private, and the same kite whatever their units."""
    kite, settings = book.kites[key], book.settings
    flights = tuple(_shared_flight(flight, settings.height_m) for flight in kite.flights)
    shared = replace(kite, flights=flights, origin=kite.origin or _credit(kite, book), story=story_to_share(kite.story))
    return kite_text(shared, settings.units, _stock_comment(book, kite))


def _shared_flight(flight: Flight, height_m: float) -> Flight:
    """The flight with the height its winds were read at, without the mark of the phone that noted it."""
    winds = flight.wind or flight.best or flight.taps
    return replace(flight, height_m=flight.height_m or (height_m if winds else None), session=None)


def stock_to_add(text: str) -> tuple[dict[str, str], dict[str, str]]:
    """The rods and the skins that a shared file brings along: key to a line for rods.yaml or skins.yaml."""
    found: dict[str, dict[str, str]] = {"rods": {}, "skins": {}}
    into: dict[str, str] | None = None
    for line in text.split("\n"):
        match = _STOCK.match(line.rstrip())
        if match and match[1]:
            into = found[match[1]]
        elif match and into is not None:
            try:
                entry = yaml.safe_load(match[2])
            except (yaml.YAMLError, ValueError, RecursionError):  # a friend's line may hold anything
                continue
            if isinstance(entry, dict) and len(entry) == 1:
                into[str(next(iter(entry)))] = match[2]
        else:
            into = None
    return found["rods"], found["skins"]


def _credit(kite: Kite, book: Book) -> Origin | None:
    settings = book.settings
    page = f"{settings.address.rstrip('/')}/kites/{quote(kite.key)}/index.html" if settings.address else None
    return Origin(kite.name, settings.maker, page) if settings.maker else None


def _stock_comment(book: Book, kite: Kite) -> list[str]:
    lines = []
    for name, entries in zip(("rods", "skins"), stock_lines(book, kite), strict=True):
        lines += [f"#   content/stock/{name}.yaml", *(f"#   {entry}" for entry in entries)] if entries else []
    return [_PASTE, *lines] if lines else []
