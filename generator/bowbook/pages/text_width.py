"""How wide a line of text stands, whatever font of the stack a visitor has, and where a long one is cut."""

from __future__ import annotations

import unicodedata


def text_width(text: str, size: float) -> float:
    """About how wide a line of text of that size stands, px, in the widest font of the stack.

    0.6 em for a narrow letter is more than the average of any text face in the stack (measured in DejaVu Serif,
    the widest of them: 0.58 em over English letter frequencies).
    """
    return columns(text) * 0.6 * size


def cut(text: str, most: int) -> str:
    """The text in one line of at most so many narrow letters; what is left out ends in an ellipsis.

    >>> cut("The long winter evening kite", 18)
    'The long winter…'
    """
    line = " ".join(text.split())
    if columns(line) <= most:
        return line
    words = [n for n, sign in enumerate(line) if sign == " " and columns(line[:n]) < most]
    if words and columns(line[: words[-1]]) * 2 > most:
        return line[: words[-1]] + "…"
    end = next(n for n in range(len(line), 0, -1) if n == 1 or columns(line[:n]) < most)
    while end < len(line) and unicodedata.combining(line[end]):
        end += 1
    return line[:end] + "…"


def columns(text: str) -> int:
    """Width in narrow letters: wide scripts count double, combining marks nothing."""
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text
    )
