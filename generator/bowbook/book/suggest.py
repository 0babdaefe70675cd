"""The words nearest to one that was miswritten."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, words: Iterable[str], most: int = 1, alike: float = 0.6) -> list[str]:
    """At most so many of the words, the nearest first; `alike` is how much of them has to be the same.

    >>> nearest("spin", ["spine", "span", "sail"])
    ['spine']
    """
    from difflib import get_close_matches  # only a mistake has to wait for it

    return get_close_matches(word, words, most, alike)
