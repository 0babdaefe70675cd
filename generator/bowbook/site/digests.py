"""A digest of any record: equal records give equal digests, in any process."""

from __future__ import annotations

import hashlib
import io
import pickle
from collections.abc import Mapping
from pathlib import PurePath
from types import MappingProxyType
from typing import Any

from bowbook.book.quick import compared, is_record


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

    What a record does not count as part of itself (the places its values stand at in a file) is left out.
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
        names = _names(type(value))
        if names is not None:
            return _Writer, (type(value).__qualname__, *[getattr(value, name) for name in names])
        if isinstance(value, MappingProxyType):
            return _Writer, (dict(value),)
        if isinstance(value, PurePath):
            return _Writer, (str(value),)
        if isinstance(value, Mapping):
            return _Writer, (tuple(value.items()),)
        raise pickle.PicklingError(f"{type(value).__qualname__} is not plain data and can't be told apart by value")


_compared: dict[type, tuple[str, ...] | None] = {}


def _names(kind: type) -> tuple[str, ...] | None:
    """Names of the fields a record is compared by; None for what is no record."""
    if kind not in _compared:
        _compared[kind] = compared(kind) if is_record(kind) else None
    return _compared[kind]
