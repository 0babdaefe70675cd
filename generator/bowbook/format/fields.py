"""What may stand in a maker's file, as data: the reader checks with these shapes, the schema is made from them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct


class Text(Struct, frozen=True):
    """A line or a paragraph of text; `pattern` is what it must match, said in words by `like`."""

    most: int = 300
    pattern: str = ""
    like: str = ""


class Name(Struct, frozen=True):
    """The key of something else: a rod, a skin, a kite."""

    of: str


class Choice(Struct, frozen=True):
    """One of a few words."""

    words: tuple[str, ...]


class Flag(Struct, frozen=True):
    """true or false."""


class Date(Struct, frozen=True):
    """A day, written 2026-05-03; or only its month, season or year."""


class Whole(Struct, frozen=True):
    """A whole number from `low` to `high`."""

    low: int
    high: int


class Quantity(Struct, frozen=True):
    """One quantity in SI from `low` to `high`; a low of zero excludes zero itself unless `zero` is true."""

    kind: str
    low: float
    high: float
    zero: bool = False


class Quantities(Struct, frozen=True):
    """Repeats of one quantity: a line with commas, a list, or a single one. `exactly` fixes their number."""

    kind: str
    low: float
    high: float
    most: int = 50
    exactly: int = 0
    zero: bool = False


class WindSpan(Struct, frozen=True):
    """A wind or a range of winds; `closed` wants both of its edges."""

    high: float = 45.0
    closed: bool = False


class Taps(Struct, frozen=True):
    """Winds with what was said of each: "6 mph liked, 9 mph much". `most` limits their number."""

    most: int = 500
    high: float = 45.0


class Share(Struct, frozen=True):
    """A tolerance: per cent, a bare number being per cent too unless it is below 0.5."""

    low: float
    high: float


class HeldEnd(Struct, frozen=True):
    """How the end was held: pinned, clamped, hinge, or an effective-length factor."""

    low: float = 0.5
    high: float = 2.0


class Stretch(Struct, frozen=True):
    """A zone of a half: a name, or a range from the centre mark."""


class ListOf(Struct, frozen=True):
    """A list of `least` to `most` items of one shape; an empty one is as if absent.

    A single item may stand without the list if `single`.
    """

    item: Shape
    least: int = 0
    most: int = 1000
    single: bool = False
    why: str = ""  # why so many are needed, as a sentence


class Key(Struct, frozen=True):
    """One key of a record: its shape, what it is, an example; whether it must be there."""

    shape: Shape
    says: str
    example: Any = None
    needed: str = ""  # why it must be there, as a sentence; "" where it may be missing


class Record(Struct, frozen=True):
    """Keys and values. With `short`, that shape may stand in place of the whole record, as its key `stands_for`."""

    keys: Mapping[str, Key]
    short: Shape | None = None
    stands_for: str = ""
    one_of: tuple[str, ...] = ()  # at most one of these keys may be there
    called: str = "keys and values"


class Table(Struct, frozen=True):
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
    | Taps
    | Share
    | HeldEnd
    | Stretch
    | ListOf
    | Record
    | Table
)
