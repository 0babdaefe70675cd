"""What a font holds, kept as ranges, against the font's own table as FreeType reads it."""

from __future__ import annotations

from pathlib import Path

import matplotlib
from matplotlib.ft2font import FT2Font

from bowbook.charts.characters import Characters

FONT = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"  # comes with matplotlib


def test_what_a_font_holds_is_what_its_own_table_says() -> None:
    """Every character of the first two planes, asked one by one."""
    table = FT2Font(str(FONT)).get_charmap()
    held = Characters(table)
    assert [c for c in range(0x20000) if c in held] == sorted(table)
    assert 0 not in Characters([])
