"""Sags at several places of a half find its stiff stretch: EI = F s³/48 δ at each, textbook."""

from __future__ import annotations

from pathlib import Path

import pytest

from bowbook.book.records import Units
from bowbook.findings.compute import compute_findings
from bowbook.findings.results import Findings
from bowbook.format.read_book import read_book
from bowbook.wording.balance import is_it_even
from helpers import small_book

RODS = "cane: {material: bamboo, wide: 5 mm, thick: 2.5 mm}\nrod: {material: carbon, round: 1.5 mm}\n"


def worked_out(folder: Path, bench: str, rod: str = "cane") -> Findings:
    """One kite with this bench, worked out."""
    text = f"---\nname: Knot\nbow: {{rod: {rod}, length: 640, span: 600}}\nbench:\n{bench}---\n"
    book = read_book(small_book(folder, {"knot": text}, "title: Along\nruler: 0.1 mm\n", RODS))
    assert book.problems == ()
    return compute_findings(book).kites["knot"]


def sags(left: tuple[float, ...], right: tuple[float, ...]) -> str:
    """Rounds with a sag of either half at 60, 160 and 260 mm, 100 mm between the supports."""

    def half(drop: float, at: int) -> str:
        return f"{{sag: {{load: 2 kg, span: 100 mm, drop: {drop} mm, at: {at} mm}}}}"

    return "".join(
        f"  - left: {half(a, at)}\n    right: {half(b, at)}\n"
        for at, a, b in zip((60, 160, 260), left, right, strict=True)
    )


def stiffness(drop: float) -> float:
    """In any scale, with the second term for deep sags."""
    return (1 + 10.3 * (drop / 100) ** 2) / drop


def test_the_stretch_that_sags_least_is_found_and_named(tmp_path: Path) -> None:
    """A node at 160 mm of the left half: it sags by 6.0 mm where the others do by 7.2 and 6.4."""
    found = worked_out(tmp_path, sags((7.2, 6.0, 6.4), (9, 9, 9)))
    stretch = found.shave.stretch
    assert found.shave.side == "left"
    assert stretch is not None
    assert (stretch.side, stretch.start_m, stretch.end_m) == ("left", pytest.approx(0.11), pytest.approx(0.21))
    others = (stiffness(7.2) + stiffness(6.4)) / 2
    assert stretch.above == pytest.approx(stiffness(6.0) / others - 1, rel=1e-6)
    assert "110-210 mm" in [option.zone for option in found.shave.options or ()]
    step = is_it_even(found, Units())[1] or ""
    assert "By its sags the left half is stiffest at 110–210\u00a0mm from the centre mark" in step


def test_halves_that_sag_alike_all_along_have_no_stiff_stretch(tmp_path: Path) -> None:
    """Two per cent is what a ruler makes of one rod."""
    found = worked_out(tmp_path, sags((6.4, 6.48, 6.44), (9, 9, 9)))
    assert found.shave.side == "left"
    assert found.shave.stretch is None


def test_bamboo_is_to_be_sagged_first_and_carbon_is_not(tmp_path: Path) -> None:
    """A node in the outer half can be left worse by shaving the whole half."""
    bench = "  - left: '620, 622, 621, 620, 619'\n    right: '560, 561, 559, 560, 560'\n"
    said = is_it_even(worked_out(tmp_path / "cane", bench), Units())[1] or ""
    assert "sag both halves at three places first, or take it off the middle third" in said
    said = is_it_even(worked_out(tmp_path / "rod", bench, "rod"), Units())[1] or ""
    assert "sag" not in said
