"""What a sheet takes out of a font, read back by FreeType: the same outlines and widths as in the font it came from."""

from __future__ import annotations

import io
import multiprocessing
import sys
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
import pytest
from matplotlib.ft2font import FT2Font, LoadFlags

from bowbook.charts.characters import Characters
from bowbook.sheets import fonts
from bowbook.sheets.extracting import extract, opened

WITHOUT_HINTS = LoadFlags.NO_HINTING | LoadFlags.NO_SCALE
FONT = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"  # comes with matplotlib
# Plain letters; letters put together from others (accents); a blank; Greek, Cyrillic, Arabic, signs.
LETTERS = "Agé Ǻλщش½⅞→"


def drawn(font: FT2Font, glyph: int) -> tuple[Any, Any, int]:
    """The outline of a glyph, and how far it moves the pen."""
    advance = font.load_glyph(glyph, flags=WITHOUT_HINTS).horiAdvance
    vertices, codes = font.get_path()
    return vertices, codes, advance


@pytest.mark.parametrize("letters", [LETTERS, *LETTERS])
def test_a_glyph_is_drawn_as_in_its_own_font(letters: str) -> None:
    """Outline and width, alone and among others, as FreeType reads both files."""
    whole = FT2Font(str(FONT))
    numbers = {letter: whole.get_char_index(ord(letter)) for letter in letters}
    assert 0 not in numbers.values()
    taken = extract(opened(str(FONT), 0), set(numbers.values()))
    part = FT2Font(io.BytesIO(taken.data))
    for letter, number in numbers.items():
        before, after = drawn(whole, number), drawn(part, taken.numbers[number])
        np.testing.assert_array_equal(before[0], after[0], err_msg=letter)
        np.testing.assert_array_equal(before[1], after[1], err_msg=letter)
        assert before[2] == after[2]


def test_what_a_font_holds_is_what_its_own_table_says() -> None:
    """Every character of the first two planes, asked one by one."""
    table = FT2Font(str(FONT)).get_charmap()
    held = Characters(table)
    assert [c for c in range(0x20000) if c in held] == sorted(table)
    assert 0 not in Characters([])


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere no process is forked")
def test_processes_that_share_the_work_measure_alike() -> None:
    """A font open before a fork is read by all processes at once, each moving the others' place in the file."""
    words = [f"{name} {number}" for number in range(400) for name in ("Άνεμος", "Бумага", "ورق", "רוח")]
    assert fonts.width_mm("Νήμα Ветер نسيم ענן", 10.0) > 0  # opened here
    with multiprocessing.get_context("fork").Pool(4) as pool:
        found = pool.map(_widths, [words] * 4, chunksize=1)
    assert found == [_widths(words)] * 4


def _widths(words: list[str]) -> list[float]:
    return [fonts.width_mm(word, 10.0) for word in words]


def test_no_more_is_taken_than_is_needed() -> None:
    """A dozen letters of a font of thousands make a small file, and its first glyph is the one for what is missing."""
    whole = FT2Font(str(FONT))
    taken = extract(opened(str(FONT), 0), {whole.get_char_index(ord(letter)) for letter in LETTERS})
    part = FT2Font(io.BytesIO(taken.data))
    assert part.num_glyphs < 3 * len(LETTERS) < whole.num_glyphs
    assert len(taken.data) < FONT.stat().st_size / 50
    assert 0 not in taken.numbers.values()


def test_the_same_letters_give_the_same_bytes(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whenever, and in whatever order they were met."""
    first = extract(opened(str(FONT), 0), [5, 40, 300]).data
    monkeypatch.setattr("time.time", lambda: 2e9)
    opened.cache_clear()
    assert extract(opened(str(FONT), 0), [300, 5, 40]).data == first
