"""The bow strip at full size, read back from the printed page."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest

from bowbook.findings.results import BookFindings
from bowbook.sheets.sheet import sheet_pdf
from sheets.paper import Sheet, read_back

BOW = """---
name: Strip
bow: {{rod: strip, length: 640 mm, sections: {{
  left: [{{at: 0 mm, wide: 4 mm, thick: 2.1 mm}}, {{at: 320 mm, wide: 2 mm, thick: 1.6 mm}}], right: {right}}}}}
bench: [{{shave: {{side: left, zone: 100-180 mm}}}}]
---
"""
RODS = "strip: {material: bamboo, wide: 4 mm, thick: 2.1 mm}\n"
LEFT = "[{at: 0 mm, wide: 4 mm, thick: 2.1 mm}, {at: 320 mm, wide: 2 mm, thick: 1.6 mm}]"
OTHER = "[{at: 0 mm, wide: 4 mm, thick: 2.0 mm}, {at: 320 mm, wide: 4 mm, thick: 2.0 mm}]"


def strip_pages(findings: BookFindings) -> list[Sheet]:
    """The strip's pages among the sheet's."""
    return [page for page in read_back(sheet_pdf(findings, "strip", "a4")) if "bow strip, full size" in page.text]


def test_the_ruler_runs_true_from_the_centre_mark_to_the_tip(worked: Callable[..., BookFindings]) -> None:
    """Ticks stand every 10.00 mm, and the numbers beneath them count from the centre mark to 320 mm."""
    (page,) = strip_pages(worked({"strip": BOW.format(right=LEFT)}, rods=RODS))
    ticks = sorted(
        (round(d.points[0][1], 1), d.points[0][0])
        for d in page.lines
        if len(d.points) == 2
        and d.points[0][0] == pytest.approx(d.points[1][0])
        and d.width == pytest.approx(0.15, abs=0.005)
        and d.length in (pytest.approx(3.0, abs=0.01), pytest.approx(1.8, abs=0.01))
    )
    rows = {y: [x for at, x in ticks if at == y] for y, _ in ticks}
    assert sum(len(xs) for xs in rows.values()) >= 33
    for xs in rows.values():
        assert [b - a for a, b in pairwise(xs)] == pytest.approx([10.0] * (len(xs) - 1), abs=0.05)
    for number in ("0", "50", "100", "150", "200", "250", "300"):
        assert any(word.text == number for word in page.words), number


def test_the_rod_is_drawn_as_wide_as_it_is(worked: Callable[..., BookFindings]) -> None:
    """4 mm at the centre mark, 2 mm at the tip, straight between the stations."""
    (page,) = strip_pages(worked({"strip": BOW.format(right=LEFT)}, rods=RODS))
    plans = [d for d in page.lines if len(d.points) > 30 and d.width == pytest.approx(0.2, abs=0.005)]
    first, last = min(plans, key=lambda d: d.points[0][1]), max(plans, key=lambda d: d.points[0][1])

    def wide_at(points: tuple[tuple[float, float], ...], x: float) -> float:
        ys = [y for px, y in points if abs(px - x) < 1e-6]
        return max(ys) - min(ys)

    assert wide_at(first.points, min(x for x, _ in first.points)) == pytest.approx(4.0, abs=0.02)
    assert wide_at(last.points, max(x for x, _ in last.points)) == pytest.approx(2.0, abs=0.02)


def test_stations_zones_and_marks_are_named(worked: Callable[..., BookFindings]) -> None:
    """The strip says what thickness belongs where, the three thirds, the maker's own zone, centre mark and tip."""
    (page,) = strip_pages(worked({"strip": BOW.format(right=LEFT)}, rods=RODS))
    for words in ("centre mark", "tip", "inner third", "middle third", "outer third", "100-180 mm", "either half"):
        assert words in page.text, words
    assert re.search(r"320 mm: 2 mm × 1\.6 mm", page.text)


def test_halves_that_differ_get_a_strip_each(worked: Callable[..., BookFindings]) -> None:
    """Left and right are drawn apart as soon as their stations are not the same."""
    text = "".join(page.text for page in strip_pages(worked({"strip": BOW.format(right=OTHER)}, rods=RODS)))
    assert "left half" in text
    assert "right half" in text
    assert "either half" not in text
