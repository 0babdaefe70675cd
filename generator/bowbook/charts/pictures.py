"""What pictures of dots share: a palette known beforehand, and fonts ready to write with."""

from __future__ import annotations

import io
from collections.abc import Iterable
from functools import cache, lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PIL import Image, ImageFont

SHADES = 16  # between two colours that meet


def png(picture: Image.Image, meeting: Iterable[tuple[str, str]] | None) -> bytes:
    """The picture as a PNG of few colours: those that meet in it, by pairs, and the shades between them.

    Known beforehand they cost a sixth of what finding the best colours in the finished picture would. Where they are
    not known, the picture keeps all it has.
    """
    from PIL import Image

    sheet = io.BytesIO()
    if meeting is None:
        picture.save(sheet, "PNG", compress_level=6)
        return sheet.getvalue()

    palette = _palette(tuple(meeting))
    picture.quantize(palette=palette, dither=Image.Dither.NONE).save(sheet, "PNG", compress_level=3)
    return sheet.getvalue()


@lru_cache(maxsize=4)
def _palette(meeting: tuple[tuple[str, str], ...]) -> Image.Image:
    """A picture that has these pairs of colours and the shades between them."""
    from PIL import Image, ImageColor

    shades: list[int] = []
    for pair in meeting:
        first, second = (ImageColor.getrgb(colour)[:3] for colour in pair)
        for i in range(SHADES):
            shades += [round(a + (b - a) * i / (SHADES - 1)) for a, b in zip(first, second, strict=True)]
    palette = Image.new("P", (1, 1))
    palette.putpalette(shades)
    return palette


@cache
def font(file: str, size: float) -> ImageFont.FreeTypeFont:
    """A font file at a size in px."""
    from PIL import ImageFont

    return ImageFont.truetype(file, size)
