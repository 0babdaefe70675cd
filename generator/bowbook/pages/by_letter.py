"""A long list of kites in parts by the letters their names begin with."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import groupby

from msgspec import Struct

from bowbook.format.folder import alphabet
from bowbook.pages.kite_row import KiteRow

PART = 40
"""Kites that stand in one part, unless more of them begin with one letter."""


class LetterPart(Struct, frozen=True):
    """The kites whose names begin with these letters, by name."""

    title: str
    lines: tuple[KiteRow, ...]


def by_letter(lines: Sequence[KiteRow]) -> tuple[LetterPart, ...]:
    """The lines in parts, neighbouring letters of one script together where they are few."""
    ordered = sorted(lines, key=lambda line: (letter_of(line.name), line.name.casefold(), line.key))
    letters = [(letter, list(own)) for letter, own in groupby(ordered, lambda line: letter_of(line.name))]
    parts: list[tuple[str, str, list[KiteRow]]] = []
    for letter, own in letters:
        if parts and len(parts[-1][2]) + len(own) <= PART and alphabet(parts[-1][1]) == alphabet(letter):
            first, _, before = parts.pop()
            parts.append((first, letter, before + own))
        else:
            parts.append((letter, letter, own))
    return tuple(LetterPart(a if a == b else f"{a}–{b}", tuple(own)) for a, b, own in parts)


def letter_of(name: str) -> str:
    """The letter a name is found under: without its accent, in capitals; anything else under #.

    >>> letter_of("Éclat"), letter_of("ørret"), letter_of("7 winds"), letter_of("白雲")
    ('E', 'Ø', '#', '白')
    """
    first = unicodedata.normalize("NFD", name.strip())[:1].upper()[:1]
    return first if first.isalpha() else "#"
