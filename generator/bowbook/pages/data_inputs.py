"""What a maker wrote, as plain data in SI: the inputs among the published figures."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Mapping

from bowbook.book.records import Kite, Rod, Skin

# Said elsewhere among a kite's figures, or no input to any.
_NOT_INPUTS = {"key", "name", "made", "stage", "summary", "photos", "story", "story_line", "file", "places"}


def kite_inputs(kite: Kite) -> dict[str, object]:
    """A kite's readings, sizes and flights, named as in its record: metres, newtons, kilograms, m/s."""
    return _fields(kite, _NOT_INPUTS)


def rod_inputs(rod: Rod) -> dict[str, object]:
    """One kind of rod, in SI."""
    return _fields(rod, {"key"})


def skin_inputs(skin: Skin) -> dict[str, object]:
    """One kind of skin, in SI."""
    return _fields(skin, {"key"})


def _fields(record: object, without: set[str]) -> dict[str, object]:
    assert dataclasses.is_dataclass(record)
    return {f.name: _plain(getattr(record, f.name)) for f in dataclasses.fields(record) if f.name not in without}


def _plain(value: object) -> object:
    """A record's value as JSON has it."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return (
            {"kind": type(value).__name__.lower()} | _fields(value, set())
            if _is_reading(value)
            else _fields(value, set())
        )
    if isinstance(value, tuple | list):
        return [_plain(part) for part in value]
    if isinstance(value, Mapping):
        return {str(key): _plain(part) for key, part in value.items()}
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def _is_reading(value: object) -> bool:
    return type(value).__name__ in ("Press", "Sag", "Droop")
