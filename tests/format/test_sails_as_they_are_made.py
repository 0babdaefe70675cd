"""Curved edges, panels and decorations of a sail, from the maker's words to its area and its picture."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from bowbook.build.publish import publish
from bowbook.charts.silhouette import shapes, silhouette
from bowbook.findings.compute import compute_findings
from bowbook.findings.results import Findings
from bowbook.format.read_book import read_book

Put = Callable[[str, str], Path]
STRAIGHT = "outline: [[0, 0], [300, 190], [0, 520]]"


@pytest.fixture
def made(put_kite: Put, book_root: Path) -> Callable[[str], Findings]:
    """A kite with such a sail, worked out."""

    def make(sail: str) -> Findings:
        put_kite("knot", f"name: Knot\nsail: {{{sail}}}\n")
        book = read_book(book_root)
        assert not book.problems, book.problems
        return compute_findings(book).kites["knot"]

    return make


@pytest.mark.parametrize("curve", [20.0, -15.0, 0.0])
def test_a_curved_edge_adds_two_thirds_of_its_chord_times_its_height(
    made: Callable[[str], Findings], curve: float
) -> None:
    """The area under a parabola (Archimedes, Quadrature of the Parabola, proposition 24), on both halves."""
    straight, curved = made(STRAIGHT), made(f"outline: [{{at: [0, 0], curve: {curve} mm}}, [300, 190], [0, 520]]")
    assert straight.sail.area_m2 is not None
    assert curved.sail.area_m2 is not None
    more = 2 * 2 / 3 * math.hypot(0.3, 0.19) * curve / 1000
    # followed in 16 straight steps, a parabola misses 1/16² of its segment
    assert curved.sail.area_m2 - straight.sail.area_m2 == pytest.approx(more, rel=1 / 16**2 + 1e-6, abs=1e-12)


def test_the_edge_stands_off_as_far_as_the_ruler_says(made: Callable[[str], Findings]) -> None:
    """At the middle of the curved edge the outline is `curve` away from the straight line, outward."""
    outline = made("outline: [{at: [0, 0], curve: 20 mm}, [300, 190], [0, 520]]").kite.sail.outline
    x, y = outline[8]
    away = (0.3 * y - 0.19 * x) / math.hypot(0.3, 0.19)
    assert away == pytest.approx(-0.020, abs=1e-9)  # above the line from nose to tip: y runs down


def painted(found: Findings) -> dict[str, float]:
    """The area each colour covers in the drawn sail, mm², by the surveyor's formula over its paths."""
    areas: dict[str, float] = {}
    for colour, path in re.findall(r'<path fill="(#\w+)" d="M([^Z]+)Z"', silhouette(found).cloth):
        points = [tuple(map(float, p.split())) for p in path.split("L")]
        twice = sum(a * d - c * b for (a, b), (c, d) in zip(points, [*points[1:], points[0]], strict=True))
        areas[colour] = areas.get(colour, 0.0) + abs(twice) / 2
    return areas


@pytest.mark.parametrize(
    ("panels", "shares"),
    [
        ("lay: quarters, colours: ['#000001', '#000002']", {"#000001": 0.5, "#000002": 0.5}),
        ("lay: down, count: 2, colours: ['#000001', '#000002']", {"#000001": 0.5, "#000002": 0.5}),
        ("lay: across, count: 2, colours: ['#000001', '#000002']", {"#000001": 0.6061, "#000002": 0.3939}),
        ("lay: down, count: 4, colours: ['#000001', '#000002']", {"#000001": 0.5, "#000002": 0.5}),
    ],
)
def test_panels_cover_the_sail_and_no_more(
    made: Callable[[str], Findings], panels: str, shares: dict[str, float]
) -> None:
    """Every piece has its colour, and together they are the sail: 156,000 mm², cut by hand in the expected shares."""
    areas = painted(made(f"{STRAIGHT}, panels: {{{panels}}}"))
    assert sum(areas.values()) == pytest.approx(156_000, rel=1e-3)
    for colour, share in shares.items():
        assert areas[colour] == pytest.approx(156_000 * share, rel=0.02), colour


SHAPES = '<path id="a" d="M0 0H60V9Z"/><use href="#a" x="9"/>'
DRAWING = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 52">{SHAPES}</svg>'


def test_a_decoration_lies_over_the_sail_cut_to_its_outline(made: Callable[[str], Findings], book_root: Path) -> None:
    """Its shapes stand in the picture once, inside the outline, with ids of this kite."""
    (book_root / "content/kites/knot").mkdir()
    (book_root / "content/kites/knot/crane.svg").write_text(DRAWING)
    drawn = shapes(silhouette(made(f"{STRAIGHT}, decoration: crane.svg")))
    assert '<clipPath id="knot-cut"><path d="M0 0L300 190L0 520L-300 190Z"/></clipPath>' in drawn
    assert '<path id="knot-a" d="M0 0H60V9Z"/><use href="#knot-a" x="9"/>' in drawn


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("crane.svg", "<svg", "crane.svg:1: the drawing is not well-formed SVG"),
        ("crane.svg", DRAWING.replace("<path", "\n<script/><path"), "crane.svg:2: the drawing holds script"),
        ("crane.svg", None, "knot.md:3:36: there is no drawing crane.svg"),
        ("../x.svg", None, "knot.md:3:36: `../x.svg` is a path, not a file name"),
        ("crane.png", None, "knot.md:3:36: `crane.png` does not look like a drawing"),
    ],
)
def test_a_decoration_that_cannot_be_used_is_a_problem_with_its_line(
    put_kite: Put, book_root: Path, name: str, text: str | None, said: str
) -> None:
    """The drawing's own line where it is the drawing that is wrong, else the line that names it."""
    put_kite("knot", f"name: Knot\nsail: {{skin: washi-30, decoration: {name}}}\n")
    if text is not None:
        (book_root / "content/kites/knot").mkdir()
        (book_root / "content/kites/knot" / name).write_text(text)
    (problem,) = read_book(book_root).problems
    place = problem.location
    at = f"{place.file.rpartition('/')[2]}:{place.line}" + (f":{place.column}" if place.column else "")
    assert f"{at}: {problem.message}".startswith(said)
    assert problem.hint


def test_a_curve_that_crosses_the_sail_is_refused(put_kite: Put, book_root: Path) -> None:
    """A hollow deeper than the sail is wide cannot be cut."""
    put_kite("knot", "name: Knot\nsail:\n  outline: [{at: [0, 0], curve: -400 mm}, [300, 190], [0, 520]]\n")
    (problem,) = read_book(book_root).problems
    assert "curved edge" in problem.message


REPAINTED = f"""\
name: Knot
sail: {{{STRAIGHT}, colours: ["#f6f2e8"]}}
made: 2024-05-01
changes:
  - {{on: 2025-05-01, colours: ["#2a4a80", "#c2123f"], note: Dyed.}}
  - {{on: 2026-05-01, decoration: crane.svg}}
flights:
  - {{on: 2024-06-01, flyer: MK, note: Pale.}}
  - {{on: 2025-06-01, flyer: MK, note: Dark.}}
  - {{on: 2026-06-01, flyer: MK, note: Drawn on.}}
"""


def test_each_state_of_a_kite_looks_as_it_then_did(put_kite: Put, book_root: Path) -> None:
    """Its colours and its drawing are those of the day; what a change does not name stays as it was."""
    put_kite("knot", REPAINTED)
    (book_root / "content/kites/knot").mkdir()
    (book_root / "content/kites/knot/crane.svg").write_text(DRAWING)
    publish(book_root)

    page = (book_root / "output/kites/knot/index.html").read_text(encoding="utf-8")
    first, second, third = page.split('class="opens"')[1:]
    heads = [part.split("</header>")[0] for part in (first, second, third)]
    assert "#f6f2e8" in heads[0]
    assert "#2a4a80" not in heads[0]
    assert "#2a4a80" in heads[1]
    assert "M0 0H60V9Z" not in heads[1]
    now = page[page.index('<g id="k-') :].split("</defs>")[0]
    assert "#2a4a80" in now
    assert "M0 0H60V9Z" in now
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))


def test_a_drawing_of_a_change_that_is_not_there_is_a_problem_with_its_line(put_kite: Put, book_root: Path) -> None:
    """As the drawing a sail was made with."""
    put_kite("knot", REPAINTED)
    (problem,) = read_book(book_root).problems
    assert problem.message.startswith("there is no drawing crane.svg")
    assert problem.location.line == 7
