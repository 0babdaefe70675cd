"""The full-size pattern, pasted together again from its printed pages by its own marks."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import pytest
from shapely.affinity import rotate, translate
from shapely.geometry import LineString, Polygon, box
from shapely.ops import unary_union

from bowbook.findings.results import BookFindings
from bowbook.sheets.sheet import sheet_pdf
from sheets.paper import Drawn, Point, Set, Sheet, read_back

CUT_MM, SEWN_MM, SEWN_DASH_MM, FOLD_DASH_MM = 0.3, 0.2, 3.0, 6.0
SEAM_MM = 10.0
DIAMOND = ((0.0, 0.0), (300.0, 190.0), (0.0, 520.0))
WAISTED = ((0.0, 20.0), (210.0, 160.0), (120.0, 300.0), (150.0, 380.0), (0.0, 360.0))  # with inside corners
SMALL = ((0.0, 0.0), (80.0, 60.0), (0.0, 150.0))
WIDE = ((0.0, 0.0), (620.0, 120.0), (0.0, 230.0))


def kite_file(points: tuple[Point, ...]) -> str:
    """A kite file with this right half, in mm."""
    outline = ", ".join(f"[{x} mm, {y} mm]" for x, y in points)
    return f"---\nname: Pattern\nsail: {{outline: [{outline}]}}\nbridle: {{upper_at: 60 mm}}\n---\n"


def whole(points: tuple[Point, ...]) -> Polygon:
    """The whole sail from its right half."""
    return Polygon([*points, *((-x, y) for x, y in reversed(points) if x > 0)])


def shoelace(points: tuple[Point, ...]) -> float:
    """Area of the whole sail by Gauss's area formula, the surveyor's."""
    ring = list(whole(points).exterior.coords)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))) / 2


@dataclass(frozen=True)
class Pasted:
    """The lines of a pattern pasted together, by what they mean."""

    cut: list[LineString]
    sewn: list[LineString]
    fold: list[LineString]

    def enclosed(self, lines: list[LineString]) -> Polygon:
        """What the lines enclose, the fold closing a half. Lines are a hundredth of a millimetre thick to the glue."""
        glue = 0.01
        joined = unary_union([line.buffer(glue) for line in [*lines, *self.fold]])
        rings = [Polygon(hole) for part in getattr(joined, "geoms", [joined]) for hole in part.interiors]
        return max(rings, key=lambda ring: ring.area).buffer(glue, join_style="mitre")


def pasted(pages: list[Sheet]) -> Pasted:
    """Cut lines, sewing lines and fold of all pages in the first page's coordinates, pasted by the marks alone."""
    marks = [_marks(page) for page in pages]
    shifts: dict[int, Point] = {0: (0.0, 0.0)}
    for _ in pages:
        for n, own in enumerate(marks):
            for m, other in enumerate(marks):
                for number in own.keys() & other.keys():
                    if n in shifts and m not in shifts:
                        (x, y), (u, v) = own[number], other[number]
                        shifts[m] = shifts[n][0] + x - u, shifts[n][1] + y - v
    assert len(shifts) == len(pages), "every page is joined to the others by marks"
    for number in {k for own in marks for k in own}:
        spots = [
            (shifts[n][0] + own[number][0], shifts[n][1] + own[number][1])
            for n, own in enumerate(marks)
            if number in own
        ]
        assert len(spots) == 2, f"mark {number} stands on two pages"
        assert math.dist(*spots) < 0.01, f"mark {number} lies on its twin"
    cut: list[LineString] = []
    sewn: list[LineString] = []
    fold: list[LineString] = []
    for n, page in enumerate(pages):
        for line in page.lines:
            moved = LineString([(x + shifts[n][0], y + shifts[n][1]) for x, y in line.points])
            if line.width == pytest.approx(CUT_MM, abs=0.01):
                cut.append(moved)
            elif line.width == pytest.approx(SEWN_MM, abs=0.005) and line.dashes:
                if line.dashes[0] == pytest.approx(SEWN_DASH_MM):
                    sewn.append(moved)
                elif line.dashes[0] == pytest.approx(FOLD_DASH_MM):
                    fold.append(moved)
    return Pasted(cut, sewn, fold)


def _marks(page: Sheet) -> dict[int, Point]:
    """Number to centre of every diamond, told by the words beside it, such as "7 on B2"."""
    diamonds = [_centre(d) for d in page.lines if _is_diamond(d)]
    found: dict[int, Point] = {}
    for word in page.words:
        if named := re.fullmatch(r"(\d+) on [A-Z]+\d+", word.text):
            found[int(named[1])] = min(diamonds, key=lambda c, w=word: _gap(c, w))
    assert len(found) == len(diamonds)
    return found


def _gap(centre: Point, word: Set) -> float:
    left, top, right, bottom = word.box()
    return math.hypot(max(left - centre[0], 0, centre[0] - right), max(top - centre[1], 0, centre[1] - bottom))


def _is_diamond(d: Drawn) -> bool:
    return len(d.points) in (5, 6) and d.points[0] == d.points[-1] and abs(d.length - 12 * math.sqrt(2)) < 0.1


def _centre(d: Drawn) -> Point:
    xs, ys = [p[0] for p in d.points], [p[1] for p in d.points]
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def pattern_pages(pdf: bytes) -> list[Sheet]:
    """The pages of the sail pattern among a sheet's."""
    return [page for page in read_back(pdf) if "sail pattern" in page.text]


def halved(shape: Polygon) -> Polygon:
    """Its right half."""
    return shape.intersection(box(0, -1e4, 1e4, 1e4))


def at_origin(shape: Polygon) -> Polygon:
    """The shape with its left and top edge at zero."""
    return translate(shape, -shape.bounds[0], -shape.bounds[1])


def apart(drawn: Polygon, wanted: Polygon) -> float:
    """How far the drawn outline strays from the wanted one, either way up or turned a quarter, mm."""
    ways = [at_origin(rotate(wanted, turn, origin=(0, 0))) for turn in (0, 90, -90, 180)]
    return float(min(at_origin(drawn).boundary.hausdorff_distance(way.boundary) for way in ways))


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("points", [DIAMOND, WAISTED, SMALL, WIDE], ids=["diamond", "waisted", "small", "wide"])
def test_the_printed_tiles_paste_together_to_the_makers_outline(
    worked: Callable[..., BookFindings], points: tuple[Point, ...], paper: str
) -> None:
    """Area within 0.1 % of the surveyor's formula on the maker's own numbers; no point of it a tenth of a mm off."""
    findings = worked({"p": kite_file(points)})
    pages = pattern_pages(sheet_pdf(findings, "p", paper))
    drawn = pasted(pages)
    half = bool(drawn.fold) and "right half" in pages[0].text
    sail = drawn.enclosed(drawn.sewn)
    assert sail.area * (2 if half else 1) == pytest.approx(shoelace(points), rel=1e-3)
    assert findings.kites["p"].sail.area_m2 == pytest.approx(shoelace(points) / 1e6, rel=1e-9)
    assert apart(sail, halved(whole(points)) if half else whole(points)) < 0.1


def test_the_cut_line_runs_a_full_seam_outside_the_sail(worked: Callable[..., BookFindings]) -> None:
    """Area of a mitred offset of a convex outline: A + P s + s² Σ tan(θ/2), θ the turn at each corner (Steiner)."""
    pages = pattern_pages(sheet_pdf(worked({"p": kite_file(DIAMOND)}), "p", "a4"))
    drawn = pasted(pages)
    sail = whole(DIAMOND)
    ring = list(sail.exterior.coords)
    headings = [math.atan2(b[1] - a[1], b[0] - a[0]) for a, b in pairwise(ring)]
    turns = [abs((b - a + math.pi) % (2 * math.pi) - math.pi) for a, b in pairwise([*headings, headings[0]])]
    expected = shoelace(DIAMOND) + sail.length * SEAM_MM + SEAM_MM**2 * sum(math.tan(t / 2) for t in turns)
    assert drawn.enclosed(drawn.cut).area * (2 if drawn.fold else 1) == pytest.approx(expected, rel=1e-3)


def test_an_inside_corner_keeps_its_seam_and_gets_a_snip(worked: Callable[..., BookFindings]) -> None:
    """Everywhere the cut line is at least the seam away from the sail, and a snip runs towards each inside corner."""
    pages = pattern_pages(sheet_pdf(worked({"p": kite_file(WAISTED)}), "p", "a4"))
    drawn = pasted(pages)
    rings = [line for line in drawn.cut if line.length > 2 * SEAM_MM]
    snips = [line for line in drawn.cut if line.length <= 2 * SEAM_MM and len(line.coords) == 2]
    sail = drawn.enclosed(drawn.sewn)
    assert min(line.distance(sail) for line in rings) == pytest.approx(SEAM_MM, abs=0.02)
    assert snips
    assert all(0.5 < snip.distance(sail) < 1.5 for snip in snips)


def test_a_half_on_the_fold_is_printed_only_where_it_saves_pages(worked: Callable[..., BookFindings]) -> None:
    """A small sail fits one page whole; a large one is halved."""
    small = pattern_pages(sheet_pdf(worked({"p": kite_file(SMALL)}), "p", "a4"))
    assert len(small) == 1
    assert "on the fold" not in small[0].text


def test_a_large_sail_is_halved_and_says_where_the_fold_is(worked: Callable[..., BookFindings]) -> None:
    """The fold line is labelled, and every page says that this is a half."""
    large = pattern_pages(sheet_pdf(worked({"p": kite_file(DIAMOND)}), "p", "a4"))
    assert all("right half on the fold" in page.text for page in large)
    assert any("fold the skin here" in page.text for page in large)


def test_bridle_holes_stand_at_their_distance_below_the_nose(worked: Callable[..., BookFindings]) -> None:
    """The hole's centre is 60 mm below the nose of the sewn outline, on the pattern's own paper."""
    (page,) = pattern_pages(sheet_pdf(worked({"p": kite_file(SMALL)}), "p", "a4"))
    rings = [d for d in page.lines if len(d.points) > 20 and d.length == pytest.approx(2 * math.pi, abs=0.1)]
    nose = min(y for d in page.lines if d.dashes[:1] == pytest.approx([SEWN_DASH_MM]) for _, y in d.points)
    assert len(rings) == 2
    assert [_centre(d)[1] - nose for d in rings] == pytest.approx([60.0, 60.0], abs=0.05)


def test_a_sail_too_large_to_paste_gets_no_pattern_but_its_dimensions(worked: Callable[..., BookFindings]) -> None:
    """Nobody pastes three hundred pages: page one has the figures to draw it from, and says so."""
    findings = worked({"p": kite_file(((0.0, 0.0), (4000.0, 3000.0), (0.0, 8000.0)))})
    pages = read_back(sheet_pdf(findings, "p", "a4"))
    assert not any("sail pattern" in page.text for page in pages[1:])
    assert "8000 mm" in pages[0].text
    assert "too large" in pages[0].text


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_no_page_of_the_pattern_is_without_a_line(worked: Callable[..., BookFindings], paper: str) -> None:
    """The inside of a large sail is not printed, the page map says so, and the rest pastes together."""
    pages = pattern_pages(sheet_pdf(worked({"p": kite_file(((0, 0), (700, 500), (0, 1250)))}), "p", paper))
    for page in pages:
        ink = [d for d in page.lines if d.width == pytest.approx(CUT_MM, abs=0.01) or d.dashes[:1] > (2.0,)]
        assert ink
        assert "– no line on it, not printed" in page.text
    sail = pasted(pages)
    assert sail.enclosed(sail.sewn).area * 2 == pytest.approx(shoelace(((0, 0), (700, 500), (0, 1250))), rel=1e-3)
