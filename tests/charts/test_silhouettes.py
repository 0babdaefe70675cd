"""Silhouettes: a kite is recognised by its own outline, colours and bow."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace

from bowbook.book.records import Bow, Kite, Skin
from bowbook.book.sail import Sail
from bowbook.charts.favicon import favicon_svg
from bowbook.charts.silhouette import NEUTRAL, describe, shapes, silhouette
from bowbook.charts.style import default_style, stylesheet
from bowbook.findings.bench_results import Shape
from bowbook.findings.results import Findings
from charts import made

KITE = made.kite(0)
WASHI = Skin("washi", colours=("#345995", "#f2e9d8"))


def numbers(path: str) -> list[float]:
    return [float(n) for n in re.findall(r"-?[\d.]+", path)]


def test_halves_mirror_each_other_along_the_outline() -> None:
    """In mm, nose at the top, left negative."""
    shape = silhouette(KITE)
    assert 'd="M0 0L-300 189L0 519Z"' in shape.cloth
    assert 'd="M0 0L300 189L0 519Z"' in shape.cloth
    assert (shape.width, shape.height) == pytest.approx((600, 519))


def test_the_bow_runs_from_tip_to_tip_through_its_crossing() -> None:
    """Ends at the outline's widest points; passes the spine `crosses` below the nose."""
    bow = numbers(silhouette(KITE).bow)
    assert bow[:2] == [-300, 189]
    assert bow[-2:] == [300, 189]
    assert bow[6:8] == pytest.approx([0, 108])


def test_a_bow_that_leans_is_drawn_leaning() -> None:
    """The arc's slopes come from the solved curve: an uneven bow is not the mirror of itself, an even one is."""
    leaning = replace(KITE.shape, curve=made.curve(0.6, 0.09, 0.5))
    uneven = numbers(silhouette(replace(KITE, shape=leaning)).bow)
    even = numbers(silhouette(replace(KITE, shape=replace(KITE.shape, curve=KITE.shape.even_curve))).bow)
    assert even[3] == pytest.approx(even[-3], abs=0.11)
    assert abs(uneven[3] - uneven[-3]) > 1


def test_colours_are_the_sails_then_the_skins_then_neutral() -> None:
    """Anything that is not a colour is passed over, so that nothing foreign gets into a page."""
    bare = replace(KITE, kite=replace(KITE.kite, sail=replace(KITE.kite.sail, colours=())))
    odd = replace(KITE, kite=replace(KITE.kite, sail=replace(KITE.kite.sail, colours=('red"/><script>',))))
    assert silhouette(KITE, WASHI).colours == ("#b23a48", "#f1ead9")
    assert silhouette(bare, WASHI).colours == ("#345995", "#f2e9d8")
    assert silhouette(bare).colours == silhouette(odd).colours == NEUTRAL


def test_one_colour_serves_both_halves() -> None:
    """A sail of one colour names it once."""
    plain = Findings(Kite("k", "K", sail=Sail(outline=((0, 0), (0.2, 0.1), (0, 0.4)), colours=("#aa0000",))))
    assert silhouette(plain).colours == ("#aa0000", "#aa0000")


def test_without_an_outline_a_dashed_diamond_stands_in_and_says_so() -> None:
    """No sail is invented: it has no fill, and the words beside it say why."""
    kite, _ = made.bare()
    assert not silhouette(kite).known
    drawn = shapes(silhouette(kite))
    assert "k-unknown" in drawn
    assert "fill=" not in drawn
    assert "not written down" in describe(kite)


@pytest.mark.parametrize(
    "bow", [Bow(), Bow(length_m=0.6), Bow(crosses_m=0.3), Bow(span_m=0.5, length_m=0.5), Bow(crosses_m=0.0)]
)
@pytest.mark.parametrize("outline", [((0.0, 0.0), (0.2, 0.15), (0.0, 0.4)), ((0.05, 0.0), (0.2, 0.2), (0.1, 0.4))])
def test_half_known_kites_are_drawn_without_complaint(bow: Bow, outline: tuple[tuple[float, float], ...]) -> None:
    """Every kite has a silhouette; a bow of which nothing is known is left out."""
    kite = Findings(Kite("k", "K", sail=Sail(outline=outline), bow=bow), shape=Shape())
    assert (silhouette(kite).bow == "") == (bow == Bow())
    ElementTree.fromstring(f"<g>{shapes(silhouette(kite))}</g>")


def test_the_favicon_is_a_whole_file_in_the_accent() -> None:
    """Its own SVG document, no style in it."""
    drawn = favicon_svg("#00aa55")
    ElementTree.fromstring(drawn)
    assert "#00aa55" in drawn
    assert "style" not in drawn


@pytest.mark.parametrize("colour", ["#000000", "#14181c", "#1d3158", "#5f7d3b", "#c0392b", "#b9c4cc", "#ffffff"])
def test_spars_stand_out_from_any_cloth(colour: str) -> None:
    """At least 3 to 1 against the sail: WCAG 2.2, success criterion 1.4.11; luminance as its glossary defines it."""

    def luminance(hex_colour: str) -> float:
        linear = []
        for at in (1, 3, 5):
            c = int(hex_colour[at : at + 2], 16) / 255
            linear.append(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4)
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    kite = replace(KITE, kite=replace(KITE.kite, sail=replace(KITE.kite.sail, colours=(colour, colour), panels=None)))
    drawn = shapes(silhouette(kite))
    (spar,) = set(re.findall(r'class="(k-spar[^"]*)"', drawn))
    css = stylesheet(default_style())
    pen = re.search(rf"^\.{spar.replace(' ', '.')} {{ stroke: var\([^,]+, (#[0-9a-f]{{6}})\)", css, re.MULTILINE)
    assert pen is not None, spar
    lighter, darker = sorted((luminance(pen[1]), luminance(colour)), reverse=True)
    assert (lighter + 0.05) / (darker + 0.05) >= 3
