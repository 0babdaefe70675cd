"""A chart as a file of its own: it says what it is and where it is from, and needs no page around it."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from xml.etree import ElementTree

import pytest
from PIL import Image

from bowbook.charts.sheet import Drawing, sheet_of
from bowbook.charts.style import default_style
from bowbook.charts.takeaway import EDGE, png_file, svg_file, taken_home
from bowbook.pages import take_home
from bowbook.pages.take_home import ChartTaken
from charts import every_chart, made
from charts.looking import SVG

BOOK = made.book(9)
CHARTS = {name: chart for name, chart in every_chart.charts(BOOK).items() if chart}
SOURCE = "Leaves of a made book · kites/leaf-0/index.html"


def of_the_book(flyers: Iterable[str]) -> list[ChartTaken]:
    """The charts that hold kites against each other: each flyer's, and those of the book."""
    own = [ChartTaken("flyer", (flyer,), name) for flyer in flyers for name in take_home.FLYER]
    return own + [ChartTaken("book", (), name) for name in take_home.BOOK]


@pytest.mark.parametrize("chart", CHARTS.values(), ids=CHARTS)
def test_an_svg_to_take_home_stands_by_itself(chart: Drawing) -> None:
    """Title, source and units are drawn in; colours are fixed; nothing leads to a page that is not there."""
    text = svg_file(taken_home(chart, SOURCE, default_style()), default_style()).decode()
    root = ElementTree.fromstring(text)
    said = " ".join(e.text or "" for e in root.iter(f"{SVG}text"))
    assert chart.title in said
    assert SOURCE in said
    assert re.search(r" (g|mph|mm|N·m²|%)( |$|,)", said)
    assert "var(" not in text
    assert not list(root.iter(f"{SVG}a"))
    used = {c for e in root.iter() if e.tag != f"{SVG}svg" for c in e.get("class", "").split()}
    assert {c for c in used if f".{c}" not in text} == set()


@pytest.mark.parametrize("chart", CHARTS.values(), ids=CHARTS)
def test_a_png_to_take_home_has_two_dots_for_each_px(chart: Drawing) -> None:
    """Sharp enough to print; paper at its edges, ink inside."""
    sheet = sheet_of(chart.shapes[0], default_style())
    picture = Image.open(io.BytesIO(png_file(taken_home(chart, SOURCE, default_style()), default_style()))).convert(
        "RGB"
    )
    assert picture.width == round(2 * (sheet.width + 2 * EDGE))
    paper = tuple(bytes.fromhex(default_style().card["paper"][1:]))
    for corner in ((x, y) for x in (0, picture.width - 1) for y in (0, picture.height - 1)):
        assert picture.getpixel(corner) == pytest.approx(paper, abs=3)  # the palette's nearest shade
    least, _ = picture.convert("L").getextrema()
    assert least < 80  # type: ignore[operator]


def test_every_chart_of_the_book_has_its_files_from_the_first_day() -> None:
    """Where there is nothing to draw yet, the file says so: its address is never a dead link."""
    kite, bare = made.bare()
    own = [ChartTaken("kite", (kite.kite.key,), name) for name in take_home.KITE]
    for chart in [*own, *of_the_book(bare.flyers)]:
        assert chart.draw(bare) is None
        taken = take_home.chart_taken(chart, bare, take_home.ChartSource("Leaves", None), default_style())
        assert b"Nothing to draw yet" in take_home.chart_file(".svg", default_style(), taken)
        assert take_home.chart_file(".png", default_style(), taken).startswith(b"\x89PNG")


def test_no_two_charts_lie_at_one_address() -> None:
    """Flyers' names may be long and in any script; file names stay short and apart."""
    names = ["Ansa", "ansa", "Ans a", "墨" * 60, "墨" * 61]
    stems = [chart.stem for chart in of_the_book(names)]
    assert len(set(stems)) == len(stems)
    assert max(map(len, stems)) < 150
