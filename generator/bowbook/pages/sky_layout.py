"""Where kites hang on the wind shelf so that no name, outline or range ever lies over another."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from msgspec import Struct

CLEAR = 6.0
"""px kept free between two hung boxes."""


class Box(Struct, frozen=True):
    """What one kite takes up on the shelf, px: from `left` to `right` of the axis, and its height."""

    left: float
    right: float
    height: float


def hang(boxes: Sequence[Box]) -> list[float]:
    """How high above the ground the foot of each box hangs, px: each as low as those hung before it allow.

    Kites are hung from light winds to strong ones, so neighbours climb over each other like steps and the sky
    comes back down to the ground wherever there is room.

    >>> hang([Box(0, 10, 20), Box(5, 15, 20), Box(40, 50, 20)])
    [0.0, 26.0, 0.0]
    """
    feet = [0.0] * len(boxes)
    hung: list[int] = []
    for n in sorted(range(len(boxes)), key=lambda i: (boxes[i].left + boxes[i].right, boxes[i].left, i)):
        beside = [i for i in hung if _share_width(boxes[i], boxes[n])]
        feet[n] = _lowest_free(boxes[n].height, [(feet[i], feet[i] + boxes[i].height) for i in beside])
        hung.append(n)
    return feet


def _share_width(one: Box, other: Box) -> bool:
    return one.left < other.right + CLEAR and other.left < one.right + CLEAR


def _lowest_free(height: float, taken: list[tuple[float, float]]) -> float:
    """The lowest foot at which a box of this height clears all the taken spans."""
    foot = 0.0
    for low, high in sorted(taken):
        if low >= foot + height + CLEAR:
            break
        foot = max(foot, high + CLEAR)
    return foot


def lines_of(name: str, most: int = 18) -> tuple[str, ...]:
    """A name in at most two lines of about `most` narrow letters; what does not fit ends in an ellipsis.

    >>> lines_of("Turnstone")
    ('Turnstone',)
    >>> lines_of("The long winter evening kite of the west shore")
    ('The long winter', 'evening kite of…')
    """
    first, rest = _cut(" ".join(name.split()), most)
    if not rest:
        return (first,)
    second, more = _cut(rest, most - 1 if _columns(rest) > most else most)
    return (first, second + "…") if more else (first, second)


def _cut(text: str, most: int) -> tuple[str, str]:
    """As many whole words as fit, and the rest; a first word too long for any line is cut where it must."""
    if _columns(text) <= most:
        return text, ""
    fitting = [i for i, sign in enumerate(text) if sign == " " and _columns(text[:i]) <= most]
    if fitting:
        return text[: fitting[-1]], text[fitting[-1] + 1 :]
    end = next(i for i in range(len(text), 0, -1) if i == 1 or _columns(text[:i]) <= most)
    while end < len(text) and unicodedata.combining(text[end]):
        end += 1
    return text[:end], text[end:]


def _columns(text: str) -> int:
    """Width in narrow letters: wide scripts count double, combining marks nothing."""
    return sum(
        0 if unicodedata.combining(sign) else 2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text
    )


def text_width(text: str, size: float) -> float:
    """About how wide a line of text of that size stands, px, in the widest font of the stack.

    0.6 em for a narrow letter is more than the average of any text face in the stack (measured in DejaVu Serif,
    the widest of them: 0.58 em over English letter frequencies).
    """
    return _columns(text) * 0.6 * size
