"""Type for the sheet: one base font for most text, installed fonts for any other script; and how wide text is."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import Any

from msgspec import Struct

from bowbook.charts.characters import Characters

# What of the base font is used: Latin letters, digits and the signs figures are written with.
_LETTERS = (*range(0x20, 0x7F), *range(0xA0, 0x180))
_SIGNS = tuple(map(ord, "‐–—‘’‚“”„†•…‰′″‹›⁄\u2009\u202f⁰⁴⁻₀µΑαβγδεθκλμπρσφωΔΩ⅓⅔⅛⅜⅝⅞←↑→↓↔−√∞≈≠≤≥□△○●✓"))
_PREFERRED = ("Noto Sans", "Noto Naskh", "Noto", "Droid Sans Fallback", "DejaVu", "Liberation")
_UNSEEN = {0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x2060, 0xFEFF, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
_FIGURE_AND_UNIT = re.compile(r"(?<=[0-9±]) (?=[±%°]|[^\W\d]{1,3}[²³]?(?:[/·][^\s,]+)?(?:[,.;:)\s]|$))")


class Face(Struct, frozen=True):
    """One weight of type from installed fonts: to draw with, and to measure by."""

    properties: Any  # matplotlib FontProperties, without a size
    files: tuple[Any, ...]  # the first one's font falls back on those that follow

    def font(self) -> Any:
        """The FT2Font; not to be kept: in a forked process a font opened before shares its place in the file."""
        from matplotlib import font_manager

        return font_manager.get_font(list(self.files))  # which keeps fonts open, and lets go of them after a fork


def base_file(bold: bool) -> Path:
    """The file of the base font: it comes with matplotlib."""
    import matplotlib

    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / ("DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf")


def _base(bold: bool) -> Any:
    from matplotlib import font_manager

    return font_manager.get_font(str(base_file(bold)))


@lru_cache(maxsize=2)
def base_signs(bold: bool) -> frozenset[str]:
    """The characters that are set in the base font."""
    held = _base(bold).get_charmap()
    return frozenset(chr(c) for c in (*_LETTERS, *_SIGNS) if c in held)


@lru_cache(maxsize=8192)
def readable(text: str) -> str:
    """`text` on one line, with every sign that no installed font has put into words or shown as an empty box."""
    line = " ".join("".join(c if c.isprintable() or c.isspace() or ord(c) in _UNSEEN else "" for c in text).split())
    base = base_signs(False)
    return "".join(c if c in base or _holder(c) else _spelled(c) for c in line)


def _spelled(c: str) -> str:
    if ord(c) in _UNSEEN or unicodedata.category(c) in ("Mn", "Me", "Cf"):
        return ""
    name = unicodedata.name(c, "")
    return f"[{name.lower()}]" if unicodedata.category(c).startswith("S") and name else "□"


@lru_cache(maxsize=4096)
def face(text: str, bold: bool = False) -> Face | None:
    """The installed type that can set `text`, which has been made `readable`; None where the base font can."""
    strange = set(text) - base_signs(bold)
    if not strange:
        return None
    families = tuple(dict.fromkeys(["DejaVu Sans", *sorted(h for c in strange if (h := _holder(c)))]))
    return _mixed(families, bold)


@lru_cache(maxsize=64)
def _mixed(families: tuple[str, ...], bold: bool) -> Face:
    from matplotlib import font_manager

    # A family without a bold weight would be logged as a failure: then the whole line stays in the plain weight.
    heavy = {entry.name for entry in font_manager.fontManager.ttflist if entry.weight in (700, "bold")}
    weight = "bold" if bold and heavy.issuperset(families) else "normal"
    properties = font_manager.FontProperties(family=list(families), weight=weight)
    paths = font_manager.fontManager._find_fonts_by_props(properties)
    return Face(properties, tuple(paths))


@lru_cache(maxsize=4096)
def _holder(c: str) -> str | None:
    """The family of an installed font that has this character, or None."""
    return next((name for name, held in _installed() if ord(c) in held()), None)


@lru_cache(maxsize=1)
def _installed() -> tuple[tuple[str, Any], ...]:
    """Every installed upright family with TrueType outlines and a call that gives its characters; best first."""
    from matplotlib import font_manager

    def rank(name: str) -> tuple[int, str]:
        return next((i for i, start in enumerate(_PREFERRED) if name.startswith(start)), len(_PREFERRED)), name

    found: dict[str, Any] = {}
    for entry in font_manager.fontManager.ttflist:
        if entry.style == "normal" and entry.weight in (400, "normal", "regular") and _quadratic(entry.fname):
            found.setdefault(entry.name, lru_cache(maxsize=1)(lambda e=entry: _characters(e)))
    dejavu = found.pop("DejaVu Sans")
    return (("DejaVu Sans", dejavu), *sorted(found.items(), key=lambda item: rank(item[0])))


def _quadratic(path: str) -> bool:
    """Whether the file holds TrueType outlines: the only ones that can be embedded as they are."""
    if not path.lower().endswith((".ttf", ".ttc", ".otf")):
        return False
    with open(path, "rb") as file:
        return file.read(4) in (b"\x00\x01\x00\x00", b"true")


def _characters(entry: Any) -> Characters:
    from matplotlib import font_manager

    return Characters(font_manager.get_font(entry.fname).get_charmap())


@lru_cache(maxsize=16384)
def width_mm(text: str, size_pt: float, bold: bool = False) -> float:
    """Set width of `text`, mm."""
    if not text:
        return 0.0
    mixed = face(text, bold)
    if mixed is None:
        advances = _advances(bold)
        return sum(advances[c] for c in text) * size_pt * 25.4 / 72.0
    font = mixed.font()
    font.clear()
    font.set_size(100.0, 72.0)
    font.set_text(text, 0.0, flags=_unhinted())
    width: float = font.get_width_height()[0] / 64.0
    return width * size_pt / 100.0 * 25.4 / 72.0


@lru_cache(maxsize=2)
def _advances(bold: bool) -> dict[str, float]:
    """How far the pen moves for each character of the base font, in parts of the type size; no kerning is used."""
    font = _base(bold)
    flags = _unhinted() | _unscaled()
    return {c: font.load_char(ord(c), flags=flags).horiAdvance / font.units_per_EM for c in base_signs(bold)}


def _unscaled() -> Any:
    from matplotlib.ft2font import LoadFlags

    return LoadFlags.NO_SCALE


@lru_cache(maxsize=1)
def _unhinted() -> Any:
    from matplotlib.ft2font import LoadFlags

    return LoadFlags.NO_HINTING


def wrapped(text: str, size_pt: float, room_mm: float, bold: bool = False) -> list[str]:
    """`text` broken into lines no wider than `room_mm`; a word that is too long alone is broken inside.

    A figure and its unit stay together, so that no line begins with "mm".
    """
    text = _FIGURE_AND_UNIT.sub("\u00a0", text)
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        trial = f"{line} {word}" if line else word
        if width_mm(trial, size_pt, bold) <= room_mm:
            line = trial
            continue
        if line:
            lines.append(line)
        while width_mm(word, size_pt, bold) > room_mm and len(word) > 1:
            cut = next(n for n in range(len(word) - 1, 0, -1) if n == 1 or width_mm(word[:n], size_pt, bold) <= room_mm)
            lines.append(word[:cut])
            word = word[cut:]
        line = word
    return [*lines, line] if line else lines


def shortened(text: str, size_pt: float, room_mm: float, bold: bool = False) -> str:
    """`text`, or its beginning with an ellipsis where it would be wider than `room_mm`."""
    if width_mm(text, size_pt, bold) <= room_mm:
        return text
    for n in range(len(text) - 1, 0, -1):
        if width_mm(text[:n].rstrip() + "…", size_pt, bold) <= room_mm:
            return text[:n].rstrip() + "…"
    return "…"
