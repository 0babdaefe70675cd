"""Names as file systems compare them."""

from __future__ import annotations

import unicodedata
from collections import Counter
from collections.abc import Iterable


def folded(name: str) -> str:
    """A name without what some file systems do not tell apart: capitals, and signs composed in different ways.

    >>> folded("Plover") == folded("PLOVER")
    True
    """
    return unicodedata.normalize("NFKC", name).casefold()


def alike(names: Iterable[str]) -> list[str]:
    """The names, folded, that more than one file would have.

    >>> alike(("Plover", "knot", "plover"))
    ['plover']
    """
    times = Counter(map(folded, names))
    return sorted(name for name in times if times[name] > 1)
