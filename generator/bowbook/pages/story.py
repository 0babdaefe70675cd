"""A story in Markdown to HTML that is safe to stand on any page.

CommonMark with tables and footnotes; no HTML of the writer's own, links only to where `links` allows, pictures only
of the kite's own folder, no attribute that a Content-Security-Policy would refuse.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from functools import cache
from html import escape
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, unquote

from msgspec import Struct

from bowbook.book.unseen import UNSEEN_IN_VALUE
from bowbook.format.story_days import parted_by_day
from bowbook.pages.chrome import relative
from bowbook.pages.links import WEB, address_of, own_picture

if TYPE_CHECKING:
    from markdown_it import MarkdownIt
    from markdown_it.token import Token

    from bowbook.pages.photo_view import PhotoView


class Setting(Struct, frozen=True):
    """Where a story stands: its page's address, its file, what it can link to, its photos, its topmost heading."""

    here: str
    file: str
    kites: Collection[str] = ()
    pages: Collection[str] = ()
    photos: Sequence[PhotoView] = ()
    top: int = 2

    @property
    def folder(self) -> str:
        """The address of the folder its photos stand in: that of its page."""
        return self.here.rpartition("/")[0]


class StoryPart(Struct, frozen=True):
    """A stretch of a story: the day it is about (None before the first day named), and its HTML."""

    on: str | None
    html: str
    headed: bool  # whether it begins with a heading of its own


def to_html(story: str, setting: Setting) -> str:
    """The story as HTML, ready to stand inside a page."""
    return _rendered(*_read(story, setting))


def to_parts(story: str, setting: Setting) -> tuple[StoryPart, ...]:
    """The story parted by the days that its headings and lines name; what stands before the first has no day."""
    tokens, env = _read(story, setting)
    parts = []
    for on, stretch in parted_by_day(tokens):
        html = _rendered(stretch, env)
        if html.strip():
            parts.append(StoryPart(on, html, stretch[0].type == "heading_open"))
    return tuple(parts)


def _read(story: str, setting: Setting) -> tuple[list[Token], dict[str, Any]]:
    """The story's tokens, every link of which leads to its place, and what their renderer needs beside them."""
    env: dict[str, Any] = {"setting": setting}
    tokens = _reader().parse(story, env)
    anchors = _head(tokens, setting.top)
    for token in tokens:
        _unstyle(token)
        if token.children:
            token.children = _mend_links(token.children, setting, anchors)
    return tokens, env


def _rendered(tokens: Sequence[Token], env: dict[str, Any]) -> str:
    reader = _reader()
    return UNSEEN_IN_VALUE.sub("\ufffd", str(reader.renderer.render(tokens, reader.options, env)))  # "&#x202e;" is text


@cache
def _reader() -> MarkdownIt:
    from markdown_it import MarkdownIt
    from mdit_py_plugins.footnote import footnote_plugin

    reader = (
        MarkdownIt("commonmark", {"html": False, "xhtmlOut": False, "maxNesting": 40})
        .enable("table")
        .use(footnote_plugin)
    )
    # Every link is looked at once it is read; here none may be dropped silently, or it would show as its source.
    reader.validateLink = lambda url: True  # type: ignore[method-assign]  # noqa: ARG005
    for name, rule in (
        ("image", _image),
        ("table_open", lambda *_: '<div class="table-frame" role="group" tabindex="0"><table>\n'),
        ("table_close", lambda *_: "</table></div>\n"),
        ("footnote_anchor", _back),
        ("footnote_block_open", lambda *_: '<hr class="footnotes-sep">\n<div class="footnotes">\n<ol>\n'),
        ("footnote_block_close", lambda *_: "</ol>\n</div>\n"),
    ):
        reader.add_render_rule(name, rule)
    return reader


def _head(tokens: Sequence[Token], top: int) -> set[str]:
    """Let the highest heading be of level `top` and the rest follow; gives the anchors, so that they can be linked."""
    levels = sorted({int(token.tag[1]) for token in tokens if token.type == "heading_open"})
    anchors: set[str] = set()
    for index, token in enumerate(tokens):
        if token.type in ("heading_open", "heading_close"):
            token.tag = f"h{min(top + levels.index(int(token.tag[1])), 6)}"
        if token.type == "heading_open":
            words = re.findall(r"\w+", tokens[index + 1].content.lower())
            anchor = "story-" + "-".join(words)
            if words and anchor not in anchors:
                anchors.add(anchor)
                token.attrs["id"] = anchor
    return anchors


def _unstyle(token: Token) -> None:
    """Say a column's alignment by a class: style attributes are not allowed on the site's pages."""
    style = str(token.attrs.pop("style", ""))
    side = style.removeprefix("text-align:")
    if side in ("left", "right", "center"):
        token.attrJoin("class", f"to-{side}")


def _mend_links(children: Sequence[Token], setting: Setting, anchors: Collection[str]) -> list[Token]:
    """The tokens of one paragraph with each link led to its place, or its text alone where it may not lead there."""
    kept: list[Token] = []
    dropped: list[bool] = []
    for token in children:
        if token.type == "link_open":
            href = _href(str(token.attrs.get("href", "")), setting, anchors)
            dropped.append(href is None)
            if href is None:
                continue
            token.attrs["href"] = href
            if href.lower().startswith(WEB):
                token.attrs["rel"] = "noopener noreferrer"
        elif token.type == "link_close" and dropped.pop():
            continue
        kept.append(token)
    return kept


def _href(target: str, setting: Setting, anchors: Collection[str]) -> str | None:
    """Where a link may lead, as the page has to write it; None if nowhere."""
    # What a browser drops from an address (tabs, line ends, blanks before it) must not hide what it starts with.
    plain = "".join(target.split())
    if plain.startswith("#"):
        anchor = f"story-{unquote(plain[1:])}"
        return f"#{quote(anchor)}" if anchor in anchors else None
    if plain.lower().startswith(WEB):
        return plain
    address = address_of(unquote(plain), setting.file, setting.kites, setting.pages)
    return None if address is None else quote(relative(setting.here, address), safe="/#.-_~")


def _image(renderer: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """A picture of the kite's own folder, in as many sizes as there are; else its text."""
    token = tokens[index]
    setting: Setting = env["setting"]
    name = own_picture(unquote(str(token.attrs.get("src", ""))), setting.file)
    alt = renderer.renderInlineAsText(token.children or [], options, env)
    photo = next((photo for photo in setting.photos if photo.file == name), None)
    return escape(alt) if photo is None else picture(photo, setting, alt)


IN_STORY = "(min-width: 60rem) 40rem, 100vw"
"""How wide a photo of a story is shown, as `sizes` say it."""


def picture(photo: PhotoView, setting: Setting, alt: str, shown: str = IN_STORY, loading: str = "lazy") -> str:
    """One photo as a picture element that keeps its place while it loads; `shown` is how wide."""
    sources = []
    for media_type, files in photo.sources:
        sizes = ", ".join(f"{_file(name, setting)} {width}w" for name, width in files)
        sources.append(f'<source type="{media_type}" srcset="{sizes}" sizes="{shown}">')
    return (
        f"<picture>{''.join(sources)}"
        f'<img src="{_file(photo.fallback, setting)}" width="{photo.width}" height="{photo.height}"'
        f' alt="{escape(alt)}" loading="{loading}" decoding="async"></picture>'
    )


def _file(name: str, setting: Setting) -> str:
    return escape(quote(relative(setting.here, f"{setting.folder}/{name}" if setting.folder else name)))


def _back(renderer: Any, tokens: Sequence[Token], index: int, options: Any, env: Any) -> str:
    """The way back from a footnote to where it is called."""
    name = renderer.rules["footnote_anchor_name"](tokens, index, options, env)
    sub = tokens[index].meta.get("subId", 0)
    mark = f"{name}:{sub}" if sub > 0 else name
    return f' <a href="#fnref{escape(mark)}" class="footnote-backref" aria-label="Back to the text">↩\ufe0e</a>'
