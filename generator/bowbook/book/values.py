"""Values that know what they are made of: a fingerprint at once, the value itself when it is needed."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cached_property
from typing import Any, Generic, Protocol, TypeVar, overload

import msgspec

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
A = TypeVar("A")
B = TypeVar("B")
C = TypeVar("C")
D = TypeVar("D")
E = TypeVar("E")
F = TypeVar("F")
G = TypeVar("G")
H = TypeVar("H")
R = TypeVar("R", bound=msgspec.Struct)

FINGERPRINT_BYTES = 16


class Value(Protocol[T_co]):
    """Something with a fingerprint; called, it gives what the fingerprint is of."""

    @property
    def fingerprint(self) -> bytes:
        """Equal for equal values, in any process."""

    def __call__(self) -> T_co:
        """The value itself, fetched or made now."""


def encoded(value: object) -> bytes:
    """A value made of records, mappings, tuples, texts and numbers as bytes; equal values give equal bytes."""
    return _ENCODER.encode(value)


def fingerprint(data: bytes) -> bytes:
    """A few bytes that stand for any number of them."""
    return hashlib.blake2b(data, digest_size=FINGERPRINT_BYTES).digest()


def _plain(value: Any) -> Any:
    """What the encoder does not know: a mapping of another kind, a path, a number of an array."""
    if isinstance(value, Mapping):
        return dict(value)
    if hasattr(value, "item"):
        return value.item()
    if hasattr(value, "__fspath__"):
        return str(value)
    raise TypeError(f"{type(value).__qualname__} is no plain data")


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_plain)


class Given(Generic[T]):
    """A value that is there already."""

    def __init__(self, value: T) -> None:
        self._value = value

    @cached_property
    def fingerprint(self) -> bytes:
        """Of its bytes, taken when it is first asked for."""
        return fingerprint(encoded(self._value))

    def __call__(self) -> T:
        return self._value


class Bound(Generic[T]):
    """A function and what it is given: made anew each time it is called, known by its inputs until then."""

    __slots__ = ("_fingerprint", "inputs", "make")

    def __init__(self, make: Callable[..., T], inputs: Sequence[Value[Any]]) -> None:
        self.make, self.inputs = make, inputs
        self._fingerprint: bytes | None = None

    @property
    def fingerprint(self) -> bytes:
        """Of the function's name and of all it is given."""
        if self._fingerprint is None:
            name = f"{self.make.__module__}.{self.make.__qualname__}"
            self._fingerprint = fingerprint(b"".join([name.encode(), b"\0", *[one.fingerprint for one in self.inputs]]))
        return self._fingerprint

    def __call__(self) -> T:
        return self.make(*[one() for one in self.inputs])


class Gathered(Generic[T]):
    """Many values as one tuple, held together once it was asked for."""

    def __init__(
        self, values: Iterable[Value[T]], opened: Callable[[Sequence[Value[T]]], list[T]] | None = None
    ) -> None:
        """`opened` is how they are fetched together, where that costs less than one by one."""
        self._values, self._opened = tuple(values), opened

    @cached_property
    def fingerprint(self) -> bytes:
        """Of all of them, in order."""
        return fingerprint(b"".join([one.fingerprint for one in self._values]))

    @cached_property
    def _all(self) -> tuple[T, ...]:
        return tuple(self._opened(self._values) if self._opened else [one() for one in self._values])

    def __call__(self) -> tuple[T, ...]:
        return self._all


@overload
def bind(make: Callable[[], T]) -> Bound[T]: ...
@overload
def bind(make: Callable[[A], T], a: Value[A], /) -> Bound[T]: ...
@overload
def bind(make: Callable[[A, B], T], a: Value[A], b: Value[B], /) -> Bound[T]: ...
@overload
def bind(make: Callable[[A, B, C], T], a: Value[A], b: Value[B], c: Value[C], /) -> Bound[T]: ...
@overload
def bind(make: Callable[[A, B, C, D], T], a: Value[A], b: Value[B], c: Value[C], d: Value[D], /) -> Bound[T]: ...
@overload
def bind(
    make: Callable[[A, B, C, D, E], T], a: Value[A], b: Value[B], c: Value[C], d: Value[D], e: Value[E], /
) -> Bound[T]: ...
@overload
def bind(
    make: Callable[[A, B, C, D, E, F], T],
    a: Value[A],
    b: Value[B],
    c: Value[C],
    d: Value[D],
    e: Value[E],
    f: Value[F],
    /,
) -> Bound[T]: ...
@overload
def bind(
    make: Callable[[A, B, C, D, E, F, G], T],
    a: Value[A],
    b: Value[B],
    c: Value[C],
    d: Value[D],
    e: Value[E],
    f: Value[F],
    g: Value[G],
    /,
) -> Bound[T]: ...
@overload
def bind(
    make: Callable[[A, B, C, D, E, F, G, H], T],
    a: Value[A],
    b: Value[B],
    c: Value[C],
    d: Value[D],
    e: Value[E],
    f: Value[F],
    g: Value[G],
    h: Value[H],
    /,
) -> Bound[T]: ...
def bind(make: Callable[..., T], *inputs: Value[Any]) -> Bound[T]:
    """A function with the values it is to be called with; they are fetched only when it is called."""
    return Bound(make, inputs)


def fingerprint_of(record: msgspec.Struct) -> bytes:
    """Of everything in a record of values: each field is a value, or a tuple of values."""
    found = []
    for name in record.__struct_fields__:
        field = getattr(record, name)
        if isinstance(field, tuple):
            found += [len(field).to_bytes(4, "big"), *[one.fingerprint for one in field]]
        else:
            found.append(field.fingerprint)
    return fingerprint(b"".join(found))


class Steps(Protocol):
    """Runs steps: gives a step's result, from before where what it is given is as it was."""

    def run(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result, which is of the type `gives`."""

    def run_all(self, gives: type[T], steps: Sequence[Bound[T]]) -> list[Value[T]]:
        """The results of many steps alike, which may be shared out."""

    def run_split(self, gives: type[R], steps: Sequence[Bound[R]]) -> list[R]:
        """The results of many steps alike, each a record `gives` of values: every field is kept, and known, by itself.

        A later step that is given one of the fields is run again only where that field is another.
        """

    def later(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result, made only when it is needed; until then it is known by what the step is given."""

    def opened(self, values: Sequence[Value[T]]) -> list[T]:
        """Many values at once."""

    def gathered(self, values: Iterable[Value[T]]) -> Value[tuple[T, ...]]:
        """Many values as one, fetched at once when it is needed."""


class Now:
    """Runs every step when its result is first needed, and keeps no result from one time to the next."""

    def run(self, gives: type[T], step: Bound[T]) -> Value[T]:  # noqa: ARG002 for those that read results back
        """The step's result, which is of the type `gives`."""
        return _Once(step)

    def run_all(self, gives: type[T], steps: Sequence[Bound[T]]) -> list[Value[T]]:
        """The results of many steps alike."""
        return [self.run(gives, step) for step in steps]

    def run_split(self, gives: type[R], steps: Sequence[Bound[R]]) -> list[R]:  # noqa: ARG002 as in `run`
        """The results of many steps alike, each a record of values."""
        return [step() for step in steps]

    def later(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result, made only when it is needed."""
        return self.run(gives, step)

    def opened(self, values: Sequence[Value[T]]) -> list[T]:
        """Many values at once."""
        return [value() for value in values]

    def gathered(self, values: Iterable[Value[T]]) -> Value[tuple[T, ...]]:
        """Many values as one."""
        return Gathered(values)


class _Once(Generic[T]):
    """A step's result, made once; what it is made from stands for it."""

    def __init__(self, step: Bound[T]) -> None:
        self._step = step

    @property
    def fingerprint(self) -> bytes:
        return self._step.fingerprint

    @cached_property
    def _made(self) -> T:
        return self._step()

    def __call__(self) -> T:
        return self._made
