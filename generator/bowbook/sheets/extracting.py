"""A font put together from the few glyphs that one sheet needs of an installed one.

The font is opened once a run. Cutting all of it down for every sheet, as matplotlib does, takes half a second each time
where it holds Chinese characters.
"""

from __future__ import annotations

import io
from collections.abc import Collection, Iterator
from copy import copy
from functools import lru_cache
from typing import Any

from fontTools.fontBuilder import FontBuilder  # type: ignore[import-untyped]
from fontTools.ttLib import TTFont  # type: ignore[import-untyped]
from msgspec import Struct


class Extract(Struct, frozen=True):
    """A TrueType file, and the numbers its glyphs have in it by the numbers they had before; no hints, no names."""

    data: bytes
    numbers: dict[int, int]


@lru_cache(maxsize=8)
def opened(file: str, face: int) -> Any:
    """An installed font with TrueType outlines, its glyphs called by number; `face` tells apart those of a collection.

    Raises fontTools.ttLib.TTLibError where it is none.
    """
    with TTFont(file, fontNumber=face, lazy=True) as font:
        font.setGlyphOrder([_name(number) for number in range(font["maxp"].numGlyphs)])
        for table in ("glyf", "hmtx", "name", "OS/2"):  # read now, so that the file need not stay open
            font.get(table)
        return font


def extract(font: Any, glyphs: Collection[int]) -> Extract:
    """The glyphs with these numbers, out of a font that was `opened`, with all that they are composed of."""
    outlines, metrics = font["glyf"], font["hmtx"].metrics
    names = list(_whole(outlines, dict.fromkeys(map(_name, (0, *sorted(glyphs))))))
    builder = FontBuilder(font["head"].unitsPerEm)
    builder.updateHead(created=0, modified=0)  # the same glyphs give the same bytes
    builder.setupGlyphOrder(names)
    builder.setupGlyf({name: _unhinted(outlines[name]) for name in names})
    builder.setupHorizontalMetrics({name: metrics[name] for name in names})
    builder.setupHorizontalHeader(ascent=font["hhea"].ascent, descent=font["hhea"].descent)
    stream = io.BytesIO()
    builder.save(stream)
    order = {name: number for number, name in enumerate(names)}
    return Extract(stream.getvalue(), {glyph: order[_name(glyph)] for glyph in glyphs})


def _name(number: int) -> str:
    return f"g{number}" if number else ".notdef"


def _whole(outlines: Any, wanted: dict[str, None]) -> Iterator[str]:
    """The wanted glyphs, and after them those they are composed of."""
    seen = dict(wanted)
    while wanted:
        yield from wanted
        parts = (part for name in wanted for part in outlines[name].getComponentNames(outlines))
        wanted = {part: None for part in parts if part not in seen}
        seen |= wanted


def _unhinted(glyph: Any) -> Any:
    bare = copy(glyph)
    bare.trim(remove_hinting=True)
    return bare
