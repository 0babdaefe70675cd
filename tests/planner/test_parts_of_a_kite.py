"""What a friend must repeat: the reading of each half, and where the kite's mass goes."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest

from bowbook.findings.compute import compute_findings
from bowbook.findings.results import BookFindings
from bowbook.format.read_book import read_book
from bowbook.planner.masses import bow_mass, mass_budget
from bowbook.planner.target_reading import target_half
from helpers import small_book

GRAM_FORCE_N = 9.80665e-3  # standard gravity, 3rd CGPM 1901
RODS = "round: {material: carbon, round: 2 mm, density: 1600 kg/m3}\n"
SKINS = "washi: {material: washi, areal: 30 g/m2}\n"
WEIGHED = """---
name: K
sail: {skin: washi, outline: [[0, 0], [300 mm, 200 mm], [0, 500 mm]]}
mass: 15 g
spine: {rod: round, length: 500 mm}
bow: {rod: round, length: 640 mm, mass: 3.2 g}
---
"""


@pytest.fixture
def worked(tmp_path: Path) -> Callable[[str], BookFindings]:
    """Works out a book of one kite."""
    return lambda text: compute_findings(read_book(small_book(tmp_path / "b", {"k": text}, rods=RODS, skins=SKINS)))


def test_the_parts_come_to_the_weighed_whole(worked: Callable[[str], BookFindings]) -> None:
    """By hand: skin 0.15 m² × 30 g/m² = 4.5 g; spine π/4 × (2 mm)² × 500 mm × 1.6 g/cm³ = 2.513 g; the rest is left."""
    found = worked(WEIGHED)
    parts = {p.name: p for p in mass_budget(found.book, found.kites["k"])}
    spine_g = math.pi / 4 * 0.2**2 * 50 * 1.6
    assert parts["skin"].mass_kg == pytest.approx(4.5e-3)
    assert parts["spine"].mass_kg == pytest.approx(spine_g / 1e3)
    assert (parts["bow"].mass_kg, parts["bow"].how) == (pytest.approx(3.2e-3), "weighed")
    assert parts["rest"].mass_kg == pytest.approx((15 - 4.5 - spine_g - 3.2) / 1e3)


def test_the_rest_is_unknown_while_any_part_is(worked: Callable[[str], BookFindings]) -> None:
    """Without the whole kite's mass nothing is left over, rather than zero."""
    found = worked(WEIGHED.replace("mass: 15 g\n", ""))
    parts = {p.name: p.mass_kg for p in mass_budget(found.book, found.kites["k"])}
    assert parts["whole"] is None
    assert parts["rest"] is None


def test_a_tapered_bow_weighs_as_its_mean_section(worked: Callable[[str], BookFindings]) -> None:
    """A cone's volume is a third of base areas and their root (frustum, Euclid XII): 2 mm to 1 mm over each half."""
    stations = "[{at: 0 mm, round: 2 mm}, {at: 320 mm, round: 1 mm}]"
    text = WEIGHED.replace(", mass: 3.2 g", f", sections: {{left: {stations}, right: {stations}}}")
    found = worked(text)
    mean_mm2 = math.pi / 4 * (4 + 1 + 2) / 3
    bow = bow_mass(found.book, found.kites["k"].kite)
    assert bow.mass_kg == pytest.approx(mean_mm2 * 640 * 1.6e-6, rel=1e-3)
    assert bow.how == "worked out"


def test_any_two_readings_in_the_printed_span_are_even(worked: Callable[[str], BookFindings]) -> None:
    """The span's two ends differ by exactly the tolerance, as a share of their mean."""
    text = WEIGHED.replace("---\n", "---\nbench: [{left: '214, 215 g', right: '208, 207 g'}]\n", 1)
    target = target_half(worked(text).kites["k"], 0.03)
    assert target is not None
    assert target.press_N == pytest.approx(211 * GRAM_FORCE_N)
    assert (target.high_N - target.low_N) / target.press_N == pytest.approx(0.03)
    assert (target.length_m, target.hold, target.from_press) == (pytest.approx(0.32), None, True)


def test_a_bow_measured_by_sag_gets_a_pressed_target(worked: Callable[[str], BookFindings]) -> None:
    """EI = F s³/48δ and P = π² EI/(K ℓ)² (Euler) in the fingers, bow-out and half the half's weight on the scale."""
    sag = "{sag: {load: 200 g, span: 400 mm, drop: 8 mm}}"
    found = worked(WEIGHED.replace("---\n", f"---\nbench: [{{left: {sag}, right: {sag}}}]\n", 1))
    target = target_half(found.kites["k"], 0.03)
    assert target is not None
    assert not target.from_press
    EI = 200 * GRAM_FORCE_N * 0.4**3 / (48 * 0.008) * (1 + 10.3 * 0.02**2)
    weight = 0.5 * 1.6e-3 * 9.80665
    assert target.press_N == pytest.approx(1.034 * math.pi**2 * EI / (0.93 * 0.32) ** 2 + weight, rel=1e-6)


def test_without_readings_there_is_no_target(worked: Callable[[str], BookFindings]) -> None:
    """Nothing is made up."""
    assert target_half(worked(WEIGHED).kites["k"], 0.03) is None
