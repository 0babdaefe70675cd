"""The order of building, as far as the maker's story has one: its headings, or the first numbered list in it."""

from __future__ import annotations

import re
from typing import Any

from bowbook.book.days import middle_of
from bowbook.format.story_days import parted_by_day

_STRUCTURED = re.compile(r"^ {0,3}(#{1,6}\s|\d{1,9}[.)]\s|=+\s*$|-+\s*$)", re.MULTILINE)
_MOST = 8
_LONGEST = 90  # letters of one step on paper


def building_steps(story: str, made: str | None = None) -> tuple[str, ...]:
    """The parts of a story, numbered; none where it is all of one piece.

    Parts of the story on days after the one on which the kite was `made` are left out.
    """
    if not _STRUCTURED.search(story):
        return ()
    from markdown_it import MarkdownIt

    parts = parted_by_day(MarkdownIt("commonmark", {"maxNesting": 40}).parse(story))
    tokens = [token for on, part in parts if not (on and made and middle_of(on) > middle_of(made)) for token in part]
    found = _headings(tokens)
    found = [words for words in (found if len(found) > 1 else _numbered(tokens)) if words]
    if len(found) < 2:
        return ()
    shown = found if len(found) <= _MOST else found[: _MOST - 1]
    more = () if shown is found else (f"… and {len(found) - len(shown)} more, on the kite's page",)
    return (*(f"{n}. {_short(words)}" for n, words in enumerate(shown, 1)), *more)


def _headings(tokens: list[Any]) -> list[str]:
    """The words of the headings of the highest level there is."""
    levels = [token.tag for token in tokens if token.type == "heading_open"]
    return [
        _words(tokens[at + 1])
        for at, token in enumerate(tokens)
        if token.type == "heading_open" and token.tag == min(levels)
    ]


def _numbered(tokens: list[Any]) -> list[str]:
    """The first words of each item of the first numbered list."""
    first = next((at for at, token in enumerate(tokens) if token.type == "ordered_list_open"), None)
    if first is None:
        return []
    level = tokens[first].level
    found = []
    for at, token in enumerate(tokens[first:], first):
        if token.type == "ordered_list_close" and token.level == level:
            break
        if token.type == "list_item_open" and token.level == level + 1:
            found.append(next((_words(t) for t in tokens[at + 1 : at + 3] if t.type == "inline"), ""))
    return found


def _words(inline: Any) -> str:
    """The text of a line of Markdown without its marks."""
    said = (child.content if child.type in ("text", "code_inline") else " " for child in inline.children or ())
    return " ".join("".join(said).split())


def _short(words: str) -> str:
    return words if len(words) <= _LONGEST else words[: _LONGEST - 1].rstrip() + "…"
