"""What is pooled over a book, and used for each of its kites, does not move with every reading."""

from __future__ import annotations

import pytest

from bowbook.book.records import Settings
from bowbook.findings.cloth import expected_per_chord
from bowbook.findings.readings import in_use, pool
from bowbook.findings.results import Repeated


def test_one_more_reading_of_a_bow_pressed_whole_leaves_the_hand_as_it_was() -> None:
    """By hand, of two bows: K = (0.841 + 0.868)/2 = 0.8545, u = √((2 s/K)² 3/2 + 0.017²), s² = (3 × 0.03² + ..)/4."""
    before, after = (
        in_use(pool(Settings(), [Repeated(hand=(0.841, 0.6)), Repeated(hand=(factor, 0.6))])).hand
        for factor in (0.8681, 0.8686)
    )
    assert before == after
    assert before.factor == pytest.approx(0.855, abs=1e-12)
    assert before.u == pytest.approx(0.081, abs=1e-12)


def test_how_many_bows_taught_the_hand_moves_no_kite_s_figures() -> None:
    """It is shown of the book; a kite's figures ask whether the hand is learnt."""
    shown = [Repeated(hand=(0.855, 0.6))] * 40
    few, many = (pool(Settings(), hands) for hands in (shown[:-1], shown))
    assert (few.hand.bows, many.hand.bows) == (39, 40)
    assert in_use(few).hand.bows == in_use(many).hand.bows == 1
    assert in_use(pool(Settings(), [])).hand.bows == 0


def test_a_covered_reading_that_hardly_moves_a_skin_leaves_what_is_learnt_of_it() -> None:
    """By hand: √(0.0121 × 0.0135) = 0.012781, to three figures."""
    before, after = (expected_per_chord(own, [own]) for own in ([0.0121, 0.0135], [0.0121, 0.013503]))
    assert before == after
    assert before is not None
    assert before.value == pytest.approx(0.0128, abs=1e-12)
