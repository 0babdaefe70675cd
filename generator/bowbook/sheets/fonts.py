"""The fonts of this machine: the base font, which comes along, and installed ones for what it does not hold."""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import cached_property, lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import uharfbuzz

_FOLDERS = (
    "/usr/share/fonts",
    "/usr/local/share/fonts",
    "~/.local/share/fonts",
    "~/.fonts",
    "/System/Library/Fonts",
    "/Library/Fonts",
    "~/Library/Fonts",
    "C:/Windows/Fonts",
    "~/AppData/Local/Microsoft/Windows/Fonts",
)
_PREFERRED = ("Noto Sans", "Noto Naskh", "Noto", "Droid Sans Fallback", "DejaVu", "Liberation")
_FAMILY, _WEIGHT, _POSTSCRIPT = 1, 2, 6  # numbers of names in a font (ISO/IEC 14496-22, "name")


class Font:
    """One font file, or one of a collection's; lengths in thousandths of the type size."""

    def __init__(self, file: Path, index: int = 0) -> None:
        self.file, self.index = file, index

    @cached_property
    def face(self) -> Any:
        """What the shaping library reads of it."""
        return uharfbuzz.Face(uharfbuzz.Blob.from_file_path(str(self.file)), self.index)

    @cached_property
    def shaper(self) -> Any:
        """The font as the shaping library measures it."""
        return uharfbuzz.Font(self.face)

    def name(self, number: int) -> str:
        """One of the font's own names; empty where it has none."""
        return self.face.get_name(number) or ""

    def may_be_embedded(self) -> bool:
        """Whether its licence lets a part of it into a file that is passed on (fsType in ISO/IEC 14496-22, "OS/2")."""
        kind = int.from_bytes(self.face.reference_table("OS/2").data[8:10], "big")
        return kind & 0xF != 2 and not kind & 0x300

    def holds(self, c: str) -> bool:
        """Whether it has a glyph for this character."""
        return bool(self.shaper.get_nominal_glyph(ord(c)))

    def advance(self, glyph: int) -> float:
        """How far a glyph moves the pen."""
        return self.scaled(self.shaper.get_glyph_h_advance(glyph))

    def scaled(self, units: float) -> float:
        """A length in the font's own units in thousandths of the type size."""
        return round(units * 1000.0 / float(self.face.upem), 2)


@lru_cache(maxsize=2)
def base(bold: bool) -> Font:
    """The font most text is set in. It comes with matplotlib, which need not be loaded for it."""
    found = find_spec("matplotlib")
    folder = Path(found.origin or "").parent if found else Path()
    return Font(folder / "mpl-data" / "fonts" / "ttf" / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"))


@lru_cache(maxsize=8192)
def font_of(c: str, bold: bool = False) -> Font | None:
    """The font that this character is set in: the base font, else an installed one; None where none holds it.

    Bold text is set in the plain weight where there is no bold one.
    """
    for font in (base(bold), base(False)):
        if font.holds(c):
            return font
    for family in _installed():
        for font in reversed(family) if bold else family[:1]:
            if font.holds(c) and _can_embed(font):
                return font
    return None


@lru_cache(maxsize=256)
def _can_embed(font: Font) -> bool:
    from bowbook.sheets.embedding import can_embed

    return can_embed(font)


@lru_cache(maxsize=1)
def _installed() -> tuple[tuple[Font, ...], ...]:
    """The plain font of every installed upright family, and its bold one where it has one; best family first."""
    plain: dict[str, Font] = {}
    bold: dict[str, Font] = {}
    known = {base(weight).name(_POSTSCRIPT) for weight in (False, True)}
    for font in _found():
        weight = {"Regular": plain, "Book": plain, "Bold": bold}.get(font.name(_WEIGHT))
        if weight is not None and font.name(_POSTSCRIPT) not in known:
            known.add(font.name(_POSTSCRIPT))
            weight.setdefault(font.name(_FAMILY), font)

    def rank(family: str) -> tuple[int, str]:
        return next((i for i, start in enumerate(_PREFERRED) if family.startswith(start)), len(_PREFERRED)), family

    both = ((plain[family], bold.get(family)) for family in sorted(plain, key=rank))
    return tuple(tuple(font for font in family if font) for family in both)


def _found() -> Iterator[Font]:
    """All installed fonts with TrueType outlines, in an order that depends on their names alone."""
    roots = [Path(os.path.expanduser(folder)) for folder in _FOLDERS]  # noqa: PTH111 (Path's own needs a home)
    files = {file for root in roots for file in root.rglob("*") if file.suffix.lower() in (".ttf", ".ttc", ".otf")}
    for file in sorted(files):
        try:
            fonts = [Font(file)]
            fonts += [Font(file, n) for n in range(1, fonts[0].face.count)]
            yield from (font for font in fonts if "glyf" in font.face.table_tags and font.may_be_embedded())
        except (OSError, uharfbuzz.HarfBuzzError):
            continue  # unreadable, or no font
