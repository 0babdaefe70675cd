"""The printed sheet, read back by a PDF library: paper, check bars, words, blanks."""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable

import pytest

from bowbook.findings.results import BookFindings
from bowbook.sheets.building_order import building_steps
from bowbook.sheets.pdf import write_pdf
from bowbook.sheets.sheet import sheet_pages, sheet_pdf, spec_view
from sheets.paper import Sheet, read_back, squeezed

Printed = Callable[[str, str], list[Sheet]]

PAPER_MM = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; ANSI/ASME Y14.1 size A, 8.5 × 11 in
MARGIN_MM = 9.5  # a printer's own margin is under 7 mm on the ones a home has: common practice, no source
EIGHTY = "A kite with a name of exactly eighty letters, which is as many as fit on a label"
STRANGE = {
    "arabic": "طائرة ورقية",
    "japanese": "凧のシギ",
    "hindi": "पतंग",
    "hebrew": "עפיפון",
    "thai": "ว่าว",
    "emoji": "Wind 🪁 bird",
    "dollars": "$x^2$ & <b>_Kite_</b> {1} \\alpha",
    "no font has it": "Kite \U0001e6c0\U0001e6c1",
}
_WHOLE = """---
name: {name}
made: 2026-05-03
sail: {{outline: [[0, 0], [300, 190], [0, 520]]}}
spine: {{length: 520}}
bow: {{length: 640, span: 600, crosses: 110}}
bench: [{{left: "214, 213, 215 g", right: "210, 211, 212 g"}}]
bridle: {{upper: 330, lower: 410, upper_at: 110, lower_at: 430}}
---
"""


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("key", ["longhand", "flyleaf", "suminagashi"])
def test_every_page_is_exactly_the_paper_asked_for(printed: Printed, key: str, paper: str) -> None:
    """A printer that finds another size scales the page, and the pattern with it."""
    for page in printed(key, paper):
        assert (page.width, page.height) == pytest.approx(PAPER_MM[paper], abs=0.01)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_both_check_bars_stand_on_every_page_at_their_true_length(printed: Printed, paper: str) -> None:
    """100 mm and 4 in (101.6 mm), to a twentieth of a millimetre."""
    for page in printed("longhand", paper):
        bars = [d.length for d in page.lines if len(d.points) == 2 and d.width == pytest.approx(0.25, abs=0.01)]
        across = sorted(b for b in bars if b > 99)
        assert across == pytest.approx([100.0, 101.6], abs=0.05)
        assert "100 mm" in page.text
        assert "4 in" in page.text


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_demo_kite_has_its_whole_spec_on_page_one(demo: BookFindings, paper: str) -> None:
    """Every title, figure, note and caution of the view stands on the first page, inside the margins and apart."""
    keys = list(demo.kites) if paper == "letter" else ["longhand", "palimpsest", "suminagashi"]
    for key in keys:  # Letter is the shorter paper; A4 is tried on the fullest kites
        (first,) = read_back(write_pdf(sheet_pages(demo, key, paper)[:1], key, None))
        view = spec_view(demo, key)
        said = first.said
        for section in view.sections:
            assert squeezed(section.title) in said
            for row in section.rows:
                assert squeezed(row.label) in said, (key, row.label)
                assert row.text is None or squeezed(row.text) in said, (key, row.text)
        for caution in view.cautions:
            assert squeezed(caution) in said
        _assert_inside(first)
        _assert_nothing_overlaps(first)


@pytest.mark.parametrize("key", ["longhand", "deckle", "suminagashi"])
def test_words_of_the_pattern_stay_inside_the_margins_and_apart(printed: Printed, key: str) -> None:
    """No label, mark number or header runs over another or off the page."""
    for page in printed(key, "letter"):
        _assert_inside(page)
        _assert_nothing_overlaps(page)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_name_of_eighty_letters_still_leaves_one_page_of_spec(
    worked: Callable[..., BookFindings], paper: str
) -> None:
    """The name is set smaller and on more lines; nothing is pushed off the page."""
    assert len(EIGHTY) == 80
    pages = read_back(sheet_pdf(worked({"long": _WHOLE.format(name=EIGHTY)}), "long", paper))
    assert squeezed(EIGHTY) in squeezed(pages[0].text)
    assert "Take care" in pages[0].text
    assert not any("Take care" in page.text for page in pages[1:])
    for page in pages:
        _assert_inside(page)
        _assert_nothing_overlaps(page)


@pytest.mark.parametrize("name", STRANGE.values(), ids=STRANGE.keys())
def test_a_name_in_any_script_prints_without_a_warning(worked: Callable[..., BookFindings], name: str) -> None:
    """Warnings are errors in these tests: a letter no font has is put into words or a box, never left to a warning."""
    first = read_back(sheet_pdf(worked({"strange": _WHOLE.format(name=f"'{name}'")}), "strange", "a4"), 1)[0]
    plain = re.sub(r"[^\x20-\x7e]", "", name)
    assert squeezed(plain) in squeezed(re.sub(r"[^\x20-\x7e]", "", first.text))
    _assert_inside(first)


def test_a_japanese_name_can_be_read_out_of_the_pdf(worked: Callable[..., BookFindings]) -> None:
    """Where a font for the script is installed, the letters themselves are in the file."""
    from bowbook.sheets.typesetting import printable

    if printable("凧") != "凧":
        pytest.skip("no font for Japanese with TrueType outlines is installed here")
    pages = read_back(sheet_pdf(worked({"tako": _WHOLE.format(name="凧のシギ")}), "tako", "a4"), 1)
    assert "凧のシギ" in squeezed(pages[0].text)


def test_letters_beyond_english_can_be_read_out_of_a_small_pdf(worked: Callable[..., BookFindings]) -> None:
    """Accented letters are real text too, regular and bold, and the fonts they bring leave a sheet under 60 kB."""
    name = "Żółć, Ærøskøbing, Œuf, µ-kite ½"
    pdf = sheet_pdf(worked({"wide": _WHOLE.format(name=f"'{name}'")}, book=f"maker: {name}\n"), "wide", "a4")
    first = read_back(pdf, 1)[0]
    assert squeezed(first.text).count(squeezed(name)) == 3  # as title, as maker, in the file to type back
    assert len(pdf) < 60_000


def test_the_same_findings_give_the_same_bytes(demo: BookFindings) -> None:
    """No date, no random name, no memory of what was printed before."""
    first = sheet_pdf(demo, "vellum", "a4")
    sheet_pdf(demo, "quarto", "letter")
    assert sheet_pdf(demo, "vellum", "a4") == first
    assert b"CreationDate" not in first


def test_what_is_not_known_is_left_as_a_labelled_blank(worked: Callable[..., BookFindings]) -> None:
    """A kite of which only the name is known prints one page with every label and a line to write on beside it."""
    findings = worked({"bare": "---\nname: Bare\n---\n"})
    (page,) = read_back(sheet_pdf(findings, "bare", "a4"))
    view = spec_view(findings, "bare")
    blanks = [row for section in view.sections for row in section.rows if row.text is None]
    assert {"Width", "Height", "Length", "Tip to tip, strung", "Each half", "Upper leg", "Tow point"} <= {
        row.label for row in blanks
    }
    rules = [d for d in page.lines if len(d.points) == 2 and d.width == pytest.approx(0.12, abs=0.005)]
    assert len(rules) == len(blanks)
    assert all(rule.length > 12 for rule in rules)
    assert "outline is not written down yet" in page.text
    _assert_inside(page)
    _assert_nothing_overlaps(page)


def test_only_a4_and_letter_are_known(demo: BookFindings) -> None:
    """Another paper is refused with a sentence, not printed on something else."""
    with pytest.raises(ValueError, match="a4 or letter"):
        sheet_pdf(demo, "vellum", "a5")


def test_the_books_own_paper_is_used_where_none_is_named(worked: Callable[..., BookFindings]) -> None:
    """book.yaml's `paper` decides."""
    findings = worked({"k": _WHOLE.format(name="K")}, book="paper: letter\n")
    page = read_back(sheet_pdf(findings, "k"), 1)[0]
    assert (page.width, page.height) == pytest.approx(PAPER_MM["letter"], abs=0.01)


def test_the_square_code_stands_only_where_the_address_is_known(worked: Callable[..., BookFindings]) -> None:
    """With an address the sheet carries the code and the address in words; without, neither."""
    findings = worked({"k": _WHOLE.format(name="K")}, book="address: https://example.org/kites/\n")
    page = read_back(sheet_pdf(findings, "k", "a4"), 1)[0]
    assert sum(d.filled for d in page.lines) > 50
    assert "https://example.org/kites/kites/k/index.html" in squeezed(page.text)
    assert (spec_view(findings, "k").qr_svg or "").startswith("<svg")


def _assert_inside(page: Sheet) -> None:
    for word in page.words:
        left, top, right, bottom = word.box()
        assert left > MARGIN_MM and top > MARGIN_MM, word  # noqa: PT018
        assert right < page.width - MARGIN_MM and bottom < page.height - MARGIN_MM + 0.5, word  # noqa: PT018
    for line in page.lines:
        for x, y in line.points:
            assert MARGIN_MM < x < page.width - MARGIN_MM, line
            assert MARGIN_MM < y < page.height - MARGIN_MM + 0.5, line


def _assert_nothing_overlaps(page: Sheet) -> None:
    boxes = [(word, word.box()) for word in page.words]
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        apart = a[2] <= b[0] + 0.01 or b[2] <= a[0] + 0.01 or a[3] <= b[1] + 0.01 or b[3] <= a[1] + 0.01
        assert apart, (one, other)


def test_the_fullest_kite_still_keeps_to_one_page(worked: Callable[..., BookFindings]) -> None:
    """Long names, twelve flyers, stations, an outline of sixty points: smaller type, and nothing overlaps."""
    arc = ", ".join(f"[{300 - abs(30 - n) * 10} mm, {n * 9} mm]" for n in range(61))
    stations = ", ".join(f"{{at: {n * 30} mm, wide: 4 mm, thick: {2.4 - n * 0.05:.2f} mm}}" for n in range(11))
    flights = "".join(f"  - {{flyer: Somebody called number {n}, best: {n + 3}-{n + 7} mph}}\n" for n in range(12))
    text = _WHOLE.format(name=EIGHTY).replace("---\n", "", 1).replace("[[0, 0], [300, 190], [0, 520]]", f"[{arc}]")
    text = text.replace(
        "crosses: 110", f"crosses: 110, rod: best, sections: {{left: [{stations}], right: [{stations}]}}"
    )
    text = text.replace("sail: {", "sail: {skin: finest, ").replace("spine: {", "spine: {rod: best, ")
    text = f"---\nsummary: {'A long summary of this kite. ' * 16}\nmass: 40 g\nflights:\n{flights}{text}"
    findings = worked(
        {"full": text},
        book=f"maker: {'A maker of many names ' * 8}\ndemonstration: {'All of this is invented. ' * 15}\n"
        "address: https://example.org/a/very/long/way/down/to/where/the/kites/of/this/maker/are/to/be/found/\n",
        rods=f"best: {{material: {'bamboo from an old pole ' * 3}, wide: 4 mm, thick: 2.4 mm, modulus: 20 GPa}}\n",
        skins=f"finest: {{material: {'washi beaten by hand in the snow ' * 3}, areal: 30 g/m2, thick: 80 um}}\n",
    )
    for paper in ("a4", "letter"):
        pages = read_back(sheet_pdf(findings, "full", paper))
        assert "Take care" in pages[0].text
        assert "to type back" in pages[1].text
        for page in pages:
            _assert_inside(page)
            _assert_nothing_overlaps(page)


_PRESSED = "bench: [{left: 204 g, right: 200 g}]\ncovered: {left: 216 g, right: 208 g}\n"


def test_the_reading_with_the_skin_on_is_the_mean_of_the_covered_halves(worked: Callable[..., BookFindings]) -> None:
    """(216 + 208) / 2 = 212 g, and half the tolerance of 3 % either way: 208.8 to 215.2; without one, no such line."""
    bare = "---\nname: K\nbow: {length: 640}\nbench: [{left: 204 g, right: 200 g}]\n"
    findings = worked({"k": bare + _PRESSED.splitlines()[1] + "\n---\n", "bare": bare + "---\n"})
    page = read_back(sheet_pdf(findings, "k", "a4"), 1)[0]
    assert re.search(r"With the skin on\s+212 g\s+between 209–215 g", page.text)
    assert "Once the skin is on, press both halves again, the same way." in page.text
    assert "skin on" not in read_back(sheet_pdf(findings, "bare", "a4"), 1)[0].text


def test_the_way_the_bow_bends_is_said_and_drawn(worked: Callable[..., BookFindings]) -> None:
    """It crosses the spine 110 mm below the nose, 80 mm higher than its tips at 190 mm; drawn, its arc is a curve."""
    findings = worked({"k": _WHOLE.format(name="K")})
    page = read_back(sheet_pdf(findings, "k", "a4"), 1)[0]
    assert squeezed("that crosses the spine 80 mm nearer the nose than the tips") in squeezed(page.text)
    arcs = [d for d in page.lines if len(d.points) > 20 and d.width == pytest.approx(0.5, abs=0.01)]
    ((left, *_, right),) = [arc.points for arc in arcs]
    highest = min(arcs[0].points, key=lambda p: p[1])
    assert left[1] == pytest.approx(right[1], abs=0.01)
    assert highest[0] == pytest.approx((left[0] + right[0]) / 2, abs=0.5)
    assert (left[1] - highest[1]) / (right[0] - left[0]) == pytest.approx(80 / 600, abs=0.005)


def test_a_bridle_that_is_not_written_is_said_to_be_so(worked: Callable[..., BookFindings]) -> None:
    """In plain words, beside the blanks; not where one leg is known."""
    findings = worked({"k": "---\nname: K\n---\n", "leg": "---\nname: Leg\nbridle: {upper: 330}\n---\n"})
    said = "The bridle of this kite is not written down."
    assert squeezed(said) in squeezed(read_back(sheet_pdf(findings, "k", "a4"), 1)[0].text)
    assert squeezed(said) not in squeezed(read_back(sheet_pdf(findings, "leg", "a4"), 1)[0].text)


@pytest.mark.parametrize(
    ("story", "steps"),
    [
        ("## Cut *the* skin\ntext\n### aside\n## Glue `it`\n", ["1. Cut the skin", "2. Glue it"]),
        ("One heading\n===\n\n1. Split\n2. Soak\n   - long\n3. Bend\n", ["1. Split", "2. Soak", "3. Bend"]),
        ("# Only one\ntext, in 1. no list", []),
        ("No structure at all.", []),
    ],
)
def test_the_order_of_building_is_the_storys(worked: Callable[..., BookFindings], story: str, steps: list[str]) -> None:
    """Its highest headings, or its first numbered list; nothing where the story is all of one piece."""
    findings = worked({"k": f"---\nname: K\n---\n{story}"})
    page = read_back(sheet_pdf(findings, "k", "a4"), 1)[0]
    found = [word.text for word in page.words if re.match(r"\d\. ", word.text)]
    assert found == steps
    assert ("order of the maker's story" in page.text) == bool(steps)


def test_a_book_in_inches_prints_what_a_ruler_shows(worked: Callable[..., BookFindings]) -> None:
    """640 mm is 25.197 in, nearest to 25 6/32, as 25 3/16; 12 in is 12 in."""
    text = "---\nname: K\nbow: {length: 640 mm, span: 12 in}\n---\n"
    page = read_back(sheet_pdf(worked({"k": text}, book="units: {length: in}\n"), "k", "a4"), 1)[0]
    assert "25.2 in (25 3/16)" in page.text
    assert re.search(r"12 in\b(?! \()", page.text)


def test_only_what_was_built_stands_in_the_order_of_building() -> None:
    """Headings without their days; what is told of days after the kite was made is no step of building it."""
    story = "## 2026-05-01 Split\n\nx\n\n## Bend\n\ny\n\n## 2026-05-03 Glue\n\nz\n\n## 2026-06-01 Flown\n\nw\n"
    assert building_steps(story, "2026-05-03") == ("1. Split", "2. Bend", "3. Glue")
    assert building_steps(story) == ("1. Split", "2. Bend", "3. Glue", "4. Flown")
