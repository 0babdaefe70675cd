"""What holds for every chart: it can be read without eyes, follows the page's colours, and is the same each time."""

from __future__ import annotations

import hashlib
import json
import os
import re
import subprocess
import sys
from xml.etree import ElementTree

import pytest

from bowbook.book.records import Units
from bowbook.charts import axes
from bowbook.charts.style import default_style, stylesheet
from charts import every_chart, made
from charts.looking import SVG, drawings, marks, texts
from helpers import ROOT

BOOK = made.book(9)
CHARTS = every_chart.drawn(BOOK)
each_chart = pytest.mark.parametrize("name", CHARTS)

IN_ANOTHER_PROCESS = """
import hashlib, json, sys
from charts import every_chart, made
from bowbook.charts import axes
axes.keep(json.load(sys.stdin))
charts = every_chart.drawn(made.book(9))
print(hashlib.sha256(repr(charts).encode()).hexdigest(), "matplotlib" in sys.modules)
"""


def elsewhere(kept: dict[str, str]) -> list[str]:
    """What another process draws, in another place and tongue: the digest of all charts; if matplotlib was used."""
    env = os.environ | {
        "PYTHONHASHSEED": "7",
        "TZ": "Pacific/Chatham",
        "LC_ALL": "tr_TR.UTF-8",
        "PYTHONPATH": os.pathsep.join([str(ROOT / "tests"), str(ROOT / "generator")]),
    }
    done = subprocess.run(
        [sys.executable, "-c", IN_ANOTHER_PROCESS],
        env=env,
        input=json.dumps(kept),
        capture_output=True,
        text=True,
        check=True,
    )
    return done.stdout.split()


@each_chart
def test_a_chart_is_well_formed_and_stands_wide_and_narrow(name: str) -> None:
    """Two drawings: one for screens and paper, one for a phone, where text of 11 px stays 11 px."""
    wide, narrow = drawings(CHARTS[name])
    assert [d.tag for d in (wide, narrow)] == [f"{SVG}svg"] * 2
    assert "k-wide" in wide.get("class", "")
    assert "k-narrow" in narrow.get("class", "")
    assert float(narrow.get("viewBox", "").split()[2]) <= 360
    assert min(default_style().sizes["text"], default_style().sizes["small"]) * 328 / 344 > 10.9


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
    chart = CHARTS[name] or ""
    assert "style" not in chart
    assert not re.search(r"#[0-9a-fA-F]{3,8}\b|rgb|fill=|stroke=", chart)
    assert "url(" not in chart


def test_ids_are_unique_when_all_charts_stand_on_one_page() -> None:
    """HTML: an id names one element of a page."""
    ids = re.findall(r' id="([^"]+)"', "".join(c or "" for c in CHARTS.values()))
    assert len(ids) == len(set(ids)) == 4 * len(CHARTS)


def test_every_class_used_has_its_rule() -> None:
    """A class without a rule would leave a black shape or none."""
    sheet = stylesheet(default_style())
    used = {c for chart in CHARTS.values() for drawing in drawings(chart) for m in marks(drawing) for c in m.classes}
    used |= {"kt-accent", "kt-ok", "kd-long", "k-unknown"}
    assert {c for c in used if not re.search(rf"\.{c}(?![\w-])", sheet)} == set()


@each_chart
def test_no_word_stands_on_another(name: str) -> None:
    """Labels keep clear of each other, each taken a little narrower than a common sans-serif sets it."""
    for drawing in drawings(CHARTS[name]):
        boxes = []
        for m in marks(drawing):
            if m.element.tag == f"{SVG}text" and "kt-tick" not in m.classes:
                x, y = m.at
                width = 0.46 * 11.5 * len(m.text)
                left = x - {"start": 0, "middle": width / 2, "end": width}[m.element.get("text-anchor", "start")]
                boxes.append((left, y - 8, left + width, y, m.text))
        clashes = [
            (a[4], b[4])
            for i, a in enumerate(boxes)
            for b in boxes[i + 1 :]
            if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
        ]
        assert clashes == []


def test_the_same_findings_give_the_same_bytes_in_any_process() -> None:
    """Hash seed, time zone and locale do not reach a chart; nor does what was drawn before."""
    again = hashlib.sha256(repr(every_chart.drawn(made.book(9))).encode()).hexdigest()
    assert hashlib.sha256(repr(CHARTS).encode()).hexdigest() == again
    assert elsewhere({}) == [again, "True"]


def test_charts_whose_frames_are_kept_never_import_matplotlib() -> None:
    """A publisher that carries the frames over pays for matplotlib only when a frame is new."""
    same = hashlib.sha256(repr(CHARTS).encode()).hexdigest()
    assert elsewhere(dict(axes.kept())) == [same, "False"]


def test_a_kite_of_which_nothing_is_known_has_no_charts() -> None:
    """Nothing is drawn rather than something invented: the page says what is wanting."""
    kite, book = made.bare()
    assert set(every_chart.drawn(book).values()) == {None}
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
    charts = every_chart.drawn(book)
    assert any("oz · bars" in t for t in texts(drawings(charts["bench leaf-0"])[0]))
    assert any(t.startswith("rise ") and t.endswith(" in") for t in texts(drawings(charts["bow leaf-0"])[0]))
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
        for chart in every_chart.drawn(book).values():
            for drawing in drawings(chart):
                assert drawing.get("direction") == "ltr"
        title = drawings(every_chart.drawn(book)["bow odd key"])[0].find(f"{SVG}title")
        assert isinstance(title, ElementTree.Element)
        assert name in (title.text or "")
