"""What counted strokes teach: a kite's own first, and of other kites' what is rounded."""

from __future__ import annotations

import pytest

from bowbook.findings.bench_results import Measured
from bowbook.findings.results import LearntStrokes, LoggedStrokes
from bowbook.findings.strokes import learnt_strokes

LOGS = {
    "alder": (
        LoggedStrokes("carbon", "knife", 20, 0.0801),
        LoggedStrokes("carbon", "knife", 30, 0.13),
    ),
    "birch": (LoggedStrokes("bamboo", "plane", 10, 0.0333),),
}


def test_a_kite_goes_by_its_own_strokes_as_they_are() -> None:
    """0.2101 N in 50 strokes, by hand."""
    learnt = learnt_strokes("alder", "carbon", LOGS)
    assert learnt.rate_N is not None
    assert learnt.rate_N.value == pytest.approx(0.2101 / 50, rel=1e-12)


def test_a_kite_without_its_own_goes_by_those_in_its_material_to_two_figures() -> None:
    """So one more reading of another kite seldom changes what is said here. 0.0333 N in 10 strokes is 0.0033 each."""
    assert learnt_strokes("cedar", "bamboo", LOGS) == LearntStrokes(Measured(0.0033, None, None))
    again = {**LOGS, "birch": (LoggedStrokes("bamboo", "plane", 10, 0.0334),)}
    assert learnt_strokes("cedar", "bamboo", again) == learnt_strokes("cedar", "bamboo", LOGS)


def test_nothing_is_learnt_in_another_material() -> None:
    """Nor where no material is known."""
    assert learnt_strokes("cedar", "glass", LOGS) == learnt_strokes("cedar", None, LOGS) == LearntStrokes()
