"""Values that look like a slip are asked about at their line, with what may have been meant, and stop nothing.

The limits are common practice without a source, but for the handbook ranges, whose sources stand beside them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from bowbook.book.problems import Problem
from bowbook.findings.compute import compute_findings
from bowbook.findings.odd_values import odd_in_book
from bowbook.format.read_book import read_book
from helpers import copy_demo, run_bowbook, small_book

BOOK = "title: Odd values\nunits: {length: mm, force: g, mass: g, wind: mph}\n"
RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\nstrip: {material: bamboo, wide: 5 mm, thick: 2.5 mm}\n"
SKINS = "washi-30: {areal: 30 g/m2, overhang: 96 mm}\n"
KITE = """---
name: {name}
sail: {{skin: washi-30, outline: [[0, 0], [300, 190], [0, 520]]}}
mass: {mass}
bow: {{rod: carbon-1.5, length: {length}, span: 600{bow}}}
bench:
{bench}{covered}---
"""
ROUND = "  - {left: '214, 213, 215', right: '198, 199, 197'}\n"


def asked(folder: Path, mass: str = "21", length: str = "640", bow: str = "", bench: str = ROUND, covered: str = ""):
    """What is asked about one kite that is otherwise in order."""
    text = KITE.format(name="Knot", mass=mass, length=length, bow=bow, bench=bench, covered=covered)
    root = small_book(folder, {"knot": text}, BOOK, RODS, SKINS)
    book = read_book(root)
    assert book.problems == ()
    return odd_in_book(book)


def one(problems: tuple[Problem, ...]) -> Problem:
    """The only thing that is asked."""
    assert len(problems) == 1, [(p.message, p.hint) for p in problems]
    return problems[0]


def test_a_kite_in_order_is_not_asked_about(tmp_path: Path) -> None:
    """Nor is the demonstration book."""
    assert asked(tmp_path / "one") == ()
    assert odd_in_book(read_book(copy_demo(tmp_path / "demo"))) == ()


@pytest.mark.parametrize(
    ("bench", "line", "what", "instead"),
    [
        ("  - left: 214, 2130, 215\n    right: 198, 199\n", 7, "2130 g is 10 times", "write 213 g"),
        ("  - left: 214, 21.3, 215\n    right: 198, 199\n", 7, "21.3 g is 1/10 of", "write 213 g"),
        ("  - left: 2140, 2130\n    right: 198, 199\n", 7, "2140 g is 11 times", "write 214 g"),
        ("  - left: 214, 213\n    right: 19.8\n", 8, "19.8 g is 1/11 of", "write 198 g"),
        ("  - left: 214, 213\n    right: 7 oz\n", 0, "", ""),
        ("  - left: 214, 213\n    right: 7\n", 8, "7 g is 1/31 of", "If that is oz, write 7 oz"),
        ("  - left: 214, 213\n    right: 1.95\n", 8, "1.95 g is 1/109 of", "If that is N, write 1.95 N"),
        ("  - left: 214, 213\n    right: 198, 199\n  - left: 21\n    right: 199\n", 9, "21 g is 1/9 of", "write 210 g"),
        ("  - left: 214\n    right: 198\n    whole: 510\n", 9, "the whole bow reads 510 g", "write 51 g"),
        ("  - left: 214\n    right: 130\n", 7, "the halves read 49 % apart", "centre mark"),
        ("  - left: 214\n    right: 130\n  - left: 131\n    right: 130\n", 0, "", ""),  # shaved since, so it was so
        ("  - left: {press: 2000, length: 100 mm}\n    right: 200\n", 0, "", ""),  # a shorter half reads more
        ("  - left: 3214, 3213\n    right: 3198\n", 7, "this makes a stiffness of 0.2", "the bow's length (640 mm)"),
        ("  - left: 14\n    right: 14\n", 7, "no rod of the section and material of carbon-1.5 has less", "rods.yaml"),
        ("  - left: {sag: {load: 2 kg, span: 400 mm, drop: 8 mm}}\n", 7, "carbon-1.5 has more than", "rods.yaml"),
        ("  - left: {droop: {load: 5 g, length: 300 mm, drop: 60 mm}}\n", 7, "has less than", "rods.yaml"),
    ],
)
def test_readings_that_look_like_a_slip_are_asked_about(
    bench: str, line: int, what: str, instead: str, tmp_path: Path
) -> None:
    """Ten times its neighbours, ounces or newtons among grams, halves far apart, and what no such rod reads.

    A carbon rod of 1.5 mm has π d⁴/64 · 70 to 140 GPa = 0.0174 to 0.0348 N m².
    """
    found = asked(tmp_path, bench=bench)
    if not line:
        assert found == ()
        return
    problem = found[0]
    assert problem.location.line == line
    assert what in problem.message
    assert instead in problem.hint


def test_a_covered_reading_under_the_bare_one_is_asked_about(tmp_path: Path) -> None:
    """In the same state: beside a bare reading before a shave it says nothing."""
    problem = one(asked(tmp_path / "under", covered="covered: {left: 190, right: 205}\n"))
    assert problem.location.line == 8
    assert "the left half reads 190 g with the skin on, less than 214 g bare" in problem.message

    shaved = "  - {left: 214, right: 198, shave: {side: left, strokes: 9}}\n  - {left: 199, right: 198}\n"
    assert asked(tmp_path / "shaved", bench=shaved, covered="covered: {left: 205, right: 205}\n") == ()


@pytest.mark.parametrize(
    ("mass", "bow", "path_line", "what", "instead"),
    [
        ("0.74", "", 4, "0.74 g for the whole kite", "If that is oz, write 0.74 oz"),
        ("210", "", 4, "210 g for the whole kite", "write 21 g"),
        ("21", ", mass: 0.062", 5, "weighs about 1.75 g, not 0.062 g", "If that is oz, write 0.062 oz"),
        ("21", ", mass: 17.5", 5, "weighs about 1.75 g, not 17.5 g", "write 1.75 g"),
        ("0.021", "", 4, "0.021 g for the whole kite", "If that is kg, write 0.021 kg"),
    ],
)
def test_masses_in_another_unit_are_asked_about(
    mass: str, bow: str, path_line: int, what: str, instead: str, tmp_path: Path
) -> None:
    """By what sail and bow weigh: 0.156 m² of 30 g/m², π/4 · 1.5² mm² · 640 mm of carbon at 1550 kg/m³."""
    problem = one(asked(tmp_path, mass=mass, bow=bow))
    assert problem.location.line == path_line
    assert what in problem.message
    assert instead in problem.hint


def test_a_mass_far_from_the_other_kites_is_asked_about(tmp_path: Path) -> None:
    """Where nothing else is known of a kite, the others' mass for their sail says what is usual."""
    bare = "---\nname: {name}\nsail: {{outline: [[0, 0], [300, 190], [0, 520]]}}\nmass: {mass}\n---\n"
    kites = {name: bare.format(name=name, mass=m) for name, m in (("a", 20), ("b", 23), ("c", 27), ("d", 0.8))}
    problem = one(odd_in_book(read_book(small_book(tmp_path, kites, BOOK))))
    assert problem.location.file == "content/kites/d.md"
    assert problem.location.line == 4
    assert "If that is oz, write 0.8 oz" in problem.hint


@pytest.mark.parametrize(
    ("strip", "line", "what", "instead"),
    [
        ("  bench: [{left: '214, 213', right: '198, 199'}]\n", 0, "", ""),
        ("  bench:\n  - left: 214, 2130, 215\n    right: 198\n", 5, "2130 g is 10 times", "write 213 g"),
        ("  bench:\n  - left: 214\n    right: 198\n  - left: 214\n    right: 120\n", 7, "56 % apart", "centre mark"),
        ("  mass: 0.062\n", 4, "weighs about 1.75 g, not 0.062 g", "If that is oz, write 0.062 oz"),
        ("  bench: [{left: 3214, right: 3198}]\n", 4, "has more than", "the bow's length (640 mm)"),
    ],
)
def test_a_loose_strip_is_asked_about_like_a_bow(
    strip: str, line: int, what: str, instead: str, tmp_path: Path
) -> None:
    """At its line in the stock; the same questions, for it is a bow without its kite."""
    root = small_book(tmp_path, {}, BOOK, RODS, SKINS)
    head = "first:\n  rod: carbon-1.5\n  length: 640 mm\n"
    (root / "content" / "stock" / "strips.yaml").write_text(head + strip, encoding="utf-8")
    book = read_book(root)
    assert book.problems == ()
    found = odd_in_book(book)
    if not line:
        assert found == ()
        return
    assert (found[0].location.file, found[0].location.line) == ("content/stock/strips.yaml", line)
    assert what in found[0].message
    assert instead in found[0].hint


def test_check_asks_and_passes_and_the_page_says_so_too(tmp_path: Path) -> None:
    """File, line, what stands there, a mark under it and what may be meant, on standard error.

    It exits with 0, for a maker may be right.
    """
    bench = "  - left: 214, 2130, 215\n    right: 198, 199\n"
    text = KITE.format(name="Knot", mass="21", length="640", bow="", bench=bench, covered="")
    root = small_book(tmp_path, {"knot": text}, BOOK, RODS, SKINS)
    done = run_bowbook("check", cwd=root)

    assert done.returncode == 0
    assert done.stdout == "1 kite, nothing wrong; 1 value looks like a slip.\n"
    assert done.stderr == (
        "content/kites/knot.md:7: 2130 g is 10 times the readings beside it\n"
        "    - left: 214, 2130, 215\n"
        "            ^^^^^^^^^^^^^^\n"
        "  If the decimal point slipped, write 213 g. If it is right, leave it.\n\n"
    )
    warnings = compute_findings(read_book(root)).kites["knot"].warnings
    assert warnings[0].startswith("Round 1, left: 2130 g is 10 times the readings beside it. If the decimal point")
