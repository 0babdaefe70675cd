"""What a kite's file says of its life reaches its record: changes, bows, covered rounds, tips, targets, whereabouts."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bowbook.book.records import Bow, Kite, Origin, Press, Tips, Wind
from bowbook.format.read_book import read_book

GF = 0.00980665
PutKite = Callable[[str, str], Path]

FRONT = """\
name: Turnstone
stage: given
to: a friend in the club
tags: [washi, indoor]
batch: Plover
mass: about 21 g
bow: {rod: carbon-1.5, length: about 640 mm, span: 600 mm, mark: both ends}
sail: {skin: washi-30}
bench:
  - on: 2026-05-01
    left: about 214 g
    right: {press: 210 g, hold: hinge}
    shave: [{side: left, zone: middle third, strokes: 20, tool: sanding block}, {side: right, strokes: 5}]
  - {on: 2026-05-03, skin: on, left: 231 g, right: 229 g}
  - {on: 2026-05-03, tips: {both: '14, 15 g', back: 30 mm}}
  - {on: spring 2027, left: {sag: {load: 200 g, span: 400 mm, drop: 8 mm, at: 160 mm}}, bow: strong}
bows:
  light: {rod: carbon-1.5, length: 640 mm, span: 600 mm}
  strong: {rod: bamboo-spine, length: 640 mm}
changes:
  - {on: 2027-03-20, skin: film-12, note: re-covered after the hedge}
  - {on: 2027-06-02, bow: {rod: bamboo-spine, length: 630 mm}}
  - {on: 2028, span: 590 mm}
target: {left: 282 g, right: 282 g, like: Sanderling}
flights:
  - {on: 2026-05, flyer: MK, wind: 4-9 m/s, best: to 7 m/s, bow: strong, line: 25 m, place: the dunes, gusts: 12 m/s,
     pull: 3, turn: 5, track: 2}
after:
  - {kite: Sanderling, maker: a friend}
  - {kite: Dunlin, maker: another}
"""


@pytest.fixture
def turnstone(put_kite: PutKite, book_root: Path) -> Kite:
    """A kite with a whole life in its file."""
    put_kite("turnstone", FRONT)
    book = read_book(book_root)
    assert book.problems == ()
    return book.kites["turnstone"]


def test_every_key_of_a_life_reaches_its_record(turnstone: Kite) -> None:
    """Nothing that was typed is lost on the way, and each quantity is in SI."""
    first, covered, tips, sagged = turnstone.bench
    assert [(s.side, s.strokes, s.tool) for s in first.shaves] == [("left", 20, "sanding block"), ("right", 5, None)]
    assert isinstance(first.right, Press)
    assert first.right.hold == "hinge"
    assert covered.skin_on
    assert not first.skin_on
    assert tips.tips == Tips(pytest.approx((14 * GF, 15 * GF)), 0.03)
    assert (sagged.on, sagged.bow) == ("spring 2027", "strong")
    assert turnstone.bows["strong"] == Bow("bamboo-spine", 0.64)
    assert turnstone.bow.mark == "both ends"
    assert [(c.on, c.skin, c.bow, c.span_m) for c in turnstone.changes] == [
        ("2027-03-20", "film-12", None, None),
        ("2027-06-02", None, Bow("bamboo-spine", 0.63), None),
        ("2028", None, None, 0.59),
    ]
    assert turnstone.target is not None
    assert turnstone.target.left == Press((pytest.approx(282 * GF),))
    assert turnstone.target.like == "Sanderling"
    assert (turnstone.stage, turnstone.to, turnstone.tags) == ("given", "a friend in the club", ("washi", "indoor"))
    assert (turnstone.origin, turnstone.ancestors) == (Origin("Sanderling", "a friend"), (Origin("Dunlin", "another"),))
    (flight,) = turnstone.flights
    assert (flight.on, flight.bow, flight.line_m, flight.gusts) == ("2026-05", "strong", 25.0, Wind(12.0, 12.0))
    assert (flight.pull, flight.turn, flight.track) == (3, 5, 2)
    assert flight.best == Wind(None, 7.0)


def test_what_is_written_as_a_guess_is_marked_as_one(turnstone: Kite) -> None:
    """The figure reads as it stands, and the record knows that it is rough."""
    assert turnstone.about == ("bow.length", "mass")
    assert turnstone.bench[0].left == Press((pytest.approx(214 * GF),), about=True)


def test_places_stay_at_home_unless_the_book_says_so(put_kite: PutKite, book_root: Path) -> None:
    """Where somebody flies is nobody's business before the maker makes it so."""
    put_kite("turnstone", FRONT)
    assert [f.place for f in read_book(book_root).kites["turnstone"].flights] == [None]

    (book_root / "content" / "book.yaml").write_text("places: true\n", encoding="utf-8")
    assert [f.place for f in read_book(book_root).kites["turnstone"].flights] == ["the dunes"]


def test_loose_strips_are_stock(book_root: Path) -> None:
    """content/stock/strips.yaml holds bows that were measured before they belong to a kite; faults are named there."""
    strips = book_root / "content" / "stock" / "strips.yaml"
    strips.write_text(
        "first: {rod: carbon-1.5, length: 640 mm, mass: 2 g, bench: [{left: 214 g, right: 212 g}], note: straight}\n"
        "second: {rod: carbon-9, length: 640 mm}\n"
        "third: {length: 64 g}\n",
        encoding="utf-8",
    )
    book = read_book(book_root)

    assert book.strips["first"].length_m == pytest.approx(0.64)
    assert book.strips["first"].bench[0].right == Press((pytest.approx(212 * GF),))
    assert [(p.location.line, p.message) for p in book.problems] == [
        (2, "the rod carbon-9 is not in stock"),
        (3, "`64 g` is a weight on the scale, but this should be a length"),
    ]
