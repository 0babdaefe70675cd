"""A long list of kites stands in parts a person finds a name in."""

from __future__ import annotations

from bowbook.book.records import Units
from bowbook.pages.by_letter import PART, by_letter
from bowbook.pages.kite_row import row_of
from factories import kite, liked


def test_every_kite_of_a_long_list_stands_in_one_part() -> None:
    """Four hundred kites: each once, in order of letters, and no part of several letters is too long."""
    names = [f"{letter}{second} {n}" for n in range(4) for letter in "ABCÉGHKLØQSTÜWZ" for second in "aeiouy7"]
    lines = [row_of(liked(kite(name), 3, 5), Units(), {}, {}) for name in names[:400]]
    parts = by_letter(lines)
    assert sorted(line.key for part in parts for line in part.lines) == sorted(line.key for line in lines)
    assert len(parts) > 8
    assert all(len(part.lines) <= PART for part in parts if "–" in part.title)


def test_a_part_holds_one_script() -> None:
    """A Greek alpha looks like an A: who reads "U–A" would not look for it there."""
    names = ("Uist", "Zoe", "Άνεμος", "Νήμα", "Бумага", "白雲", "青嵐")
    lines = [row_of(liked(kite(name), 3, 5), Units(), {}, {}) for name in names]
    assert [part.title for part in by_letter(lines)] == ["U–Z", "Α–Ν", "Б", "白–青"]


def test_a_name_stands_under_its_letter_without_the_accent() -> None:
    """É stands with E, as dictionaries of languages that have it do (common practice, no source)."""
    lines = [row_of(liked(kite(name), 3, 5), Units(), {}, {}) for name in ("Éclat", "Eben", "Zoe")]
    assert [line.name for line in by_letter(lines)[0].lines] == ["Eben", "Éclat", "Zoe"]
