"""The preview picture of a kite's page, shown where a link to it is shared: 1200 × 630, always the same bytes."""

from __future__ import annotations

import io
from collections.abc import Mapping
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from bowbook.charts.canvas import winds
from bowbook.charts.characters import Characters
from bowbook.charts.silhouette import PLACEHOLDER_MM, colours_of, skin_of
from bowbook.charts.style import Style, default_style
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 630)
GROUND = 560  # px from the top to the ground line
KITE = (880, 280, 480, 430)  # middle across and down, most width and height
FINER = 2  # the kite is drawn this much larger and reduced, for smooth edges
COMMON = 0x0180  # below this code point matplotlib's own fonts have every sign
SHADES = 16  # between two colours that meet
TEXT_LEFT, TEXT_RIGHT = 80, 620


def card_png(findings: Findings, book: BookFindings, style: Style | None = None) -> bytes:
    """PNG of the kite's silhouette with its name and the winds it likes.

    A name in a script that no font at hand can write is left to the silhouette; the picture never fails for it.
    """
    from PIL import Image, ImageDraw

    look = style or default_style()
    picture = Image.new("RGB", SIZE, look.card["sky"])
    pen = ImageDraw.Draw(picture)
    pen.rectangle((0, GROUND, *SIZE), fill=look.card["paper"])
    pen.line((0, GROUND, SIZE[0], GROUND), fill=look.card["ink"], width=2)
    _hang(picture, findings, book, look)
    _write(pen, findings, book, look)
    inks = _inks(look.card, colours_of(findings.kite, skin_of(findings, book)))
    sheet = io.BytesIO()
    picture.quantize(palette=inks, dither=Image.Dither.NONE).save(sheet, "PNG", compress_level=3)
    return sheet.getvalue()


def _inks(card: Mapping[str, str], sail: tuple[str, str]) -> Image.Image:
    """The palette: each pair of colours that meet in the picture, and the shades that smooth edges are made of.

    Every sail's edge is inked, so colours of the sail meet nothing but ink.

    Known beforehand it costs a sixth of what finding the best colours in the finished picture would.
    """
    from PIL import Image, ImageColor

    left, right = sail
    meeting = [(card["sky"], card[ink]) for ink in ("ink", "soft", "accent")]
    meeting += [(card["paper"], card["soft"]), (card["paper"], card["ink"])]
    meeting += [(left, card["ink"]), (right, card["ink"])]
    shades: list[int] = []
    for pair in meeting:
        first, second = (ImageColor.getrgb(colour)[:3] for colour in pair)
        for i in range(SHADES):
            shades += [round(a + (b - a) * i / (SHADES - 1)) for a, b in zip(first, second, strict=True)]
    palette = Image.new("P", (1, 1))
    palette.putpalette(shades)
    return palette


def _hang(picture: Image.Image, findings: Findings, book: BookFindings, look: Style) -> None:
    """The kite in its sky."""
    from PIL import Image, ImageDraw

    kite = findings.kite
    known = len(kite.sail.outline) >= 2
    outline = [(x * 1000, y * 1000) for x, y in kite.sail.outline] if known else list(PLACEHOLDER_MM)
    half, tall = max(x for x, _ in outline), max(y for _, y in outline)
    per = min(KITE[2] / (2 * half), KITE[3] / tall) * FINER
    width, height = round(2 * half * per) + 8 * FINER, round(tall * per) + 8 * FINER
    canvas = Image.new("RGB", (width, height), look.card["sky"])
    pen = ImageDraw.Draw(canvas)

    def at(x: float, y: float) -> tuple[float, float]:
        return width / 2 + x * per, 4 * FINER + y * per

    for way, colour in zip((-1, 1), colours_of(kite, skin_of(findings, book)), strict=True):
        corners = [at(way * x, y) for x, y in outline] + [at(0, outline[-1][1]), at(0, outline[0][1])]
        if known:
            pen.polygon(corners, fill=colour)
        pen.line([at(way * x, y) for x, y in outline], fill=look.card["ink" if known else "soft"], width=FINER)
    pen.line([at(0, 0), at(0, tall)], fill=look.card["ink"], width=2 * FINER)
    if known and kite.bow.crosses_m is not None:
        tip = max(outline)[1]
        rise = tip - kite.bow.crosses_m * 1000
        arc = [at(half * i / 24, tip - rise * (1 - (i / 24) ** 2)) for i in range(-24, 25)]
        pen.line(arc, fill=look.card["ink"], width=round(2.5 * FINER), joint="curve")
    small = canvas.reduce(FINER)
    picture.paste(small, (KITE[0] - small.width // 2, KITE[1] - small.height // 2))


def _write(pen: ImageDraw.ImageDraw, findings: Findings, book: BookFindings, look: Style) -> None:
    """Name, winds and the book's title."""
    y = 200
    for size, most in ((76, 1), (54, 2), (42, 3)):
        lines = _fitted(findings.kite.name, size)
        if len(lines) <= most:
            break
    for line, font in lines[:3]:
        pen.text((TEXT_LEFT, y), line, font=font, fill=look.card["ink"], anchor="ls")
        y += round(size * 1.2)
    if findings.wind.range:
        said = winds(book.book.settings.units, findings.wind.range)
        said = f"likes {said}" if findings.wind.basis == "flown" else f"{said}, predicted"
        pen.text((TEXT_LEFT, y + 14), said, font=_font("DejaVuSans.ttf", 40), fill=look.card["accent"], anchor="ls")
    for line, font in _fitted(book.book.settings.title, 30)[:1]:
        pen.text((TEXT_LEFT, SIZE[1] - 25), line, font=font, fill=look.card["soft"], anchor="ls")


def _fitted(text: str, size: int) -> list[tuple[str, ImageFont.FreeTypeFont]]:
    """The text in lines that fit, each with a font that has all its signs; no lines where no font has."""
    font = _font_for(text, size)
    if font is None:
        return []
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(joined) <= TEXT_RIGHT - TEXT_LEFT:
            lines[-1] = joined
        else:
            lines.append(word)
    return [(_cut(line, font), font) for line in lines]


def _cut(line: str, font: ImageFont.FreeTypeFont) -> str:
    while len(line) > 2 and font.getlength(line) > TEXT_RIGHT - TEXT_LEFT:
        line = line[:-2].rstrip() + "…"
    return line


def _font_for(text: str, size: int) -> ImageFont.FreeTypeFont | None:
    """A font that can write every sign of the text: matplotlib's own, else one of this machine's."""
    if max(map(ord, text), default=0) < COMMON:
        return _font("DejaVuSerif.ttf", size)
    needed = frozenset(ord(sign) for sign in text if not sign.isspace() and sign.isprintable())
    own = (str(_fonts() / name) for name in ("DejaVuSerif.ttf", "DejaVuSans.ttf"))
    for file in (*own, *_machine_fonts()):
        if all(code in _signs(file) for code in needed):
            return _font(file, size)
    return None


@cache
def _fonts() -> Path:
    """The folder of fonts that comes with matplotlib, found without importing it."""
    spec = find_spec("matplotlib")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("matplotlib is not installed")
    return Path(spec.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"


@cache
def _machine_fonts() -> tuple[str, ...]:
    """This machine's own fonts, regular ones first, in a fixed order."""
    from matplotlib.font_manager import findSystemFonts

    return tuple(sorted(findSystemFonts(), key=lambda file: ("Regular" not in file, Path(file).name, file)))


@cache
def _signs(file: str) -> Characters:
    """Code points a font can write; none where the file is no font."""
    from matplotlib.ft2font import FT2Font

    try:
        return Characters(FT2Font(file).get_charmap())
    except (RuntimeError, OSError, ValueError):
        return Characters(())


@cache
def _font(name: str, size: int) -> ImageFont.FreeTypeFont:
    from PIL import ImageFont

    return ImageFont.truetype(str(_fonts() / name), size)  # an absolute path stands for itself
