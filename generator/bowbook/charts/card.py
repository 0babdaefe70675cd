"""The preview picture of a kite's page, shown where a link to it is shared: 1200 × 630, always the same bytes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import TYPE_CHECKING

from bowbook.book.records import Kite, Skin
from bowbook.charts.board import Board
from bowbook.charts.fonts import SANS, file_for
from bowbook.charts.pictures import font, png, png_with_sails
from bowbook.charts.sails import DrawnSail, PlacedSail
from bowbook.charts.silhouette import colours_of, shapes, silhouette, skin_of
from bowbook.charts.style import Style, default_style
from bowbook.charts.words import wind_span_said
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 630)
GROUND = 560  # px from the top to the ground line
KITE = (880, 280, 480, 430)  # middle across and down, most width and height
FINER = 2  # dots of the picture for each px of the drawn kite
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
    skin = skin_of(findings, book)
    shape = silhouette(findings, skin)
    sail = DrawnSail("", shapes(shape), shape.width, shape.height)
    _hang(picture, sail, look)
    _write(pen, findings, book, look)
    if not findings.kite.sail.panels and not findings.kite.sail.drawing:
        return png(picture, _meeting(look.card, findings.kite, skin))
    from bowbook.charts.paths import fills

    return png_with_sails(picture, [*look.card.values(), *fills(sail.shapes)])


def _meeting(card: Mapping[str, str], kite: Kite, skin: Skin | None) -> list[tuple[str, str]]:
    """Each pair of colours that meet in the picture of a plain sail, whose colours meet nothing but its edge's ink."""
    meeting = [(card["sky"], card[ink]) for ink in ("ink", "soft", "accent")]
    meeting += [(card["paper"], card["soft"]), (card["paper"], card["ink"])]
    return meeting + [(colour, card["ink"]) for colour in colours_of(kite, skin)]


def _hang(picture: Image.Image, sail: DrawnSail, look: Style) -> None:
    """The kite in its sky, drawn as it is drawn on charts and pages."""
    from bowbook.charts.artists import artists

    easel = Board()
    per = min(KITE[2] / sail.width, KITE[3] / sail.height) / FINER
    width, height = (math.ceil(per * side + 8) for side in (sail.width, sail.height))
    easel.hang([PlacedSail(sail, width / 2, height / 2, per * max(sail.width, sail.height))], "k-sail")
    drawn = artists(72 * FINER)
    drawn.show(easel.scene(width, height))
    dots = drawn.picture(look.card["sky"])
    picture.paste(dots, (KITE[0] - dots.width // 2, KITE[1] - dots.height // 2))


def _write(pen: ImageDraw.ImageDraw, findings: Findings, book: BookFindings, look: Style) -> None:
    """Name, winds and the book's title."""
    y = 200
    for size, most in ((76, 1), (54, 2), (42, 3)):
        lines = _fitted(findings.kite.name, size)
        if len(lines) <= most:
            break
    for line, face in lines[:3]:
        pen.text((TEXT_LEFT, y), line, font=face, fill=look.card["ink"], anchor="ls")
        y += round(size * 1.2)
    if findings.wind.range:
        said = wind_span_said(book.book.settings.units, findings.wind.range)
        said = f"likes {said}" if findings.wind.basis == "flown" else f"{said}, predicted"
        pen.text(
            (TEXT_LEFT, y + 14), said, font=font(file_for(said, SANS) or "", 40), fill=look.card["accent"], anchor="ls"
        )
    for line, face in _fitted(book.book.settings.title, 30)[:1]:
        pen.text((TEXT_LEFT, SIZE[1] - 25), line, font=face, fill=look.card["soft"], anchor="ls")


def _fitted(text: str, size: int) -> list[tuple[str, ImageFont.FreeTypeFont]]:
    """The text in lines that fit, each with a font that has all its signs; no lines where no font has."""
    file = file_for(text)
    if file is None:
        return []
    face = font(file, size)
    lines: list[str] = []
    for word in text.split():
        joined = f"{lines[-1]} {word}" if lines else word
        if lines and face.getlength(joined) <= TEXT_RIGHT - TEXT_LEFT:
            lines[-1] = joined
        else:
            lines.append(word)
    return [(_cut(line, face), face) for line in lines]


def _cut(line: str, face: ImageFont.FreeTypeFont) -> str:
    while len(line) > 2 and face.getlength(line) > TEXT_RIGHT - TEXT_LEFT:
        line = line[:-2].rstrip() + "…"
    return line
