"""The data files say everything the findings know, in forms that others' programs read.

CSV is read back by the standard library (RFC 4180), JSON by its parser and by keys written out here, the feed and the
sitemap by an XML parser and the rules of RFC 4287 and the sitemaps.org protocol. Which cells a spreadsheet runs is
from OWASP, "CSV Injection".
"""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Mapping
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from msgspec.structs import replace

from bowbook.book.problems import Location, Problem
from bowbook.book.records import Band, Book, Flight, Kite, Settings, Wind
from bowbook.book.sail import Sail
from bowbook.findings.bench_results import BowFindings, Measured, Stiffness
from bowbook.findings.results import BookFindings, Findings
from bowbook.pages import data_files
from bowbook.pages.atom import SitemapPage, as_atom, as_sitemap, entries_of

ATOM = "{http://www.w3.org/2005/Atom}"

# The figures of one kite and of the book, as the description of the data promises them.
FIGURES = """
sail.area_m2 sail.width_m sail.height_m sail.mean_chord_m sail.loading_kg_m2
bow.left.EI_Nm2 bow.right.EI_Nm2 bow.whole.EI_Nm2 bow.hold_factor
bow.left.press_N bow.right.press_N bow.whole.press_N
balance.difference balance.bound balance.verdict balance.more_readings balance.settles_by_12 balance.rounds
shave.side shave.options
shape.thrust_N shape.rise_m shape.tip_slope_left_rad shape.tip_slope_right_rad shape.deepest_offset_m shape.strain
shape.strain_limit
skin.EI_Nm2 skin.share skin.how total.EI_Nm2
wind.flex_m_s wind.flex_how tips.stiffness_N_m wind.least_m_s wind.flown wind.predicted wind.bands wind.basis wanting
"""
UNCERTAIN = """
bow.left.EI_Nm2 bow.right.EI_Nm2 bow.whole.EI_Nm2 bow.left.press_N bow.right.press_N bow.whole.press_N
balance.difference skin.EI_Nm2 total.EI_Nm2 wind.flex_m_s
"""


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> BookFindings:
    """The demo book, worked out."""
    from bowbook.findings.compute import compute_findings
    from bowbook.format.read_book import read_book
    from helpers import copy_demo

    return compute_findings(read_book(copy_demo(tmp_path_factory.mktemp("feeds") / "book")))


def at(data: object, path: str) -> object:
    """What stands at a path of keys."""
    for key in path.split("."):
        assert isinstance(data, Mapping), path
        data = data[key]
    return data


def test_every_figure_is_under_its_key(demo: BookFindings) -> None:
    """Each promised key is there for every kite, in the same order; a measured figure has both its terms."""
    data = json.loads(data_files.json_text(data_files.as_json(demo)))
    assert data["format"] == 2
    assert set(data["kites"]) == set(demo.kites)
    orders = {json.dumps(list(kite)) for kite in data["kites"].values()}
    assert len(orders) == 1
    for kite in data["kites"].values():
        for path in FIGURES.split():
            at(kite, path)
        for path in UNCERTAIN.split():
            figure = at(kite, path)
            assert figure is None or list(figure)[:3] == ["value", "repeat", "u"]


def test_what_is_null_is_wanted(demo: BookFindings) -> None:
    """Where a figure cannot be computed there is a sentence saying what would give it."""
    data = data_files.as_json(demo)
    kites = data["kites"]
    assert isinstance(kites, dict)
    missing = [
        (key, path)
        for key, kite in kites.items()
        for path in ("total.EI_Nm2", "balance.difference", "wind.flex_m_s", "sail.area_m2", "shape.thrust_N")
        if at(kite, path) is None and path not in kite["wanting"]
    ]
    assert missing == []


def test_numbers_are_written_to_be_read_back_exactly(demo: BookFindings) -> None:
    """A number in the file is the number that was computed, to the last bit."""
    data = json.loads(data_files.json_text(data_files.as_json(demo)))
    for key, found in demo.kites.items():
        if found.total is not None:
            assert data["kites"][key]["total"]["EI_Nm2"]["value"] == found.total.value


def test_a_number_that_is_none_is_never_written() -> None:
    """NaN and infinity are no JSON (RFC 8259): what came out so is not known."""
    found = Findings(Kite("a", "A"), bow=BowFindings(left=Stiffness(Measured(math.nan, 1.0), Measured(1.0, math.inf))))
    text = data_files.json_text(data_files.as_json(BookFindings(Book(""), {"a": found})))
    left = json.loads(text, parse_constant=lambda name: pytest.fail(name))["kites"]["a"]["bow"]["left"]
    assert left == {"EI_Nm2": None, "press_N": {"value": 1.0, "repeat": None, "u": None}}


def test_flyers_bands_and_problems_are_there(demo: BookFindings) -> None:
    """The book's own figures stand beside the kites."""
    problem = Problem(Location("content/kites/a.md", 3, 4), "what", "instead")
    data = data_files.as_json(replace(demo, problems=(problem,)))
    flyers, bands = data["flyers"], data["bands"]
    assert isinstance(flyers, dict)
    assert isinstance(bands, list)
    for flyer in flyers.values():
        assert {"kites", "ratio_low", "ratio_high", "spread", "left_out_error"} <= set(flyer)
    assert [band["name"] for band in bands] == [band.name for band in demo.bands]
    assert data["faults"] == [
        {"file": "content/kites/a.md", "line": 3, "column": 4, "what": "what", "instead": "instead"}
    ]


def one(**fields: object) -> BookFindings:
    """A book of one kite."""
    kite = Kite("knot", **({"name": "Knot"} | fields))  # type: ignore[arg-type]
    return BookFindings(Book("", Settings(title="Book", maker="M")), {"knot": Findings(kite)})


def table(findings: BookFindings) -> str:
    """The flat table of a book."""
    return data_files.as_csv(data_files.kite_as_csv(found) for found in findings.kites.values())


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", " =1", "\n=1", "＝1", "-2+3|cmd"])
def test_a_cell_can_not_be_run(text: str) -> None:
    """What a spreadsheet would take for a formula is made text by an apostrophe before it."""
    rows = list(csv.DictReader(io.StringIO(table(one(name=text)), newline="")))
    assert rows[0]["name"].strip() == f"'{text.strip()}"


def test_a_negative_figure_stays_a_number() -> None:
    """Only text is guarded: a difference below zero is still a number in the table."""
    book = one(mass_kg=-0.5)
    (row,) = csv.DictReader(io.StringIO(table(book), newline=""))
    assert float(row["mass_kg"]) == -0.5


def test_the_table_has_one_row_a_kite_and_no_cell_too_many(demo: BookFindings) -> None:
    """Every kite has its row, every row as many cells as the head, and figures agree with the JSON."""
    rows = list(csv.reader(io.StringIO(table(demo), newline=""), strict=True))
    assert [row[0] for row in rows[1:]] == list(demo.kites)
    assert {len(row) for row in rows} == {len(rows[0])}
    column = rows[0].index("total_EI_Nm2")
    for row in rows[1:]:
        total = demo.kites[row[0]].total
        assert row[column] == ("" if total is None else repr(total.value))


def feed_of(findings: BookFindings) -> ET.Element:
    """The feed, parsed."""
    settings = findings.book.settings
    entries = (entries_of(found.kite, settings.units) for found in findings.kites.values())
    return ET.fromstring(as_atom(settings, entries))


def test_the_feed_has_what_rfc_4287_requires(demo: BookFindings) -> None:
    """One id, title and updated each (4.1.1, 4.1.2), an author, ids that differ, dates of RFC 3339, newest first."""
    feed = feed_of(demo)
    entries = feed.findall(f"{ATOM}entry")
    assert len(entries) == len(demo.kites) + sum(len(found.kite.flights) for found in demo.kites.values())
    for node in (feed, *entries):
        for name in ("id", "title", "updated"):
            assert len(node.findall(f"{ATOM}{name}")) == 1
            assert node.findtext(f"{ATOM}{name}")
        assert [link.get("rel") for link in node.findall(f"{ATOM}link")].count("alternate") == 1
    assert feed.findtext(f"{ATOM}author/{ATOM}name")
    ids = [entry.findtext(f"{ATOM}id") for entry in entries]
    assert len(set(ids)) == len(ids)
    dates = [str(entry.findtext(f"{ATOM}updated")) for entry in entries]
    assert dates == sorted(dates, reverse=True)
    assert feed.findtext(f"{ATOM}updated") == dates[0]


def test_a_date_comes_from_the_records_else_from_the_build_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    """The newest date of the records is the feed's; without one it is SOURCE_DATE_EPOCH; the clock is never asked."""
    assert feed_of(one(made="2026-05-03")).findtext(f"{ATOM}updated") == "2026-05-03T00:00:00Z"
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    assert feed_of(one()).findtext(f"{ATOM}updated") == "1970-01-01T00:00:00Z"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1764066600")
    assert feed_of(one()).findtext(f"{ATOM}updated") == "2025-11-25T10:30:00Z"


def test_a_flight_says_who_flew_in_what() -> None:
    """A flight's entry names the kite, the wind it was liked in and the flyer."""
    flight = Flight("2026-05-10", "MK", Wind(1.0, 4.0), Wind(2.2352, 3.1293))
    titles = [node.findtext(f"{ATOM}title") for node in feed_of(one(flights=(flight,))).iter(f"{ATOM}entry")]
    assert titles[0] == "Knot flown in 5–7 mph by MK"


def test_names_of_any_kind_leave_the_feed_well_formed() -> None:
    """Angle brackets, quotes and characters XML cannot hold do no harm."""
    feed = feed_of(one(name='<b>"&\x00\x0b\ud7ff', summary="]]><x"))
    entry = feed.find(f"{ATOM}entry")
    assert entry is not None
    assert entry.findtext(f"{ATOM}title") == '<b>"&\ud7ff'
    assert entry.findtext(f"{ATOM}summary") == "]]><x"


def test_the_sitemap_names_every_page_in_full() -> None:
    """Each page's full address, home as the folder itself, and none of no importance (sitemaps.org 0.9)."""
    pages = [SitemapPage("index.html", 1.0), SitemapPage("how.html", 0.5), SitemapPage("404.html", 0.0)]
    top = ET.fromstring(as_sitemap("https://kites.example/book", pages))
    space = "{http://www.sitemaps.org/schemas/sitemap/0.9}"
    assert top.tag == f"{space}urlset"
    assert [loc.text for loc in top.iter(f"{space}loc")] == [
        "https://kites.example/book/",
        "https://kites.example/book/how.html",
    ]


def test_hidden_things_have_no_key() -> None:
    """Story, photos and the place of a file on the maker's disk are no figures and are not among them."""
    found = Findings(Kite("a", "A", story="SECRET", file="SECRET", sail=Sail("washi")))
    text = data_files.json_text(
        data_files.as_json(BookFindings(Book("SECRET"), {"a": found}, bands=(Band("x", "x", 0.0, 1.0),)))
    )
    assert "SECRET" not in text


def test_the_same_book_gives_the_same_text(demo: BookFindings, tmp_path: Path) -> None:
    """Working a copy of the book out again gives the same JSON, byte for byte."""
    from bowbook.findings.compute import compute_findings
    from bowbook.format.read_book import read_book
    from helpers import copy_demo

    again = compute_findings(read_book(copy_demo(tmp_path / "another")))
    assert data_files.json_text(data_files.as_json(again)) == data_files.json_text(data_files.as_json(demo))
