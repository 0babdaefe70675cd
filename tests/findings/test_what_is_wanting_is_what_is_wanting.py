"""Every sentence under `wanting` names the fact that is wanting: once it is written, the figure is there."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from bowbook.findings.compute import compute_findings
from bowbook.format.read_book import read_book
from helpers import small_book

RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\nplain: {note: found}\n"
SKINS = "paper: {areal: 30 g/m2, overhang: 96 mm}\nloose: {areal: 30 g/m2}\n"
SAIL = "sail: {skin: paper, outline: [[0, 0], [300, 190], [0, 520]]}"
BOW = "bow: {rod: carbon-1.5, length: 640, span: 600}"
LONG = "bow: {length: 640}"
BENCH = "bench: [{left: '200, 201', right: '230, 231'}]"
COVERED = "covered: {left: '215, 216', right: '245, 246'}"

CASES = [
    # what stands there, the figure, what is said to be wanting, what is written then
    ((BENCH,), "bow.left.EI_Nm2", "The bow's length", (LONG, BENCH)),
    (("bench: [{left: 200}]",), "balance.difference", "A reading of the right half", (BENCH,)),
    ((), "balance.verdict", "A reading of both halves", (BENCH,)),
    ((BENCH,), "shape.rise_m", "The bow's length and its span", (BOW, BENCH)),
    ((LONG, BENCH), "shape.rise_m", "The bow's span, tip to tip, strung.", (BOW, BENCH)),
    ((BOW, "bench: [{left: 200}]"), "shape.rise_m", "A reading of the right half.", (BOW, BENCH)),
    (("bow: {rod: plain, length: 640, span: 600}", BENCH), "shape.strain", "The rod's section", (BOW, BENCH)),
    ((BENCH, COVERED), "skin.EI_Nm2", "The bow's length, to compare the covered press with.", (LONG, BENCH, COVERED)),
    ((BENCH, COVERED), "total.EI_Nm2", "The bow's length, to compare the covered press with.", (LONG, BENCH, COVERED)),
    ((BOW, COVERED), "skin.EI_Nm2", "A bare reading of the left half in the same state", (BOW, BENCH, COVERED)),
    ((BOW, BENCH), "skin.EI_Nm2", "The sail's skin, or a covered press", (BOW, BENCH, COVERED)),
    ((BOW, SAIL), "total.EI_Nm2", "A reading of both halves.", (BOW, SAIL, BENCH)),
    ((SAIL, BENCH), "total.EI_Nm2", "The bow's length.", (LONG, SAIL, BENCH)),
    ((SAIL, BENCH), "wind.flex_m_s", "The bow's length.", (LONG, SAIL, BENCH)),
    ((LONG, SAIL), "wind.flex_m_s", "A press of the whole bow, or a reading of both halves.", (LONG, SAIL, BENCH)),
    ((LONG, SAIL), "wind.flex_m_s", "A press of the whole bow", (LONG, SAIL, "bench: [{whole: 52}]")),
    ((BOW, BENCH), "wind.flex_m_s", "The sail's outline and the skin's part: the sail's skin", (BOW, SAIL, BENCH)),
    (
        (BOW, SAIL.replace("paper", "loose"), BENCH),
        "wind.flex_m_s",
        "The skin's part: a covered press of both halves, or a strip-over-an-edge test",
        (BOW, SAIL.replace("paper", "loose"), BENCH, COVERED),
    ),
    (
        ("bow: {length: 560}", SAIL, BENCH),
        "wind.flex_m_s",
        "The bow's span",
        ("bow: {length: 560, span: 520}", SAIL, BENCH),
    ),
    ((SAIL,), "wind.least_m_s", "The kite's mass, flying.", (SAIL, "mass: 21")),
    ((SAIL,), "tips.stiffness_N_m", "A tips test", (SAIL, "bench: [{tips: {both: 20, back: 30}}]")),
    (
        (BOW, "bench: [{left: 200, right: 231, whole: 52}]"),
        "bow.hold_factor",
        "The bow's mass, weighed.",
        (BOW.replace("}", ", mass: 2.1}"), "bench: [{left: 200, right: 231, whole: 52}]"),
    ),
]


def figures(folder: Path, front: tuple[str, ...]) -> Any:
    """One kite with these lines, worked out."""
    text = "\n".join(("---\nname: Knot", *front, "---\n"))
    book = read_book(small_book(folder, {"knot": text}, "title: Wanting\n", RODS, SKINS))
    assert book.problems == ()
    return compute_findings(book).kites["knot"]


def value_of(found: Any, path: str) -> Any:
    """The figure of a path of the data."""
    for part in ("total",) if path == "total.EI_Nm2" else path.split("."):
        found = getattr(found, part)
    return found


@pytest.mark.parametrize(("front", "path", "said", "then"), CASES)
def test_what_is_named_is_what_gives_the_figure(
    front: tuple[str, ...], path: str, said: str, then: tuple[str, ...], tmp_path: Path
) -> None:
    """Without it no figure and a sentence, with it the figure; the sentence names nothing that is there already."""
    without = figures(tmp_path / "without", front)
    assert value_of(without, path) is None
    sentence = without.wanting[path]
    assert sentence.startswith(said)
    if BENCH in front:
        assert "reading of both halves" not in sentence
        assert "readings of both halves" not in sentence.lower()

    assert value_of(figures(tmp_path / "with", then), path) is not None
