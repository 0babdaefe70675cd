"""Names as file systems compare them."""

from __future__ import annotations

import unicodedata


def folded(name: str) -> str:
    """A name without what some file systems do not tell apart: capitals, and signs composed in different ways.

    >>> folded("Plover") == folded("PLOVER")
    True
    """
    return unicodedata.normalize("NFKC", name).casefold()
