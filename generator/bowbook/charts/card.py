"""The preview picture of a kite's page, shown where a link to it is shared: 1200 × 630, always the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from bowbook.charts.fonts import SANS, file_for
from bowbook.charts.pictures import font, png
from bowbook.charts.silhouette import PLACEHOLDER_MM, colours_of, skin_of
from bowbook.charts.style import Style, default_style
from bowbook.charts.words import winds
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from PIL import Image, ImageDraw, ImageFont

SIZE = (1200, 630)
GROUND = 560  # px from the top to the ground line
KITE = (880, 280, 480, 430)  # middle across and down, most width and height
FINER = 2  # the kite is drawn this much larger and reduced, for smooth edges
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
    return png(picture, _meeting(look.card, colours_of(findings.kite, skin_of(findings, book))))


def _meeting(card: Mapping[str, str], sail: tuple[str, str]) -> list[tuple[str, str]]:
    """Each pair of colours that meet in the picture. Every sail's edge is inked: its colours meet nothing but ink."""
    meeting = [(card["sky"], card[ink]) for ink in ("ink", "soft", "accent")]
    meeting += [(card["paper"], card["soft"]), (card["paper"], card["ink"])]
    return meeting + [(colour, card["ink"]) for colour in sail]


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
    for line, face in lines[:3]:
        pen.text((TEXT_LEFT, y), line, font=face, fill=look.card["ink"], anchor="ls")
        y += round(size * 1.2)
    if findings.wind.range:
        said = winds(book.book.settings.units, findings.wind.range)
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
