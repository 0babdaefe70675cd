"""Words of any script on paper: joined and in order as the Unicode standard has them, copied out as written."""

from __future__ import annotations

import io
import multiprocessing
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import matplotlib
import numpy as np
import pytest
from matplotlib.ft2font import FT2Font, LoadFlags
from pypdf import PdfReader

from bowbook.sheets import fonts, typesetting
from bowbook.sheets.page import PaperPage, blank_page
from bowbook.sheets.pdf import write_pdf
from sheets.paper import read_back, squeezed

WITHOUT_HINTS = LoadFlags.NO_HINTING | LoadFlags.NO_SCALE
FONT = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"  # comes with matplotlib
BIDI_MARKS = dict.fromkeys([0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)])
WORDS = {
    "arabic": "نسيم ورقية",
    "arabic with a ligature": "السلام",
    "arabic with vowel signs": "عَفِيفُون",
    "persian with a joiner": "می‌خواهم",
    "hebrew": "עפיפון של דני",
    "greek": "Άνεμος",
    "cyrillic": "Бумага",
    "hindi": "पतंग की कहानी क्षि",
    "thai": "ว่าว จุฬา",
    "japanese": "凧のシギ",
    "korean": "한글",
}


def page_of(*lines: str) -> PaperPage:
    """A page with these lines under each other, in turn plain and bold."""
    page = blank_page("a4")
    for n, line in enumerate(lines):
        page.words(15, 25 + 12 * n, line, 16, bold=n % 2 == 1)
    return page


def printed(*lines: str) -> bytes:
    """These lines as a PDF."""
    return write_pdf([page_of(*lines)], "Lines", None)


def printable(text: str) -> bool:
    """Whether fonts for it are installed."""
    return typesetting.printable(text) == text


def drawn(font: FT2Font, glyph: int) -> tuple[Any, Any]:
    """The outline of a glyph as FreeType reads it."""
    font.load_glyph(glyph, flags=WITHOUT_HINTS)
    return font.get_path()


def shown(pdf: bytes) -> list[tuple[FT2Font, int]]:
    """Every glyph shown on the first page: the embedded font, and the glyph's number in it, from left to right."""
    page = PdfReader(io.BytesIO(pdf)).pages[0]
    files = {
        name: FT2Font(io.BytesIO(font.get_object()["/FontDescriptor"]["/FontFile2"].get_data()))
        for name, font in page["/Resources"]["/Font"].items()  # type: ignore[index]
    }
    for file in files.values():
        file.set_charmap(0)
    found, font = [], None
    for operands, operator in page.get_contents().operations:  # type: ignore[union-attr]
        if operator == b"Tf":
            font = files[operands[0]]
        for part in operands[0] if operator == b"TJ" else operands if operator == b"Tj" else []:
            if not isinstance(part, (int, float)):
                raw = part if isinstance(part, bytes) else part.original_bytes
                found += [(font, font.get_char_index(code)) for code in raw]  # type: ignore[union-attr]
    return found  # type: ignore[return-value]


def test_arabic_letters_are_joined_as_the_standard_has_them() -> None:
    """نسيم, from right to left: noon initial, seen medial, yeh medial, meem final (Unicode, Presentation Forms-B)."""
    whole = FT2Font(str(FONT))
    forms = [0xFEE2, 0xFEF4, 0xFEB4, 0xFEE7]
    found = shown(printed("نسيم"))
    assert len(found) == len(forms)
    for (font, glyph), form in zip(found, forms, strict=True):
        for own, its in zip(drawn(font, glyph), drawn(whole, whole.get_char_index(form)), strict=True):
            np.testing.assert_array_equal(own, its, err_msg=hex(form))


def test_lam_and_alef_are_one_sign() -> None:
    """لا is set as the ligature U+FEFB, which every Arabic font must have (Unicode, chapter 9.2)."""
    whole = FT2Font(str(FONT))
    inked = [pair for pair in shown(printed("لا")) if len(drawn(*pair)[0])]
    ((font, glyph),) = inked
    np.testing.assert_array_equal(drawn(font, glyph)[0], drawn(whole, whole.get_char_index(0xFEFB))[0])


@pytest.mark.parametrize(
    ("line", "seen"),
    [  # UAX #9 writes right-to-left letters as capitals: "car means CAR." is seen as "car means RAC."
        ("car means אבג.", "car means גבא."),
        ("אבג means car.", ".means car גבא"),
        ("אבג 123 דהו", "והד 123 גבא"),
        ("one אב (גד) הו two", "one וה (דג) בא two"),
        ("name: אב (גד)", "name: (דג) בא"),
        ("אב (car)", "(car) בא"),
        ("one (אב) two", "one (בא) two"),
        ("אב 3.5 mm", "mm 3.5 בא"),
    ],
)
def test_a_line_stands_in_the_order_of_the_standard(line: str, seen: str) -> None:
    """Letters of both directions, figures among them, and brackets, by the rules of UAX #9 worked by hand."""
    whole = FT2Font(str(FONT))
    looks = {str(drawn(whole, whole.get_char_index(ord(c)))): c for c in set(seen) - {" "}}
    glyphs = [str(drawn(*pair)) for pair in shown(printed(line)) if len(drawn(*pair)[0])]
    assert "".join(looks.get(glyph, "?") for glyph in glyphs) == squeezed(seen)


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS.keys())
def test_words_are_copied_out_as_the_maker_wrote_them(words: str) -> None:
    """By two readers of PDFs that know nothing of each other, plain and bold."""
    if not printable(words):
        pytest.skip("no font with TrueType outlines for this script is installed here")
    pdf = printed(words, words)
    assert squeezed(PdfReader(io.BytesIO(pdf)).pages[0].extract_text()).count(squeezed(words)) == 2
    if shutil.which("pdftotext"):
        read = subprocess.run(["pdftotext", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
        assert read.translate(BIDI_MARKS).count(words) == 2


@pytest.mark.parametrize("words", WORDS.values(), ids=WORDS.keys())
def test_a_line_is_as_wide_as_it_was_measured(words: str) -> None:
    """The widths that the PDF itself gives add up to the width the layout counted with, to a hundredth of a mm."""
    if not printable(words):
        pytest.skip("no font with TrueType outlines for this script is installed here")
    (page,) = read_back(printed(words))
    assert sum(word.width for word in page.words) == pytest.approx(typesetting.width_mm(words, 16), abs=0.01)


@pytest.mark.parametrize("words", [*WORDS.values(), "Kite \U0001e6c0\U0001e6c1 한글 𞤀𞤣"])
def test_no_font_shows_its_own_sign_for_what_it_lacks(words: str) -> None:
    """Glyph 0 is never shown: a letter that no font holds stands as a box of the sheet's own, a symbol by its name."""
    assert all(glyph != 0 for _, glyph in shown(printed(words, words)))


def test_the_sheet_says_what_its_empty_boxes_are(worked: Any) -> None:
    """Two letters no font of any machine has, in a name: two boxes, and at the foot what they stand for."""
    from bowbook.sheets.sheet import sheet_pdf

    book = worked({"k": "---\nname: Kite \U0001e6c0\U0001e6c1\n---\n", "plain": "---\nname: Kite\n---\n"})
    (page,) = read_back(sheet_pdf(book, "k", "a4"))
    assert f"Kite {typesetting.MISSING * 2}" in page.text
    assert "a letter that no font of this machine can print" in page.text
    (plain,) = read_back(sheet_pdf(book, "plain", "a4"))
    assert "a letter that no font" not in plain.text


def test_a_font_that_cannot_be_embedded_is_passed_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A damaged font, one whose licence forbids it and a text file by a font's name leave the sheet without them."""
    good = FONT.read_bytes()
    at = good.index(b"OS/2", 12)
    place = int.from_bytes(good[at + 8 : at + 12], "big") + 8  # fsType (ISO/IEC 14496-22, OS/2)
    named = good.replace("DejaVu Sans".encode("utf-16-be"), "Another One".encode("utf-16-be"))
    named = named.replace(b"DejaVuSans", b"AnotherOne").replace(
        "DejaVuSans".encode("utf-16-be"), "AnotherOne".encode("utf-16-be")
    )
    (tmp_path / "forbids.ttf").write_bytes(named[:place] + b"\x00\x02" + named[place + 2 :])
    (tmp_path / "half.ttf").write_bytes(named[: len(named) // 2])
    (tmp_path / "text.ttf").write_text("no font")
    monkeypatch.setattr(fonts, "_FOLDERS", (str(tmp_path),))
    monkeypatch.setattr(fonts, "base", lambda _: fonts.Font(FONT.with_name("cmr10.ttf")))
    try:
        forget_fonts()
        assert fonts.font_of("Ж") is None
        (tmp_path / "sound.ttf").write_bytes(named)
        forget_fonts()
        assert getattr(fonts.font_of("Ж"), "file", None) == tmp_path / "sound.ttf"
    finally:
        monkeypatch.undo()
        forget_fonts()


def forget_fonts() -> None:
    """Look for fonts anew."""
    fonts.font_of.cache_clear()
    fonts._installed.cache_clear()


def test_no_more_of_a_font_is_embedded_than_is_needed() -> None:
    """A line of Arabic and one of Greek make a small file of a font of 700 kB."""
    assert len(printed("نسيم", "Άνεμος")) < FONT.stat().st_size / 15


def test_the_same_lines_give_the_same_bytes_whatever_was_printed_before() -> None:
    """In this process after other words of the same font, and in new ones that share its open fonts."""
    first = printed("نسيم", "עפיפון")
    printed("ورقية لا", "Ветер")
    assert printed("نسيم", "עפיפון") == first
    if sys.platform == "linux":
        with multiprocessing.get_context("fork").Pool(4) as pool:
            assert pool.map(_again, range(16), chunksize=1) == [first] * 16


def _again(number: int) -> bytes:
    printed(f"السلام {number}", "Бумага")
    return printed("نسيم", "עפיפון")
