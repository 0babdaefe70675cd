"""Records as bytes and back: what is read can only become text, numbers and the program's own plain records."""

from __future__ import annotations

import io
import pickle
import zlib
from functools import cache
from importlib import import_module
from typing import Any

from msgspec import Struct

_ROOMS = ("bowbook.book.records", "bowbook.findings.results", "bowbook.pages.kite_row", "bowbook.pages.markup")

_NO_RECORDS = (
    pickle.UnpicklingError,
    zlib.error,
    EOFError,
    LookupError,
    TypeError,
    AttributeError,
    OverflowError,
)
_PACKED = b"z"  # no pickle of this protocol begins so
_WORTH_PACKING = 6000  # bytes
_LARGEST = 50_000_000


def frozen(value: object) -> bytes:
    """A text or a record, and all it holds, as bytes."""
    out = io.BytesIO()
    _Writer(out, protocol=5).dump(value)
    data = out.getvalue()
    return _PACKED + zlib.compress(data, 1) if len(data) > _WORTH_PACKING else data


def thawed(data: bytes) -> object:
    """What `frozen` was given. Raises ValueError where the bytes are anything else, or ask for more than records."""
    try:
        return _Reader(io.BytesIO(_unpacked(data))).load()
    except _NO_RECORDS as error:
        raise ValueError("these are no plain records") from error


class Packed:
    """A record held as its bytes, for as long as nobody looks at it; called, it gives one like it."""

    def __init__(self, value: object) -> None:
        self.data = frozen(value)

    def __call__(self) -> Any:
        return thawed(self.data)


def _unpacked(data: bytes) -> bytes:
    if not data.startswith(_PACKED):
        return data
    unpacking = zlib.decompressobj()
    unpacked = unpacking.decompress(data[1:], _LARGEST)
    if unpacking.unconsumed_tail:
        raise ValueError("these are no plain records")
    return unpacked


class _Writer(pickle.Pickler):
    """Writes a record as its kind and its fields in order."""

    def reducer_override(self, value: Any) -> Any:
        kind = type(value)
        if issubclass(kind, Struct):
            return kind, tuple([getattr(value, name) for name in kind.__struct_fields__])
        return NotImplemented


class _Reader(pickle.Unpickler):
    """Makes records of a few rooms, and nothing else."""

    def find_class(self, module: str, name: str) -> Any:
        return _record(module, name)


@cache
def _record(module: str, name: str) -> type:
    kind = vars(import_module(module)).get(name) if module in _ROOMS else None
    if isinstance(kind, type) and issubclass(kind, Struct) and kind.__module__ == module:
        return kind
    raise pickle.UnpicklingError(f"{module}.{name} is no record")
