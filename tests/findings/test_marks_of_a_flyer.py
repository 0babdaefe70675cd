"""How flights' marks become a kite's: by flyer, over the flights since the kite was last changed."""

from __future__ import annotations

from pathlib import Path

from bowbook.findings.ratings import marks_against, ratings_of
from bowbook.format.read_book import read_book
from helpers import small_book

SKINS = "paper: {material: washi}\nfilm: {material: polyester film}\n"
CHANGED = """---
name: K
sail: {skin: paper}
bow: {length: 600 mm}
flights:
  - {on: 2026-01-01, flyer: A, best: 3-5 mph, pull: 5, speed: 1}
  - {on: 2026-03-01, flyer: A, best: 3-5 mph, pull: 2}
  - {on: 2026-03-02, flyer: A, best: 3-5 mph, pull: 3, track: 4}
  - {on: 2026-03-03, flyer: B, best: 3-5 mph, pull: 1}
  - {on: 2026-03-04, flyer: C, best: 3-5 mph}
changes:
  - {on: 2026-02-01, skin: film}
---
"""


def test_only_flights_of_the_kite_as_it_is_now_are_averaged(tmp_path: Path) -> None:
    """A new skin is another kite: the 5 of January is not its pull. Who marked nothing has no marks."""
    book = read_book(small_book(tmp_path / "b", {"k": CHANGED}, skins=SKINS))
    assert not book.problems, book.problems
    assert ratings_of(book.kites["k"]) == {"A": {"pull": 2.5, "track": 4.0}, "B": {"pull": 1.0}}


def test_two_kites_are_no_panel() -> None:
    """Without three kites nothing is set against anything."""
    assert marks_against("flex", {}, "A") == ()
