"""Text as it is set on a sheet: readable on this machine, in visual order and joined, how wide, broken into lines."""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.sheets import fonts
from bowbook.sheets.fonts import Font

MISSING = "▯"  # in place of a letter that no font of this machine holds
_UNSEEN = {0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2060, 0xFEFF, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
_FIGURE_AND_UNIT = re.compile(r"(?<=[0-9±]) (?=[±%°]|[^\W\d]{1,3}[²³]?(?:[/·][^\s,]+)?(?:[,.;:)\s]|$))")


class Glyph(Struct, frozen=True):
    """One glyph where it is set, lengths in thousandths of the type size; `text` is what it stands for."""

    number: int
    text: str
    advance: float
    dx: float
    dy: float


class GlyphRun(Struct, frozen=True):
    """A stretch of a line in one font, from left to right. Without glyphs its characters follow one another."""

    font: Font
    text: str
    glyphs: tuple[Glyph, ...]
    width: float  # in thousandths of the type size


@lru_cache(maxsize=8192)
def printable(text: str) -> str:
    """`text` on one line, with every sign that no font has put into words, every such letter shown as missing."""
    line = " ".join("".join(c for c in text if c.isspace() or _is_read(c)).split())
    return line if line.isascii() else "".join(c if fonts.font_of(c) else _spelled(c) for c in line)


def _is_read(c: str) -> bool:
    return c.isprintable() or ord(c) in _UNSEEN or unicodedata.category(c) not in ("Cc", "Cf", "Cs")


def _spelled(c: str) -> str:
    if ord(c) in _UNSEEN or unicodedata.category(c) in ("Mn", "Me", "Cf"):
        return ""
    name = unicodedata.name(c, "")
    return f"[{name.lower()}]" if unicodedata.category(c).startswith("S") and name else MISSING


@lru_cache(maxsize=16384)
def runs(text: str, bold: bool = False) -> tuple[GlyphRun, ...]:
    """The runs of a `printable` line from left to right, whatever way its scripts are written."""
    advances = [_plain_advance(c, bold) for c in text]
    if None not in advances:
        return (GlyphRun(fonts.base(bold), text, (), sum(a for a in advances if a is not None)),)
    found: list[GlyphRun] = []
    for piece, backwards in _directed(text):
        pieces = [_shaped(font, written, backwards) for font, written in _by_font(piece, bold)]
        found += reversed(pieces) if backwards else pieces
    return tuple(found)


def _directed(text: str) -> Iterator[tuple[str, bool]]:
    """The pieces of a line as they stand from left to right, each in reading order, and whether it is read backwards.

    After the Unicode bidirectional algorithm (UAX #9); mirroring is the shaping library's.
    """
    from bidi import algorithm

    storage: Any = algorithm.get_empty_storage()
    storage["base_level"] = algorithm.get_base_level(text)
    storage["base_dir"] = "LR"[storage["base_level"]]
    algorithm.get_embedding_levels(text, storage)
    for at, c in enumerate(storage["chars"]):
        c["at"] = at
    _pair_brackets(storage["chars"], "LR"[storage["base_level"]])
    algorithm.explicit_embed_and_overrides(storage)
    algorithm.resolve_weak_types(storage)
    for step in (algorithm.resolve_neutral_types, algorithm.resolve_implicit_levels, algorithm.reorder_resolved_levels):
        step(storage, False)
    for level, stretch in groupby(storage["chars"], key=lambda c: c["level"]):
        places = [c["at"] for c in stretch]
        yield text[min(places) : max(places) + 1], level % 2 == 1


def _pair_brackets(chars: list[Any], along: str) -> None:
    """Give brackets of a pair the direction of what they enclose (rule N0 of UAX #9, which the library leaves out)."""

    def strong(c: Any) -> str | None:
        return {"L": "L", "R": "R", "AL": "R", "EN": "R", "AN": "R"}.get(c["orig"])

    opened: list[int] = []
    for end, c in enumerate(chars):
        if c["ch"] in "([{":
            opened.append(end)
        elif c["ch"] in ")]}" and opened:
            start = opened.pop()
            inside = {strong(c) for c in chars[start + 1 : end]} - {None}
            before = next((way for c in reversed(chars[:start]) if (way := strong(c))), along)
            if inside:
                chars[start]["type"] = chars[end]["type"] = along if along in inside else before


@lru_cache(maxsize=4096)
def _plain_advance(c: str, bold: bool) -> float | None:
    """How far the pen moves for a character that is set in the base font as it is; None where it must be shaped."""
    font = fonts.base(bold)
    plain = unicodedata.bidirectional(c) not in ("R", "AL", "AN", "NSM", "BN") and font.holds(c)
    return font.advance(font.shaper.get_nominal_glyph(ord(c))) if plain else None


def _by_font(written: str, bold: bool) -> Iterator[tuple[Font, str]]:
    """The pieces of a text that one font holds; a sign stays with the letter before it where its font allows."""
    chosen: list[tuple[Font, str]] = []
    for c in written:
        font = fonts.font_of(c, bold) or fonts.base(bold)
        if chosen and unicodedata.category(c) in ("Mn", "Mc", "Me", "Cf"):
            before = chosen[-1][0]
            font = before if before.holds(c) or ord(c) in _UNSEEN else font
        chosen.append((font, c))
    for font, letters in groupby(chosen, key=lambda pair: pair[0]):
        yield font, "".join(c for _, c in letters)


def _shaped(font: Font, text: str, backwards: bool) -> GlyphRun:
    import uharfbuzz

    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.cluster_level = uharfbuzz.BufferClusterLevel.MONOTONE_CHARACTERS
    buffer.direction = "rtl" if backwards else "ltr"
    buffer.language = "und"  # else that of whoever runs the program
    buffer.guess_segment_properties()
    uharfbuzz.shape(font.shaper, buffer)
    found = [
        (info.cluster, Glyph(info.codepoint, "", *map(font.scaled, (at.x_advance, at.x_offset, at.y_offset))))
        for info, at in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
    ]
    starts = sorted({0, *(cluster for cluster, glyph in found if glyph.advance)})
    ends = [*starts[1:], len(text)]
    glyphs: list[Glyph] = []
    for n, together in groupby(found, key=lambda pair: bisect_right(starts, pair[0]) - 1):
        glyphs += _standing_for(text[starts[n] : ends[n]], [glyph for _, glyph in together], font, backwards)
    return GlyphRun(font, text, tuple(glyphs), sum(g.advance for g in glyphs))


def _standing_for(text: str, glyphs: list[Glyph], font: Font, backwards: bool) -> Iterator[Glyph]:
    """Glyphs that are a letter with its signs, or several letters in one: the widest of them stands for the text.

    Where that is written from right to left and has several letters, all but the first stand on blanks of no width
    before it: a reader that turns the letters of a line around, one by one, gets them right.
    """
    widest = max(glyphs, key=lambda g: g.advance)
    for glyph in glyphs:
        if glyph is not widest:
            yield glyph
            continue
        if backwards:
            blank = font.shaper.get_nominal_glyph(ord(" ")) or glyph.number
            yield from (Glyph(blank, c, 0.0, 0.0, 0.0) for c in reversed(text[1:]))
        yield replace(glyph, text=text[:1] if backwards else text)


@lru_cache(maxsize=16384)
def _width(text: str, bold: bool) -> float:
    return sum(run.width for run in runs(text, bold))


def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Set width of `text`, mm."""
    return _width(text, bold) / 1000.0 * size_pt * 25.4 / 72.0


def wrapped(text: str, size_pt: float, room_mm: float, bold: bool = False) -> list[str]:
    """`text`, made printable, in lines no wider than `room_mm`; a word that is too long alone is broken inside.

    A figure and its unit stay together, so that no line begins with "mm".
    """
    space = width_mm(" ", size_pt, bold)
    lines: list[str] = []
    line, used = "", 0.0
    for word in _FIGURE_AND_UNIT.sub("\u00a0", printable(text)).split(" "):
        wide = width_mm(word, size_pt, bold)
        if line and used + space + wide <= room_mm:
            line, used = f"{line} {word}", used + space + wide
            continue
        if line:
            lines.append(line)
        while wide > room_mm and len(word) > 1:
            cut = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or width_mm(word[:n], size_pt, bold) <= room_mm)
            lines.append(word[:cut])
            word = word[cut:]
            wide = width_mm(word, size_pt, bold)
        line, used = word, wide
    return [*lines, line] if line else lines


def shortened(text: str, size_pt: float, room_mm: float, bold: bool = False) -> str:
    """`text`, made printable, or its beginning with an ellipsis where it would be wider than `room_mm`."""
    text = printable(text)
    if width_mm(text, size_pt, bold) <= room_mm:
        return text
    for n in range(len(text) - 1, 0, -1):
        if width_mm(text[:n].rstrip() + "…", size_pt, bold) <= room_mm:
            return text[:n].rstrip() + "…"
    return "…"
