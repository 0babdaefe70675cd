"""Frozen dataclasses that cost little to define and to make: bowbook defines many, and every command waits for them.

The library's own decorator compiles six methods for each class, which took most of the start-up of `bowbook check`.
Here only the constructor is compiled, the first time one is made; the other methods are shared by all classes. What
comes out is a dataclass to `fields`, `replace`, `asdict`, pickle and type checkers. What a module needs to know of a
record's fields to write it down, `names`, `compared` and `defaults` say without the library's help.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, TypeVar

T = TypeVar("T")

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(*, frozen: bool, slots: bool) -> Callable[[type[T]], type[T]]:
        """`dataclasses.dataclass(frozen=True, slots=True)`, defined in a tenth of the time; not to be derived from."""
        assert frozen
        assert slots
        return _made


def is_record(kind: type) -> bool:
    """Whether a class was made by this decorator."""
    return "__compared__" in vars(kind)


def names(kind: type) -> tuple[str, ...]:
    """The names of a record's fields, in order."""
    return kind.__match_args__  # type: ignore[attr-defined, no-any-return]


def compared(kind: type) -> tuple[str, ...]:
    """The names of the fields a record is compared by."""
    return kind.__compared__  # type: ignore[attr-defined, no-any-return]


def defaults(kind: type) -> Mapping[str, object]:
    """The defaults of a record's fields by name; those made anew for each record are left out."""
    return kind.__defaults__  # type: ignore[attr-defined, no-any-return]


def _made(cls: type[T]) -> type[T]:
    names = tuple(cls.__annotations__)
    given = {name: vars(cls)[name] for name in names if name in vars(cls)}
    kept = {name: value for name, value in vars(cls).items() if name not in (*names, "__dict__", "__weakref__")}
    special = {name: value for name, value in given.items() if isinstance(value, dataclasses.Field)}
    told = {
        "__dataclass_fields__": _Later(cls),
        "__defaults__": {name: value for name, value in given.items() if name not in special},
        "__compared__": tuple(name for name in names if name not in special or special[name].compare is not False),
        "__shown__": tuple(name for name in names if name not in special or special[name].repr),
    }

    def first(self: Any, *args: Any, **values: Any) -> None:
        made.__init__ = _constructor(made, given)
        made.__init__(self, *args, **values)

    own = {"__slots__": names, "__match_args__": names, "__qualname__": cls.__qualname__, "__init__": first}
    made: Any = type(cls.__name__, cls.__bases__, {**kept, **own, **told, **_SHARED})
    return made  # type: ignore[no-any-return]


def _constructor(made: Any, defaults: Mapping[str, Any]) -> Any:
    """A constructor like the library's; each value goes straight into its slot."""
    known: dict[str, Any] = {"later": dataclasses.MISSING}
    taken, lines = [], []
    for name in made.__slots__:
        known[f"set_{name}"], value = getattr(made, name).__set__, name
        if name not in defaults:
            taken.append(name)
        elif isinstance(defaults[name], dataclasses.Field):  # here these are always made anew
            known[f"make_{name}"] = defaults[name].default_factory
            taken.append(f"{name}=later")
            value = f"make_{name}() if {name} is later else {name}"
        else:
            known[f"default_{name}"] = defaults[name]
            taken.append(f"{name}=default_{name}")
        lines.append(f" set_{name}(self, {value})")
    exec("\n".join([f"def __init__(self, {', '.join(taken)}):", *lines]), known)
    return known["__init__"]


class _Later:
    """Stands for what the library knows of the fields of a class until somebody asks for it."""

    def __init__(self, plain: type) -> None:
        self.plain = plain

    def __get__(self, _instance: object, made: Any) -> Any:
        whole: Any = dataclasses.dataclass(eq=False, repr=False)(self.plain)
        made.__dataclass_fields__ = whole.__dataclass_fields__
        return made.__dataclass_fields__


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


_SHARED = {
    "__setattr__": _set_once,
    "__delattr__": _delete_never,
    "__eq__": _equal,
    "__hash__": _hashed,
    "__repr__": _written,
}
