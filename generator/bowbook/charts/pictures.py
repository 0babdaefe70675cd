"""What pictures of dots share: a palette known beforehand, and fonts ready to write with."""

from __future__ import annotations

import io
from collections.abc import Iterable
from functools import cache, lru_cache
from itertools import chain
from operator import sub
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image, ImageFont

SHADES = 16  # between two colours that meet
NEXT = 4  # shades between two colours that Pillow may take for one another
MOST_KEPT = 128  # of the 256 colours that a picture with sails has


def png(picture: Image.Image, meeting: Iterable[tuple[str, str]]) -> bytes:
    """The picture as a PNG of few colours: those that meet in it, by pairs, and the shades between them.

    Known beforehand they cost a sixth of what finding the best colours in the finished picture would.
    """
    return _in_few(picture, _palette(tuple(meeting)))


def png_with_sails(picture: Image.Image, flat: Iterable[str]) -> bytes:
    """A picture with sails in any colours as a PNG: the colours of whole areas as they are, the shades at their edges
    as near as 256 colours come, for a third of the bytes that all its colours would take."""
    from PIL import Image, ImageColor

    kept = [ImageColor.getrgb(colour)[:3] for colour in dict.fromkeys(flat)][:MOST_KEPT]
    found = picture.quantize(256 - len(kept), Image.Quantize.FASTOCTREE).getpalette() or []
    shades = zip(*[iter(found)] * 3, strict=True)
    apart = [one for one in shades if all(max(map(abs, map(sub, one, other))) > NEXT for other in kept)]
    return _in_few(picture, _of([*chain.from_iterable((*kept, *apart))]))


def _in_few(picture: Image.Image, palette: Image.Image) -> bytes:
    from PIL import Image

    sheet = io.BytesIO()
    picture.quantize(palette=palette, dither=Image.Dither.NONE).save(sheet, "PNG", compress_level=3)
    return sheet.getvalue()


def _of(shades: list[int]) -> Image.Image:
    from PIL import Image

    palette = Image.new("P", (1, 1))
    palette.putpalette(shades)
    return palette


@lru_cache(maxsize=4)
def _palette(meeting: tuple[tuple[str, str], ...]) -> Image.Image:
    """A picture that has these pairs of colours and the shades between them."""
    from PIL import ImageColor

    shades: list[int] = []
    for pair in meeting:
        first, second = (ImageColor.getrgb(colour)[:3] for colour in pair)
        for i in range(SHADES):
            shades += [round(a + (b - a) * i / (SHADES - 1)) for a, b in zip(first, second, strict=True)]
    return _of(shades)


@cache
def font(file: str, size: float) -> ImageFont.FreeTypeFont:
    """A font file at a size in px."""
    from PIL import ImageFont

    return ImageFont.truetype(file, size)
