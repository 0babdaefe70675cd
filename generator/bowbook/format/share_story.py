"""A story as a friend may have it: what its page shows, without what Markdown keeps from a page."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from markdown_it.token import Token

_INLINE = re.compile(r"(!?)\[((?:[^\[\]\\]|\\.)*)\]\(((?:[^()\\]|\\.|\([^()]*\))*)\)")
_BY_LABEL = re.compile(r"(!?)\[((?:[^\[\]\\]|\\.)*)\]\[([^\[\]]*)\]")
_WEB = ("http://", "https://")


def story_to_share(story: str) -> str:
    """The story without pictures, without links to the book's own files, and without definitions no reader sees.

    The words of a picture and of such a link stay; links into the web stay as they are.
    """
    if "[" not in story:
        return story
    from markdown_it import MarkdownIt
    from mdit_py_plugins.footnote import footnote_plugin

    env: dict[str, Any] = {}
    tokens = MarkdownIt("commonmark").enable("table").use(footnote_plugin).disable("footnote_tail").parse(story, env)
    shown = _shown_links(tokens)
    gone: set[int] = set()
    dropped: set[str] = set()
    for label, defined in env.get("references", {}).items():
        if not _leads_out(defined, shown):
            gone |= set(range(*defined["map"]))
            dropped.add(label)
    for defined in env.get("duplicate_refs", ()):
        gone |= set(range(*defined["map"]))
    unused = {label for label, called in env.get("footnotes", {}).get("refs", {}).items() if called < 0}
    for token in tokens:
        if token.type == "footnote_reference_open" and f":{token.meta['label']}" in unused and token.map:
            gone |= set(range(*token.map))
    kept = "\n".join(line for number, line in enumerate(story.split("\n")) if number not in gone)
    kept = _INLINE.sub(lambda m: m[0] if not m[1] and m[3].strip(" \t<").lower().startswith(_WEB) else m[2], kept)
    return _BY_LABEL.sub(lambda m: m[2] if m[1] or _label(m[3] or m[2]) in dropped else m[0], kept).strip("\n")


def _shown_links(tokens: list[Token]) -> set[tuple[str, str]]:
    """Where the links of the story lead, and their titles."""
    children = [child for token in tokens for child in token.children or ()]
    return {(str(t.attrs.get("href")), str(t.attrs.get("title", ""))) for t in children if t.type == "link_open"}


def _leads_out(defined: Mapping[str, Any], shown: set[tuple[str, str]]) -> bool:
    return defined["href"].lower().startswith(_WEB) and (defined["href"], defined["title"]) in shown


def _label(text: str) -> str:
    from markdown_it.common.utils import normalizeReference

    return normalizeReference(text)
