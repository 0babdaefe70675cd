"""Fonts for pictures: those that come with matplotlib, and where they lack a script, this machine's."""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.util import find_spec
from pathlib import Path

from bowbook.charts.characters import Characters

COMMON = 0x0180  # below this code point matplotlib's own fonts have every sign
SERIF, ITALIC, SANS, BOLD = "DejaVuSerif.ttf", "DejaVuSerif-Italic.ttf", "DejaVuSans.ttf", "DejaVuSans-Bold.ttf"


@lru_cache(maxsize=2000)
def file_for(text: str, first: str = SERIF) -> str | None:
    """A font file that can write every sign of the text: the first asked for, matplotlib's others, else a machine's."""
    own = [str(_folder() / name) for name in dict.fromkeys((first, SERIF, SANS))]
    if max(map(ord, text), default=0) < COMMON:
        return own[0]
    needed = frozenset(ord(sign) for sign in text if not sign.isspace() and sign.isprintable())
    return next((file for file in (*own, *_machine_fonts()) if all(code in _signs(file) for code in needed)), None)


@cache
def _folder() -> Path:
    """The folder of fonts that comes with matplotlib, found without importing it."""
    spec = find_spec("matplotlib")
    if spec is None or not spec.submodule_search_locations:
        raise FileNotFoundError("matplotlib is not installed")
    return Path(spec.submodule_search_locations[0]) / "mpl-data" / "fonts" / "ttf"


@cache
def _machine_fonts() -> tuple[str, ...]:
    """This machine's own fonts, regular ones first, in a fixed order."""
    import bowbook.charts.own_settings  # noqa: F401 before matplotlib

    # isort: split
    from matplotlib.font_manager import findSystemFonts

    return tuple(sorted(findSystemFonts(), key=lambda file: ("Regular" not in file, Path(file).name, file)))


@cache
def _signs(file: str) -> Characters:
    """Code points a font can write; none where the file is no font."""
    import bowbook.charts.own_settings  # noqa: F401 before matplotlib

    # isort: split
    from matplotlib.ft2font import FT2Font

    try:
        return Characters(FT2Font(file).get_charmap())
    except (RuntimeError, OSError, ValueError):
        return Characters(())
