"""Why kites flex in different winds: one thing changed at a time, so that what it does is known from the rule.

The rule is that of the methods page, q = T h / (10 S₁): the wind goes with the root of the bow's tension, which goes
with its stiffness, and with one over the root of the sail's first moment.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bowbook.findings.compute import compute_findings
from bowbook.findings.flex_differences import reasons
from bowbook.findings.results import BookFindings, Findings
from bowbook.format.read_book import read_book
from bowbook.wording.flex_differences import differences
from helpers import small_book

KITE = """---
name: {name}
sail:
  outline: [[0, 0], [{out}, {tip}], [0, {tall}]]
  skin: paper
bow: {{rod: cane, length: {length} mm, span: {span} mm}}
bench:
  - left: {left}, {left}, {left} g
    right: {left}, {left}, {left} g
covered: {{left: {covered} g, right: {covered} g}}
---
"""
PLAIN = {"out": 300, "tip": 200, "tall": 500, "length": 640, "span": 600, "left": 200, "covered": 220}
SKINS = "paper: {material: washi, weight: 30 g/m2}\n"
RODS = "cane: {material: bamboo}\n"


@pytest.fixture
def book(tmp_path: Path) -> BookFindings:
    changed = {
        "plain": {},
        "stiff": {"left": 400, "covered": 440},
        "tall": {"tip": 400, "tall": 1000},
        "bent": {"span": 560},
    }
    kites = {key: KITE.format(name=key.title(), **{**PLAIN, **other}) for key, other in changed.items()}
    return compute_findings(read_book(small_book(tmp_path / "book", kites, rods=RODS, skins=SKINS)))


def why(book: BookFindings, key: str) -> tuple[float, ...]:
    found = reasons(book.kites[key], book.kites["plain"])
    assert found is not None, book.kites[key].wanting
    return found.wind, found.stiffness, found.bend, found.sail


def test_twice_the_stiffness_is_the_root_of_two_in_wind(book: BookFindings) -> None:
    """Everything else the same: nothing is put down to bend or sail."""
    assert why(book, "stiff") == pytest.approx((2**0.5, 2**0.5, 1, 1), rel=0.002)


def test_a_sail_twice_as_tall_has_twice_the_moment(book: BookFindings) -> None:
    """As wide and twice as tall, all of it twice as deep at each place: the wind falls by the root of two."""
    assert why(book, "tall") == pytest.approx((0.5**0.5, 1, 1, 0.5**0.5), rel=0.002)


def test_a_bow_bent_further_pushes_harder_and_the_parts_make_the_whole(book: BookFindings) -> None:
    """Only the span changed: stiffness stays; a shorter lever and a larger push share what is left."""
    wind, stiffness, bend, sail = why(book, "bent")
    assert stiffness == pytest.approx(1, rel=0.002)
    assert bend > 1
    assert stiffness * bend * sail == pytest.approx(wind)


def test_a_flex_wind_that_is_not_computed_is_not_explained(book: BookFindings) -> None:
    """Without readings there is no stiffness: nothing is said."""
    kites = book.kites
    assert reasons(kites["stiff"], Findings(kites["plain"].kite)) is None
    assert differences((kites["stiff"], Findings(kites["plain"].kite)), book.book.settings.units) == ()


def test_the_words_name_the_softest_first_and_say_which_way(book: BookFindings) -> None:
    """Against the kite that flexes in the least wind."""
    told = differences((book.kites["stiff"], book.kites["plain"]), book.book.settings.units)
    assert len(told) == 1
    assert told[0].said.startswith("Stiff flexes at ")
    assert told[0].said.replace("\u00a0", " ").endswith("41 % more wind.")
    assert "stiffer bow and skin" in told[0].parts[0]
    assert all("next to no difference" in part for part in told[0].parts[1:])
