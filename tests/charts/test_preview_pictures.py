"""Preview pictures: the size that link previews ask for, the kite in its colours, any name at all."""

from __future__ import annotations

import io

import pytest
from msgspec.structs import replace
from PIL import Image

from bowbook.charts.card import card_png
from charts import made

BOOK = made.book(9)
KITE = BOOK.kites["leaf-0"]


def seen(png: bytes) -> Image.Image:
    return Image.open(io.BytesIO(png)).convert("RGB")


def test_it_is_1200_by_630_small_and_free_of_notes_about_its_making() -> None:
    """The common size of link previews (common practice, no source); nothing but the picture in the file."""
    png = card_png(KITE, BOOK)
    picture = Image.open(io.BytesIO(png))
    assert picture.size == (1200, 630)
    assert len(png) < 40_000
    assert picture.info == {}


def test_the_kite_hangs_in_its_own_colours_left_and_right() -> None:
    """Left of the spine the left colour, right of it the right one."""
    picture = seen(card_png(KITE, BOOK))
    assert picture.getpixel((800, 300)) == (0xB2, 0x3A, 0x48)
    assert picture.getpixel((960, 300)) == (0xF1, 0xEA, 0xD9)


def test_it_is_the_same_every_time() -> None:
    """Same findings, same bytes, whatever was drawn between."""
    first = card_png(KITE, BOOK)
    card_png(BOOK.kites["leaf-5"], BOOK)
    assert card_png(KITE, BOOK) == first


@pytest.mark.parametrize(
    "name", ["墨流し", "عقاب الريح", "𓅓𓂝", "\ufffe\u0378", "x" * 400, "Many short words " * 30, "\u202eabc", ""]
)
def test_any_name_at_all_makes_a_picture(name: str) -> None:
    """A script no font here can write leaves the name out, a long one is cut; nothing runs into the kite."""
    picture = seen(card_png(replace(KITE, kite=replace(KITE.kite, name=name)), BOOK))
    gap = picture.crop((622, 100, 638, 180))
    assert gap.getcolors() == [(16 * 80, (0xDC, 0xEB, 0xF1))]


def test_a_kite_without_an_outline_has_a_picture_too() -> None:
    """The placeholder, in outline only."""
    kite, book = made.bare()
    assert seen(card_png(kite, book)).getpixel((800, 300)) == (0xDC, 0xEB, 0xF1)
