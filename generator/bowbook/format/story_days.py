"""The days that a story names: a heading that begins or ends with one, or a line that is nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from bowbook.book.days import DayError, parse_day

if TYPE_CHECKING:
    from markdown_it.token import Token

_DATE = r"[12][0-9]{3}-[0-9]{2}(?:-[0-9]{2})?"
_FIRST = rf"({_DATE})(?![\w-])[\s:,·–—-]*"
_LAST = rf"[\s:,·–—-]*\(?(?<![\w-])({_DATE})\)?\s*$"


def parted_by_day(tokens: Sequence[Token]) -> Iterator[tuple[str | None, list[Token]]]:
    """The tokens from one day named to the next, without the days themselves; a day may belong to the heading before.

    What stands before the first day has none; a heading without a day goes on with the day before it.
    """
    on: str | None = None
    part: list[Token] = []
    at = 0
    while at < len(tokens):
        block = _block(tokens, at)
        at += len(block)
        headed = block[0].type == "heading_open"
        if (day := _day_taken_out(block)) is not None:
            heading = [] if headed else _heading_at_end(part)
            yield on, part[: len(part) - len(heading)]
            on, part = day, heading
        part += block
    yield on, part


def _block(tokens: Sequence[Token], at: int) -> list[Token]:
    """One block of the story's top level: a token alone, or from its opening to its end."""
    depth = 0
    for end in range(at, len(tokens)):
        depth += tokens[end].nesting
        if depth <= 0:
            return list(tokens[at : end + 1])
    return list(tokens[at:])


def _heading_at_end(part: Sequence[Token]) -> list[Token]:
    """The heading that a part ends with, if it does: a day right under it is the heading's."""
    return list(part[-3:]) if part and part[-1].type == "heading_close" else []


def _day_taken_out(block: list[Token]) -> str | None:
    """The day that a block names, now taken out of it; a block of nothing else is emptied."""
    if len(block) != 3 or not block[1].children:
        return None
    text = block[1].children[0]
    if block[0].type == "heading_open":
        last = block[1].children[-1]
        for place, pattern, find in ((text, _FIRST, re.match), (last, _LAST, re.search)):
            found = find(pattern, place.content) if place.type == "text" else None
            if found and (day := _known(found[1])):
                place.content = place.content[: found.start()] + place.content[found.end() :]
                if not any(child.content.strip() for child in block[1].children):
                    block.clear()
                return day
    elif block[0].type == "paragraph_open" and text.type == "text" and (day := _known(text.content)):
        if len(block[1].children) == 1:
            block.clear()
        elif block[1].children[1].type == "softbreak":
            block[1].children = block[1].children[2:]
        else:
            return None
        return day
    return None


def _known(text: str) -> str | None:
    """The day as records keep it; None where the text is none."""
    try:
        return parse_day(text.strip())
    except DayError:
        return None
