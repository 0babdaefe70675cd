"""What a maker wrote, as plain data in SI: the inputs among the published figures."""

from __future__ import annotations

import math
from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.records import Droop, Flight, Kite, Press, Rod, Sag, Skin, Strip

# Said elsewhere among a kite's figures, or no input to any.
_NOT_INPUTS = {"key", "name", "made", "stage", "summary", "photos", "story", "story_line", "file"}
_NOT_SHARED = {"session"}  # the mark of the phone that noted a flight is nothing a reader of the page may know


def kite_inputs(kite: Kite) -> dict[str, object]:
    """A kite's readings, sizes and flights, named as in its record: metres, newtons, kilograms, m/s."""
    return _fields(kite, _NOT_INPUTS)


def stock_inputs(entry: Rod | Skin | Strip) -> dict[str, object]:
    """A rod, a skin, or a loose strip with its rounds, in SI."""
    return _fields(entry, {"key"})


def _fields(record: Struct, without: set[str]) -> dict[str, object]:
    names = record.__struct_fields__
    return {name: _plain(getattr(record, name)) for name in names if name not in without}


def _plain(value: object) -> object:
    """A record's value as JSON has it."""
    if isinstance(value, Press | Sag | Droop):
        return {"kind": type(value).__name__.lower()} | _fields(value, set())
    if isinstance(value, Struct):
        return _fields(value, _NOT_SHARED if isinstance(value, Flight) else set())
    if isinstance(value, tuple | list):
        return [_plain(part) for part in value]
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value
