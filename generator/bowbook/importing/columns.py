"""Everything a column of old notes may be: the fields of columns.toml."""

from __future__ import annotations

from importlib.resources import files
from typing import Final

import msgspec
from msgspec import Struct

WORDS: Final = "words"  # kept as words in the kite's story
NOTHING: Final = "nothing"  # left out


class Field(Struct, frozen=True):
    """What a column may be: what it is, whose it is, its headings, parted by commas, and the kind of its figures.

    `usual` are the smallest and the largest figures that are common, in SI; (0, 0) where nothing is unusual.
    """

    says: str
    one: str  # "kite", "round", "flight", "round or flight" or "change"
    headings: str
    kind: str = ""
    usual: tuple[float, float] = (0.0, 0.0)


_FILE: Final = files("bowbook").joinpath("importing", "columns.toml")
FIELDS: Final = msgspec.toml.decode(_FILE.read_bytes(), type=dict[str, Field])
