"""Names that pages and charts share, as they stand in addresses."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from bowbook.book.file_names import folded

MOST_NAME_BYTES = 200  # of a name in an address: with its folder and ending under what any disk takes


def pair_name(keys: Sequence[str]) -> str:
    """What the page and the charts of some kites side by side are called; no two rows of kites share a name, in any
    letters, small or capital.

    >>> pair_name(("knot", "tern"))
    'knot-and-tern'
    """
    name = "-and-".join(keys)
    if folded(name).split("-and-") != [folded(key) for key in keys] or len(name.encode()) > MOST_NAME_BYTES:
        return hashlib.sha256("\n".join(keys).encode()).hexdigest()[:24]
    return name
