"""What holds for every chart: it can be read without eyes, follows the page's colours, and is the same each time."""

from __future__ import annotations

import hashlib
import os
import re
import subprocess
import sys
from itertools import combinations
from xml.etree import ElementTree

import pytest
from msgspec.structs import replace
from PIL import ImageFont

from bowbook.book.records import Units
from bowbook.charts.artists import TextArtist, artists
from bowbook.charts.board import Board
from bowbook.charts.fonts import SANS, file_for
from bowbook.charts.sheet import Drawing, sheet_of
from bowbook.charts.style import FILE, default_style, read_style, stylesheet
from bowbook.charts.takeaway import png_file, svg_file, taken_home
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings
from charts import every_chart, made
from charts.looking import SVG, drawings, inline, marks, texts
from helpers import ROOT

BOOK = made.book(9)
CHARTS = every_chart.charts(BOOK)
each_chart = pytest.mark.parametrize("name", CHARTS)

IN_ANOTHER_PROCESS = """
from charts.test_every_chart import digest
print(digest())
"""


def digest() -> str:
    """A digest of every chart as pages have it and as it is taken home."""
    whole = hashlib.sha256()
    for name, chart in every_chart.charts(made.book(9)).items():
        assert chart, name
        whole.update(inline(chart).encode() + b"".join(files(chart)))
    return whole.hexdigest()


def files(chart: Drawing) -> list[bytes]:
    """Both files of a chart that is taken home."""
    look = default_style()
    return [make(taken_home(chart, "made", look), look) for make in (svg_file, png_file)]


def elsewhere() -> str:
    """The same digest from another process, in another place and tongue."""
    env = os.environ | {
        "PYTHONHASHSEED": "7",
        "TZ": "Pacific/Chatham",
        "LC_ALL": "tr_TR.UTF-8",
        "PYTHONPATH": os.pathsep.join([str(ROOT / "tests"), str(ROOT / "generator")]),
    }
    run = [sys.executable, "-c", IN_ANOTHER_PROCESS]
    return subprocess.run(run, env=env, capture_output=True, text=True, check=True).stdout.strip()


@each_chart
def test_a_chart_is_well_formed_and_stands_wide_and_narrow(name: str) -> None:
    """A drawing for screens and paper, one for a phone, and of the largest charts one for a whole screen."""
    found = {next(c for c in d.get("class", "").split() if c != "k"): d for d in drawings(CHARTS[name])}
    assert {"k-wide", "k-narrow"} <= set(found) <= {"k-broad", "k-wide", "k-narrow"}
    assert {d.tag for d in found.values()} == {f"{SVG}svg"}
    widths = {shape: float(d.get("viewBox", "").split()[2]) for shape, d in found.items()}
    assert widths["k-narrow"] <= 330 < widths["k-wide"] <= 600


@pytest.mark.parametrize("theme", ["notebook", "slate"])
def test_no_word_is_shown_smaller_than_10_and_a_half_px(theme: str) -> None:
    """The style sheet changes from one drawing to a narrower one before its smallest text falls below that.

    The narrowest drawing has 288 px to stand in, those of a phone 320 px wide with its margins.
    """
    style = read_style(ROOT / "themes" / theme / FILE)
    least = min(style.sizes["text"], style.sizes["small"])
    sheet = stylesheet(style)
    to_broad = float(re.search(r"min-width: ([\d.]+)px", sheet)[1])  # type: ignore[index]
    to_narrow = float(re.search(r"container \(max-width: ([\d.]+)px", sheet)[1])  # type: ignore[index]
    shown = {"broad": to_broad, "wide": to_narrow, "narrow": 288}
    for shape, room in shown.items():
        assert least * room / style.sizes[shape] >= 10.5, shape


@each_chart
def test_a_chart_can_be_heard(name: str) -> None:
    """WAI-ARIA 1.2 and SVG-AAM: a name from the title, a description with figures in it."""
    for drawing in drawings(CHARTS[name]):
        titles = {e.get("id"): e.text for e in drawing.iter() if e.get("id")}
        assert titles[drawing.get("aria-labelledby")]
        described = titles[drawing.get("aria-describedby")]
        assert described
        assert re.search(r"\d", described)


@each_chart
def test_links_are_never_inside_an_image(name: str) -> None:
    """What an image role contains is hidden from a screen reader, so a chart with links is a group."""
    for drawing in drawings(CHARTS[name]):
        linked = any(e.tag == f"{SVG}a" for e in drawing.iter())
        assert drawing.get("role") == ("group" if linked else "img")


@each_chart
def test_a_chart_has_no_colour_and_no_style_of_its_own(name: str) -> None:
    """Colours come by class from the page's own inks; a content security policy without inline style holds."""
    drawn = CHARTS[name]
    assert drawn
    chart = inline(drawn)
    assert "style" not in chart
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|fill=|stroke=", chart)
    assert "url(" not in chart


def test_ids_are_unique_when_all_charts_stand_on_one_page() -> None:
    """HTML: an id names one element of a page."""
    charts = [chart for chart in CHARTS.values() if chart]
    ids = re.findall(r' id="([^"]+)"', "".join(map(inline, charts)))
    assert len(ids) == len(set(ids)) == 2 * sum(len(chart.shapes) for chart in charts)


def test_every_class_used_has_its_rule() -> None:
    """A class without a rule would leave a black shape or none."""
    sheet = stylesheet(default_style())
    used = {c for chart in CHARTS.values() for drawing in drawings(chart) for m in marks(drawing) for c in m.classes}
    used |= {"kt-accent", "kt-ok", "kd-long", "k-unknown"}
    assert {c for c in used if not re.search(rf"\.{c}(?![\w-])", sheet)} == set()


MEASURED = ImageFont.truetype(file_for("x", SANS) or "", 48)  # wider than the faces that pages ask for first


def words_apart(chart: Drawing, shape: str) -> list[tuple[str, str]]:
    """The pairs of texts that stand on one another, from matplotlib's own artists, set in DejaVu Sans."""
    board, sheet = Board(), sheet_of(shape, default_style())
    artists().show(board.scene(sheet.width, chart.draw(board, sheet)))
    boxes = []
    for artist in artists().shown:
        if isinstance(artist, TextArtist):
            size = sheet.small if {"kt-tick", "kt-small"} & {*str(artist.get_gid()).split()} else sheet.text
            width = MEASURED.getlength(artist.get_text()) * size / 48
            x, y = artist.get_transform().transform(artist.get_unitless_position())
            left = x - {"left": 0.0, "center": width / 2, "right": width}[artist.get_horizontalalignment()]
            boxes.append((left, y, left + width, y + 0.7 * size, artist.get_text()))
    return [
        (a[4], b[4]) for a, b in combinations(boxes, 2) if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


def doubtful(book: BookFindings) -> BookFindings:
    """The same book with skins and flex winds that may as well be nothing: their 95 % reaches below 0."""
    kites = {
        key: replace(
            f,
            skin=replace(f.skin, EI_Nm2=f.skin.EI_Nm2 and Measured(f.skin.EI_Nm2.value, f.skin.EI_Nm2.value)),
            wind=replace(f.wind, flex_m_s=f.wind.flex_m_s and Measured(f.wind.flex_m_s.value, f.wind.flex_m_s.value)),
        )
        for key, f in book.kites.items()
    }
    return replace(book, kites=kites)


ODD = {
    "doubtful": doubtful(BOOK),
    "doubtful crowd": doubtful(made.book(200)),
    "made": BOOK,
    "one kite": made.book(1, unflown=0),
    "long names": made.book(9, naming="A very long name for a kite of many leaves, number {}"),
    "right to left": made.book(9, naming="عقاب الريح {}"),
    "forty rounds": made.book(3, rounds=40),
    "a crowd": made.book(400, unflown=0),
}


@pytest.mark.parametrize("odd", ODD)
def test_no_two_texts_stand_on_one_another(odd: str) -> None:
    """Neither names nor ticks nor notes, whatever a book holds, in a face as wide as a screen may have."""
    for name, chart in every_chart.charts(ODD[odd]).items():
        for shape in chart.shapes if chart else ():
            assert chart
            assert words_apart(chart, shape) == [], (name, shape)


def test_the_same_findings_give_the_same_bytes_in_any_process() -> None:
    """Hash seed, time zone and locale do not reach a chart; nor does what was drawn before it."""
    again = digest()
    assert digest() == again
    assert elsewhere() == again


def test_a_chart_remembers_nothing_of_the_one_before() -> None:
    """Artists are used again: what the last chart had more of must not be left behind."""
    first, *others = (chart for chart in CHARTS.values() if chart)
    alone = inline(first)
    for other in others:
        inline(other)
        files(other)
        assert inline(first) == alone


def test_pages_of_thousands_of_kites_stay_small() -> None:
    """What a screen cannot tell apart is drawn once: ten times the kites do not make ten times the chart."""
    book = made.book(10_000, unflown=0)
    whole = sum(len(inline(chart)) for chart in every_chart.charts(book).values() if chart)
    assert whole < 700_000


def test_a_kite_of_which_nothing_is_known_has_no_charts() -> None:
    """Nothing is drawn rather than something invented: the page says what is wanting."""
    kite, book = made.bare()
    assert set(every_chart.charts(book).values()) == {None}
    assert kite.kite.name == "Only a name"


def test_a_table_holds_the_figures_of_each_chart_with_their_units() -> None:
    """Every row is as long as its header; figures carry units; a kite's row knows its kite."""
    for name, table in every_chart.tabled(BOOK).items():
        assert table.rows, name
        assert {len(row.cells) for row in table.rows} == {len(table.header)}
        figures = [c for row in table.rows for c in row.cells if re.search(r"\d", c)]
        assert any(re.search(r"\d (g|mm|mph|N·m²|g/m²|%|cm²)", c) for c in figures), name
        assert all(row.kite is None or BOOK.kites[row.kite].kite.name == row.cells[0] for row in table.rows)


def test_the_axes_follow_the_makers_units() -> None:
    """A book in inches, ounces and metres a second has charts in them, with the other system on the far side."""
    book = made.book(9, units=Units("in", "oz", "oz", "m/s"))
    kite = book.kites["leaf-0"]
    charts = every_chart.charts(book)
    assert any("oz · bars" in t for t in texts(drawings(charts["bench leaf-0"])[0]))
    assert any(re.match(r"rise [0-9.]+ in\b", t) for t in texts(drawings(charts["bow leaf-0"])[0]))
    wide, narrow = drawings(charts["comfort leaf-0"])
    assert "mph" in texts(wide)
    assert "mph" not in texts(narrow)
    assert kite.wind.flown


def test_names_in_any_script_stay_as_they_are_written() -> None:
    """A name may hold markup's own signs, stand right to left, or be very long."""
    for name in (
        '<b>&"Quote"</b>',
        "عقاب الريح",
        "墨流し",
        "A very long name for a kite, which no label would ever hold",
    ):
        kite = made.kite(3, name=name, key="odd key")
        book = made.book(9)
        book = type(book)(book.book, {**book.kites, "odd key": kite}, book.flyers, coverage=2.1)
        for chart in every_chart.charts(book).values():
            for drawing in drawings(chart):
                assert drawing.get("direction") == "ltr"
        title = drawings(every_chart.charts(book)["bow odd key"])[0].find(f"{SVG}title")
        assert isinstance(title, ElementTree.Element)
        assert name in (title.text or "")
