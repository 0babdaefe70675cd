"""What one column of old notes may be."""

from __future__ import annotations

from msgspec import Struct


class Field(Struct, frozen=True):
    """What a column may be: its name, what it is, the kind of its figures ("" for none), and its headings.

    `one` says whose it is: the kite's own, one of a round's readings, one of a flight's, or of a change. `usual` are
    the smallest and the largest that are common, in SI: a bare figure far outside them was written in another unit.
    """

    name: str
    says: str
    one: str
    headings: tuple[str, ...]
    kind: str = ""
    usual: tuple[float, float] = (0.0, 0.0)


def words(text: str) -> tuple[str, ...]:
    """Headings parted by commas."""
    return tuple(" ".join(part.split()) for part in text.split(","))
