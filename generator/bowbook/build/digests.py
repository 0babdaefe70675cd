"""A digest of any record: equal records give equal digests, in any process."""

from __future__ import annotations

import hashlib
import io
import pickle
from collections.abc import Mapping
from pathlib import PurePath
from types import MappingProxyType
from typing import Any

from msgspec import Struct


class Digests:
    """Takes digests of records, of each object once: what was given is held, so that an id stays its own."""

    def __init__(self) -> None:
        self._taken: dict[int, tuple[object, str]] = {}

    def of(self, fact: object) -> str:
        """The digest of one fact."""
        taken = self._taken.get(id(fact))
        if taken is None:
            taken = (fact, digest(fact))
            self._taken[id(fact)] = taken
        return taken[1]


def digest(value: object) -> str:
    """SHA-256 over a value made of records, mappings, tuples, texts and numbers.

    Raises pickle.PicklingError for anything that is not plain data.

    >>> digest((1, "a")) == digest((1, "a")), digest((1, "a")) == digest((1.0, "a"))
    (True, False)
    """
    out = io.BytesIO()
    writer = _Writer(out, protocol=5)
    writer.fast = True  # no references back: bytes depend on values alone, not on which of them are one object
    writer.dump(value)
    return hashlib.sha256(out.getbuffer()).hexdigest()


class _Writer(pickle.Pickler):
    """Pickling only to be hashed, never to be read: a compiled walk over a record, in one fixed order."""

    def reducer_override(self, value: Any) -> Any:
        if isinstance(value, type):
            return NotImplemented
        kind = type(value)
        if kind not in _compared:
            _compared[kind] = _fields(kind) if issubclass(kind, Struct) else None
        fields = _compared[kind]
        if fields is not None:
            # What is as it is by default is left out: most of a record is.
            said = [
                (name, found)
                for name, default in fields
                if (found := getattr(value, name)) is not default and found != default
            ]
            return _Writer, (kind.__qualname__, said)
        if isinstance(value, MappingProxyType):
            return _Writer, (dict(value),)
        if isinstance(value, PurePath):
            return _Writer, (str(value),)
        if isinstance(value, Mapping):
            return _Writer, (tuple(value.items()),)
        raise pickle.PicklingError(f"{kind.__qualname__} is not plain data and can't be told apart by value")


_compared: dict[type, tuple[tuple[str, object], ...] | None] = {}


def _fields(kind: type) -> tuple[tuple[str, object], ...]:
    """The fields of a record, each with its default."""
    names: tuple[str, ...] = kind.__struct_fields__  # type: ignore[attr-defined]
    known: tuple[object, ...] = kind.__struct_defaults__  # type: ignore[attr-defined]
    return tuple(zip(names, (*[_NOTHING] * (len(names) - len(known)), *known), strict=True))


_NOTHING = object()
