"""Draws a photo: it stands for one that a maker took, and holds what a camera leaves in it."""

from __future__ import annotations

from pathlib import Path


def draw_photo(path: Path, shade: int = 90) -> None:
    """A photo with a place and a camera noted in it; another shade (0 to 255) gives other bytes."""
    from PIL import Image, ImageDraw

    picture = Image.new("RGB", (700, 500), (shade, 140, 200))
    ImageDraw.Draw(picture).polygon([(350, 80), (500, 250), (350, 430), (200, 250)], fill=(190, 60, 40))
    exif = Image.Exif()
    exif[0x010F] = "SECRETCAM"
    exif[0x0132] = "2026:05:03 12:00:00"
    exif.get_ifd(0x8825)[2] = (52.0, 5.0, 30.0)
    exif.get_ifd(0x8825)[29] = "SECRETPLACE"
    path.parent.mkdir(parents=True, exist_ok=True)
    picture.save(path, "JPEG", exif=exif, comment=b"SECRETCOMMENT")
