"""What may stand in a maker's file, as data: the reader checks with these shapes, the schema is made from them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Text:
    """A line or a paragraph of text; `pattern` is what it must match, said in words by `like`."""

    most: int = 300
    pattern: str = ""
    like: str = ""


@dataclass(frozen=True, slots=True)
class Name:
    """The key of something else: a rod, a skin, a kite."""

    of: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One of a few words."""

    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Flag:
    """true or false."""


@dataclass(frozen=True, slots=True)
class Date:
    """A day, written 2026-05-03."""


@dataclass(frozen=True, slots=True)
class Whole:
    """A whole number from `low` to `high`."""

    low: int
    high: int


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity in SI from `low` to `high`; a low of zero excludes zero itself unless `zero` is true."""

    kind: str
    low: float
    high: float
    zero: bool = False


@dataclass(frozen=True, slots=True)
class Quantities:
    """Repeats of one quantity: a line with commas, a list, or a single one. `exactly` fixes their number."""

    kind: str
    low: float
    high: float
    most: int = 50
    exactly: int = 0
    zero: bool = False


@dataclass(frozen=True, slots=True)
class WindSpan:
    """A wind or a range of winds."""

    high: float = 45.0


@dataclass(frozen=True, slots=True)
class Share:
    """A tolerance: per cent, a bare number being per cent too unless it is below 0.5."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Hold:
    """How the end was held: pinned, clamped, or an effective-length factor."""

    low: float = 0.5
    high: float = 2.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A zone of a half: a name, or a range from the centre mark."""


@dataclass(frozen=True, slots=True)
class ListOf:
    """A list of `least` to `most` items of one shape; an empty one is as if absent.

    A single item may stand without the list if `single`.
    """

    item: Shape
    least: int = 0
    most: int = 1000
    single: bool = False
    why: str = ""  # why so many are needed, as a sentence


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a record: its shape, what it is, an example; whether it must be there."""

    shape: Shape
    says: str
    example: Any = None
    needed: str = ""  # why it must be there, as a sentence; "" where it may be missing


@dataclass(frozen=True, slots=True)
class Record:
    """Keys and values. With `short`, that shape may stand in place of the whole record, as its key `stands_for`."""

    keys: Mapping[str, Key]
    short: Shape | None = None
    stands_for: str = ""
    one_of: tuple[str, ...] = field(default=())  # at most one of these keys may be there
    called: str = "keys and values"


@dataclass(frozen=True, slots=True)
class Table:
    """Any number of records, each under a key of the maker's choosing."""

    item: Record
    called: str


Shape = (
    Text
    | Name
    | Choice
    | Flag
    | Date
    | Whole
    | Quantity
    | Quantities
    | WindSpan
    | Share
    | Hold
    | Stretch
    | ListOf
    | Record
    | Table
)
