"""Draws the demo book's two pictures. They stand where a maker's photos would, and their captions say so.

python tests/tools/demo_pictures.py
"""

from __future__ import annotations

import math
import random
from pathlib import Path

from PIL import Image, ImageDraw, ImageFilter

KITES = Path(__file__).resolve().parents[2] / "content" / "kites"
SIZE = (1600, 1200)


def wash(top: tuple[int, int, int], bottom: tuple[int, int, int]) -> Image.Image:
    """A sheet shaded from one colour down to another."""
    sheet = Image.new("RGB", SIZE)
    pen = ImageDraw.Draw(sheet)
    for y in range(SIZE[1]):
        t = y / SIZE[1]
        pen.line([(0, y), (SIZE[0], y)], fill=tuple(round(a + (b - a) * t) for a, b in zip(top, bottom, strict=True)))
    return sheet


def diamond(x: float, y: float, wide: float, high: float, tilt: float) -> dict[str, list[tuple[float, float]]]:
    """The halves and the bow of a kite with its nose at (x, y)."""

    def turned(u: float, v: float) -> tuple[float, float]:
        c, s = math.cos(tilt), math.sin(tilt)
        return x + c * u - s * v, y + s * u + c * v

    def edge(side: int) -> list[tuple[float, float]]:
        points = [(0.0, 0.0), (side * wide / 4, high * 0.18), (side * wide / 2, high * 0.39), (0.0, high)]
        return [turned(u, v) for u, v in points]

    arc = [turned(wide / 2 * u, high * 0.39 - wide * 0.165 * (1 - u * u)) for u in [i / 20 for i in range(-20, 21)]]
    return {"left": edge(-1), "right": edge(1), "bow": arc, "spine": [turned(0, 0), turned(0, high)]}


def on_the_slipway() -> Image.Image:
    """A red and cream kite over grey stone, two people looking up."""
    sheet = wash((196, 214, 226), (232, 236, 234))
    pen = ImageDraw.Draw(sheet)
    pen.polygon([(0, 880), (1600, 820), (1600, 1200), (0, 1200)], fill=(128, 134, 138))
    pen.polygon([(0, 860), (700, 836), (1600, 800), (1600, 824), (0, 884)], fill=(96, 120, 132))
    for i in range(9):
        pen.line([(i * 210 - 60, 1200), (i * 120 + 330, 850)], fill=(112, 118, 122), width=4)
    kite = diamond(900, 150, 460, 400, 0.22)
    pen.polygon(kite["left"], fill=(150, 48, 62))
    pen.polygon(kite["right"], fill=(240, 230, 210))
    for part in ("bow", "spine"):
        pen.line(kite[part], fill=(40, 40, 48), width=7)
    pen.line([kite["spine"][0], (470, 905)], fill=(70, 76, 84), width=3)
    for x, tall, coat in ((470, 190, (44, 62, 92)), (560, 170, (70, 84, 66))):
        pen.ellipse([x - 22, 890 - 40, x + 22, 890 + 8], fill=(110, 84, 70))
        pen.rounded_rectangle([x - 34, 898, x + 34, 898 + tall], 26, fill=coat)
    return sheet


def marbled_tissue() -> Image.Image:
    """Grey rings, bent as floating ink is by a breath, clipped to a diamond on a white wall."""
    dice = random.Random("marbled")
    wall = wash((246, 245, 241), (232, 231, 226))
    ink = Image.new("RGB", SIZE, (206, 210, 216))
    pen = ImageDraw.Draw(ink)
    waves = [(dice.randint(2, 7), dice.uniform(0, 6.3), dice.uniform(0.02, 0.07)) for _ in range(4)]
    for ring in range(56, 0, -1):
        radius = ring * (13 + ring % 5)
        around = [i * 2 * math.pi / 240 for i in range(240)]
        bend = [1 + sum(k * math.sin(n * a + p + ring / 9) for n, p, k in waves) for a in around]
        line = [
            (800 + radius * b * math.cos(a), 520 + radius * 0.8 * b * math.sin(a))
            for a, b in zip(around, bend, strict=True)
        ]
        shade = (96, 203, 170, 214)[ring % 4]
        pen.polygon(line, fill=(shade, shade + 5, shade + 14))
    kite = diamond(800, 90, 1060, 1000, -0.03)
    mask = Image.new("L", SIZE, 0)
    ImageDraw.Draw(mask).polygon([*kite["left"], *reversed(kite["right"])], fill=255)
    shadow = mask.filter(ImageFilter.GaussianBlur(14)).point(lambda v: v // 4)
    wall.paste((150, 150, 150), (14, 18), shadow)
    wall.paste(ink.filter(ImageFilter.GaussianBlur(1.2)), (0, 0), mask)
    pen = ImageDraw.Draw(wall)
    pen.line(kite["spine"], fill=(60, 60, 66), width=6)
    pen.line(kite["bow"], fill=(60, 60, 66), width=6)
    return wall


def main() -> None:
    """Draws both pictures into the demo book."""
    for key, name, picture in (
        ("longhand", "on-the-slipway.jpg", on_the_slipway()),
        ("suminagashi", "marbled-tissue.jpg", marbled_tissue()),
    ):
        folder = KITES / key
        folder.mkdir(exist_ok=True)
        picture.save(folder / name, quality=80, optimize=True)
        print(folder / name, (folder / name).stat().st_size, "bytes")


if __name__ == "__main__":
    main()
