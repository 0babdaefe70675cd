"""The bench asks for the whole press first, says how to hold and mark, asks about slips at once, and tests the tips."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from bowbook.format.read_book import read_book

Run = Callable[..., Result]

G0 = 9.80665


@pytest.fixture
def ruff(own_book: Path, run: Run) -> Path:
    """The file of a kite on no bench yet."""
    assert run(own_book, "add", "Ruff", "--from", "dunlin").exit_code == 0
    return own_book / "content" / "kites" / "ruff.md"


def said(result: Result) -> str:
    """What was printed, on one line."""
    return " ".join(result.output.split())


def test_the_whole_press_comes_first_and_says_why(own_book: Path, ruff: Path, run: Run) -> None:
    """Whole, left, right; hold anew, the mark from both ends, and five a side on the book's first bows."""
    result = run(own_book, "bench", "ruff", given="70\n71\n\n280\n281\n\n279\n280\n\n\n")
    talk = said(result)

    assert result.exit_code == 0, result.output
    for one, next_one in (("The whole bow first", "Left half"), ("Left half", "right half"), ("right half", "Round 1")):
        assert talk.index(one) < talk.index(next_one)
    assert "that is its tension, with no length and no hold in it" in talk
    assert "Let go and hold anew between presses" in talk
    assert "Mark the middle from both ends" in talk
    assert "Five times a side on a first bow" in talk
    assert "left once more, 2 of 5" in talk
    assert "    left: 280, 281 g\n    right: 279, 280 g\n    whole: 70, 71 g\n" in ruff.read_text(encoding="utf-8")


@pytest.mark.usefixtures("ruff")
def test_a_maker_with_bows_behind_them_is_asked_for_three(own_book: Path, run: Run) -> None:
    """After three kites the book knows the hand; and how the middle is found, once it says so."""
    for n in range(3):
        run(own_book, "add", f"Plover {n}", "--from", "dunlin")
        run(own_book, "bench", f"plover-{n}", "--left", "280, 281 g", "--right", "279, 280 g")
    settings = own_book / "content" / "book.yaml"
    settings.write_text(settings.read_text(encoding="utf-8") + "\nmark: both ends\n", encoding="utf-8")
    talk = said(run(own_book, "bench", "ruff", given="\n280\n281\n\n279\n280\n\n\n"))

    assert "left once more, 2 of 3" in talk
    assert "Five times" not in talk
    assert "Mark the middle" not in talk


def test_what_looks_like_a_slip_is_asked_about_at_once(own_book: Path, ruff: Path, run: Run) -> None:
    """Ten times the last reading is taken back at a word; a reading far from the other half stands at another."""
    talk = said(run(own_book, "bench", "ruff", given="\n280\n2810\nno\n281\n\n130\nyes\n131\n\n\n"))

    assert "2810 g is 10 times the readings beside it. If the decimal point slipped, write 281 g." in talk
    assert "The halves read 73 % apart" in talk
    text = ruff.read_text(encoding="utf-8")
    assert "    left: 280, 281 g\n    right: 130, 131 g\n" in text


def test_what_was_typed_last_is_what_is_asked_about(own_book: Path, ruff: Path, run: Run) -> None:
    """Where two readings do not fit one another, the later may be the slip."""
    talk = said(run(own_book, "bench", "ruff", given="\n214\n\n1980\nno\n198\n\n\n"))
    assert "1980 g is 9 times the readings beside it. If the decimal point slipped, write 198 g." in talk
    assert "    right: 198 g\n" in ruff.read_text(encoding="utf-8")


@pytest.mark.usefixtures("ruff")
def test_readings_given_as_options_are_asked_about_too(own_book: Path, run: Run) -> None:
    """Nobody is there to answer, so they are written, and what is odd is said."""
    result = run(own_book, "bench", "ruff", "--left", "280, 2810 g", "--right", "279 g")
    assert result.exit_code == 0
    assert "10 times the readings beside it" in said(result)


def test_both_tips_pressed_back_tell_the_wind(own_book: Path, ruff: Path, run: Run) -> None:
    """A tenth of the half span is offered: 30 mm of 300. Per tip F/δ is half the reading over the way."""
    talk = said(run(own_book, "bench", "ruff", "--tips", given="\n20\n21\n20\n\n"))
    assert "press both tips down together by 30 mm" in talk
    assert "by that it flexes at" in talk
    assert '    tips: {both: "20, 21, 20 g", back: 30 mm}\n' in ruff.read_text(encoding="utf-8")

    given = run(own_book, "bench", "ruff", "--both", "20, 21, 20 g", "--back", "30 mm")
    assert given.exit_code == 0, given.output
    found = json.loads(run(own_book, "check", "--json").stdout)["kites"]["ruff"]
    assert found["tips"]["stiffness_N_m"]["value"] == pytest.approx(61 / 3 * 1e-3 * G0 / 2 / 0.030, rel=1e-9)
    assert found["wind"]["flex_how"] == "tips"


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (("--tips", "--left", "200 g"), "test of its own"),
        (("--both", "20 g"), "A tips test needs both"),
        (("--both", "20 g", "--back", "900 mm"), "less than half the bow"),
        (("--both", "20 g", "--back", "much"), "not a length"),
        (("--both", "-3 g", "--back", "30 mm"), "--both"),
        (("--tips", "--redo", "1"), "has no round 1"),
    ],
)
def test_a_tips_test_that_is_none_gets_a_sentence(
    words: tuple[str, ...], answer: str, own_book: Path, ruff: Path, run: Run
) -> None:
    """And the file stays as it is."""
    before = ruff.read_bytes()
    result = run(own_book, "bench", "ruff", *words)
    assert result.exit_code == 2
    assert answer in said(result)
    assert ruff.read_bytes() == before


@pytest.mark.usefixtures("ruff")
def test_a_tips_test_is_left_and_taken_up(own_book: Path, run: Run) -> None:
    """How far the tips go and the readings so far are kept until the round is written."""
    left = run(own_book, "bench", "ruff", "--tips", given="25 mm\n20\n")
    assert left.exit_code == 1
    assert "bowbook bench ruff --tips goes on from here" in said(left)
    again = said(run(own_book, "bench", "ruff", "--tips", given="22\n\n"))
    assert "going on with the round you left" in again
    test = read_book(own_book).kites["ruff"].bench[-1].tips
    assert test is not None
    assert (len(test.values_N), test.back_m) == (2, 0.025)
