"""A folder to records: the whole format, half-filled files, places, what stays private."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import msgspec
import pytest

from bowbook.book.problems import Location, location_of
from bowbook.book.records import Band, Droop, Kite, Press, Sag, Section, Station, Units, Wind, Zone
from bowbook.format.kite_file import read_kite
from bowbook.format.read_book import read_book

GF = 0.00980665
MPH = 0.44704

WHOLE = """\
---
name: Turnstone
made: 2026-05-03
stage: flying                 # planned | building | flying | retired
summary: One line for lists.
sail:
  skin: washi-30
  outline:                    # right half, nose to tail
    - [0, 0]
    - [300 mm, 190 mm]
    - [0, 520 mm]
  colours: ["#2a4b8d", "#e8e2d0"]
mass: 21 g
spine: {rod: bamboo-spine, length: 520 mm, mass: 3 g}
bow:
  rod: carbon-1.5
  length: 640 mm
  span: 600 mm
  mass: 2.1 g
  crosses: 110 mm
  sections:
    left:  [{at: 0 mm, wide: 4 mm, thick: 2.1 mm}, {at: 320 mm, wide: 3 mm, thick: 1.6 mm}]
    right: [{at: 0, tube: [3, 2 mm]}, {at: 320 mm, tube: [2, 1 mm]}]
bench:
  - on: 2026-05-01
    left:  214, 213, 215 g
    right: 198, 199, 197 g
    whole: 52 g
    shave: {side: left, zone: middle third, strokes: 20, taken: 0.05 mm, note: fine paper}
    note: First round.
  - left: {sag: {load: 200 g, span: 400 mm, drop: "8.2, 8.4 mm"}}
    right: {droop: {load: 50 g, length: 300 mm, drop: 31 mm}}
    shave: {side: right, zone: 100-200 mm}
  - left: {press: [214, 213], length: 300 mm, hold: clamped, rise: 40 mm}
    right: {press: 2.1 N, hold: 0.7}
covered:
  left: 231, 230 g
  right: 229, 230 g
  on: 2026-05-02
bridle: {upper: 330 mm, lower: 410 mm, upper_at: 110 mm, lower_at: 430 mm}
flights:
  - on: 2026-05-10
    flyer: MK
    wind: 4-9 mph
    best: 5-7 mph
    height: 2 m
    control: 4
    speed: 3
    note: Turned tight, climbed slowly.
  - {flyer: AB, best: Bft 2}
photos:
  - {file: beach.jpg, alt: The kite on wet sand., caption: First evening}
after: {kite: Sanderling, maker: a friend, address: "https://example.org/sanderling/"}
---

The *story*.
"""


@pytest.fixture
def turnstone() -> Kite:
    """The kite whose file uses every key."""
    read = read_kite(WHOLE.encode(), "content/kites/turnstone.md")
    assert read.problems == ()
    assert read.kite is not None
    return read.kite


def test_every_key_of_the_format_reaches_its_record(turnstone: Kite) -> None:
    """Each value of a full file is in the record, in SI."""
    k = turnstone

    assert (k.key, k.name, k.made, k.stage) == ("turnstone", "Turnstone", "2026-05-03", "flying")
    assert k.sail.outline == ((0.0, 0.0), (0.3, 0.19), (0.0, 0.52))
    assert (k.sail.skin, k.sail.colours) == ("washi-30", ("#2a4b8d", "#e8e2d0"))
    assert (k.mass_kg, k.spine.rod, k.spine.length_m, k.spine.mass_kg) == (0.021, "bamboo-spine", 0.52, 0.003)
    assert (k.bow.length_m, k.bow.span_m, k.bow.mass_kg, k.bow.crosses_m) == (0.64, 0.6, pytest.approx(0.0021), 0.11)
    assert k.bow.left == (
        Station(0.0, Section("flat", pytest.approx(0.0021), wide_m=0.004)),
        Station(0.32, Section("flat", 0.0016, wide_m=0.003)),
    )
    tubes = ((0.0, 0.003, 0.002), (0.32, 0.002, 0.001))
    assert k.bow.right == tuple(Station(at, Section("tube", thick, inner_m=bore)) for at, thick, bore in tubes)
    assert (k.bridle.upper_m, k.bridle.lower_m, k.bridle.upper_at_m, k.bridle.lower_at_m) == (0.33, 0.41, 0.11, 0.43)
    assert k.origin is not None
    assert (k.origin.kite, k.origin.maker) == ("Sanderling", "a friend")
    assert (k.photos[0].file, k.photos[0].caption) == ("beach.jpg", "First evening")
    assert (k.story, k.story_line) == ("The *story*.", WHOLE.splitlines().index("The *story*.") + 1)


def test_every_way_to_measure_reaches_its_record(turnstone: Kite) -> None:
    """Press, sag and droop readings, their lengths, holds and rises, and what was shaved."""
    first, second, third = turnstone.bench

    assert first.left == Press(pytest.approx((214 * GF, 213 * GF, 215 * GF)))
    assert first.whole == Press(pytest.approx((52 * GF,)))
    assert first.shaves
    assert first.shaves[0].zone == Zone("middle third", 1 / 3, 2 / 3, "half")
    assert (first.shaves[0].side, first.shaves[0].strokes, first.shaves[0].taken_m) == ("left", 20, 5e-5)
    assert second.left == Sag(pytest.approx(200 * GF), 0.4, pytest.approx((0.0082, 0.0084)))
    assert second.right == Droop(pytest.approx(50 * GF), 0.3, (0.031,))
    assert second.shaves
    assert second.shaves[0].zone == Zone("100-200 mm", 0.1, 0.2, "m")
    assert third.left == Press(pytest.approx((214 * GF, 213 * GF)), 0.3, "clamped", 0.04)
    assert third.right == Press((2.1,), hold=0.7)
    assert turnstone.covered is not None
    assert turnstone.covered.left == Press(pytest.approx((231 * GF, 230 * GF)))


def test_flights_keep_what_kind_of_wind_they_name(turnstone: Kite) -> None:
    """A wind in mph is at the meter's height; one in Beaufort is a wind at 10 m (WMO-No. 8)."""
    first, second = turnstone.flights

    assert first.wind == Wind(pytest.approx(4 * MPH), pytest.approx(9 * MPH))
    assert first.best == Wind(pytest.approx(5 * MPH), pytest.approx(7 * MPH))
    assert (first.height_m, first.control, first.speed) == (2.0, 4, 3)
    assert second.best == Wind(1.6, 3.4, at_10m=True)


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("bow.span", "600 mm\n"),
        ("bench.0.left", "214, 213, 215 g\n"),
        ("bench.1.left.sag.drop", '"8.2, 8.4 mm"}'),
        ("bench.1.right.droop", "{load: 50 g"),
        ("flights.0.best", "5-7 mph\n"),
        ("flights.1", "{flyer: AB"),
        ("sail.outline.1", "[300 mm, 190 mm]"),
        ("bow.sections.right.1.tube", "[2, 1 mm]"),
        ("bow.nothing", "rod: carbon-1.5"),
    ],
)
def test_every_value_remembers_its_place(turnstone: Kite, path: str, text: str) -> None:
    """A finding can point at the line a value stands on; what is not there points at its nearest parent."""
    places = read_kite(WHOLE.encode(), turnstone.file).places
    place = location_of(path, places, turnstone.file)
    line = WHOLE.splitlines(keepends=True)[place.line - 1]

    assert place.file == "content/kites/turnstone.md"
    assert line[place.column - 1 :].startswith(text)


def test_what_is_nowhere_points_at_the_file(turnstone: Kite) -> None:
    """A path without any parent in the file gives the file's first line."""
    places = read_kite(WHOLE.encode(), turnstone.file).places

    assert location_of("nothing.at.all", places, turnstone.file) == Location("content/kites/turnstone.md", 1)


def test_a_kite_file_is_read_the_same_from_memory(turnstone: Kite) -> None:
    """Records survive being encoded and decoded whole, so that a cache can keep them."""
    again = msgspec.msgpack.decode(msgspec.msgpack.encode(turnstone), type=Kite)

    assert again == turnstone
    assert read_kite(WHOLE.replace("\n", "\r\n").encode("utf-8-sig"), "content/kites/turnstone.md").kite == turnstone


def test_a_kite_with_only_a_name_is_whole(put_kite: Callable[..., Path], book_root: Path) -> None:
    """Everything but the name may be missing."""
    put_kite("turnstone", "name: Turnstone\n")

    book = read_book(book_root)

    assert book.problems == ()
    assert book.kites["turnstone"].name == "Turnstone"


def test_a_key_without_a_value_is_as_if_absent(put_kite: Callable[..., Path], book_root: Path) -> None:
    """A skeleton still to be filled in has no problems, and says nothing."""
    front = (
        "name: Turnstone\nmade:\nstage: ~\nsail: {skin: , outline: []}\nmass: null\nspine: {}\nbow:\n  rod:\n"
        "  length:   # measure it\nbench:\n  - on:\n    left:\n    right:\n    shave: {}\n  -\ncovered:\nbridle:\n"
        "flights: []\nphotos:\nafter:\n"
    )
    put_kite("turnstone", front)

    book = read_book(book_root)

    assert book.problems == ()
    kite = book.kites["turnstone"]
    assert (kite.made, kite.stage, kite.mass_kg, kite.bow.length_m, kite.covered) == (None, None, None, None, None)
    assert [one.left for one in kite.bench] == [None, None]


@pytest.mark.parametrize("word", ["no", "on", "12:30", "2026", "2026-05-03", "0x1F", "1_000", "~x", "Null Arbor"])
def test_a_name_is_what_was_typed(word: str, put_kite: Callable[..., Path], book_root: Path) -> None:
    """YAML's readings of yes, no, times and dates do not touch a text."""
    put_kite("turnstone", f"name: {word}\nsummary: {word}\n")

    kite = read_book(book_root).kites["turnstone"]

    assert (kite.name, kite.summary) == (word, word)


def test_private_flights_are_nowhere_after_reading(put_kite: Callable[..., Path], book_root: Path) -> None:
    """Neither their record nor their places are left; the others keep places under their own numbers."""
    put_kite(
        "turnstone",
        "name: Turnstone\nflights:\n  - {flyer: secret, best: 5 mph, private: true}\n  - {flyer: MK, best: 6 mph}\n"
        "  - {flyer: secret, best: 7 mph, private: yes}\n  - {flyer: AB, best: 8 mph, private: no}\n",
    )

    book = read_book(book_root)
    kite, places = book.kites["turnstone"], book.places["turnstone"]

    assert [flight.flyer for flight in kite.flights] == ["MK", "AB"]
    assert places["flights.0.best"].line == 5
    assert places["flights.1.best"].line == 7
    assert not any(path.startswith(("flights.2", "flights.3")) for path in places)
    assert not any(place.line in (4, 6) for path, place in places.items() if path != "flights")
    assert b"secret" not in msgspec.msgpack.encode((kite, places))


def test_hidden_kites_are_nowhere_after_reading(put_kite: Callable[..., Path], book_root: Path) -> None:
    """A hidden kite is no part of the book, without a problem; naming it for comparison is one."""
    put_kite("turnstone", "name: Turnstone\nhidden: true\n")
    put_kite("sanderling", "name: Sanderling\nhidden: false\n")

    assert list(read_book(book_root).kites) == ["sanderling"]

    (book_root / "content" / "book.yaml").write_text("compare: [[turnstone, sanderling]]\n", encoding="utf-8")
    book = read_book(book_root)

    assert [problem.message for problem in book.problems] == ["the kite turnstone is hidden"]
    assert book.settings.compare == ()


def test_an_aliased_value_reads_like_one_written_out(put_kite: Callable[..., Path], book_root: Path) -> None:
    """Anchors, aliases and merged keys of YAML work; a merged key gives way to one that is there."""
    put_kite(
        "turnstone",
        "name: Turnstone\nbench:\n  - &first {left: 214 g, right: 198 g}\n  - *first\n  - {<<: *first, left: 205 g}\n",
    )

    kite = read_book(book_root).kites["turnstone"]

    assert kite.bench[0] == kite.bench[1]
    assert kite.bench[2].left == Press(pytest.approx((205 * GF,)))
    assert kite.bench[2].right == kite.bench[0].right


def test_stock_becomes_rods_and_skins(book_root: Path) -> None:
    """Every property of a rod and of a skin is in its record, in SI; an empty entry is a rod of its name."""
    stock = book_root / "content" / "stock"
    (stock / "rods.yaml").write_text(
        "a: {material: carbon, tube: [3 mm, 2 mm], modulus: 130 GPa, density: 1550 kg/m3, strain_limit: 1 %, note: x}\n"
        "b: {round: .06 in}\nc:\n",
        encoding="utf-8",
    )
    (stock / "skins.yaml").write_text(
        "w: {material: washi, areal: 30 g/m2, thick: 60 um, modulus: 2 GPa, bending_length: 38 mm, overhang: 76 mm,\n"
        '  colours: "#e8e2d0"}\n',
        encoding="utf-8",
    )

    book = read_book(book_root)

    assert book.problems == ()
    a = book.rods["a"]
    assert (a.section, a.modulus_Pa, a.density_kg_m3) == (Section("tube", 0.003, inner_m=0.002), 130e9, 1550.0)
    assert a.strain_limit == pytest.approx(0.01)
    assert book.rods["b"].section == Section("round", pytest.approx(0.001524))
    assert book.rods["c"].section is None
    w = book.skins["w"]
    assert (w.areal_kg_m2, w.thick_m, w.modulus_Pa, w.bending_length_m, w.overhang_m) == (0.03, 6e-5, 2e9, 0.038, 0.076)
    assert w.colours == ("#e8e2d0",)


def test_settings_are_read_in_the_book_s_own_units(book_root: Path) -> None:
    """`units` counts for the bare numbers of the whole book, wherever it stands in book.yaml."""
    (book_root / "content" / "book.yaml").write_text(
        "scale: 0.1\nruler: 0.02\ntitle: Mine\nheight: 6 ft\naltitude: 1000\ntolerance: 5\nseam: 0.5\n"
        "bands:\n  - {name: Evening air, wind: 2-5}\n  - {name: Sea breeze, wind: 5-11 kn}\n"
        "units: {length: in, force: oz, wind: kn, altitude: ft}\n",
        encoding="utf-8",
    )

    s = read_book(book_root).settings

    assert s.units == Units("in", "oz", "g", "kn", "ft")
    assert s.scale_N == pytest.approx(0.027801385095378125)
    assert (s.ruler_m, s.seam_m) == (pytest.approx(0.000508), pytest.approx(0.0127))
    assert (s.height_m, s.altitude_m, s.tolerance) == (pytest.approx(1.8288), pytest.approx(304.8), 0.05)
    assert [(b.key, b.name) for b in s.bands] == [("evening-air", "Evening air"), ("sea-breeze", "Sea breeze")]
    assert s.bands[1].high_m_s == pytest.approx(11 * 1852 / 3600)


@pytest.mark.parametrize(("written", "share"), [("3 %", 0.03), ("3", 0.03), ("0.03", 0.03), ("0.5", 0.005)])
def test_a_tolerance_is_per_cent_unless_it_is_small(written: str, share: float, book_root: Path) -> None:
    """3 and 3 % are three per cent; below 0.5 a bare number is the fraction itself."""
    (book_root / "content" / "book.yaml").write_text(f"tolerance: {written}\n", encoding="utf-8")

    assert read_book(book_root).settings.tolerance == pytest.approx(share)


def test_a_problemy_setting_keeps_its_default(book_root: Path) -> None:
    """One slip in book.yaml costs one problem, and the rest of it counts."""
    (book_root / "content" / "book.yaml").write_text("title: Mine\nscale: 1 mm\naccent: red\n", encoding="utf-8")

    book = read_book(book_root)

    assert [problem.location.line for problem in book.problems] == [2, 3]
    assert (book.settings.title, book.settings.scale_N, book.settings.accent) == ("Mine", GF, None)


def test_a_book_that_names_no_bands_has_beaufort_one_to_six(book_root: Path) -> None:
    """The WMO limits of Beaufort 1 to 6 (WMO-No. 8), under their English names."""
    bands = read_book(book_root).settings.bands

    assert bands[0] == Band("light-air", "light air", 0.3, 1.6)
    assert [band.high_m_s for band in bands] == [1.6, 3.4, 5.5, 8.0, 10.8, 13.9]


def test_an_empty_content_folder_is_an_empty_book(tmp_path: Path) -> None:
    """No file at all is a book without kites, and no problem."""
    (tmp_path / "content").mkdir()

    book = read_book(tmp_path)

    assert (book.kites, book.rods, book.pages, book.problems) == ({}, {}, {}, ())


def test_a_folder_without_content_is_told_how_to_begin(tmp_path: Path) -> None:
    """Somebody in the wrong folder is told so, once."""
    book = read_book(tmp_path)

    assert len(book.problems) == 1
    assert book.problems[0].location == Location("content")
    assert "bowbook begin" in book.problems[0].hint


def test_free_pages_have_a_title(book_root: Path) -> None:
    """A page's title is its front matter's, else its first heading, else its file's name."""
    pages = book_root / "content" / "pages"
    pages.mkdir()
    (pages / "a.md").write_text("---\ntitle: First\n---\n# Not this\ntext\n", encoding="utf-8")
    (pages / "b.md").write_text("text\n\n# Second\n", encoding="utf-8")
    (pages / "c.md").write_text("text\n", encoding="utf-8")

    book = read_book(book_root)

    assert [page.title for page in book.pages.values()] == ["First", "Second", "c"]
    assert (book.pages["a"].story, book.pages["a"].story_line) == ("# Not this\ntext", 4)


def test_a_problemy_kite_is_left_out_and_the_others_stay(put_kite: Callable[..., Path], book_root: Path) -> None:
    """One wrong file hides no other, and all problems come back in file order."""
    put_kite("sanderling", "name: Sanderling\n")
    put_kite("turnstone", "name: Turnstone\nmass: 21 mm\nstage: fly\n")
    put_kite("dunlin", "nome: Dunlin\n")

    book = read_book(book_root)

    assert list(book.kites) == ["sanderling"]
    assert [(f.location.file, f.location.line) for f in book.problems] == [
        ("content/kites/dunlin.md", 2),
        ("content/kites/dunlin.md", 2),
        ("content/kites/turnstone.md", 3),
        ("content/kites/turnstone.md", 4),
    ]


def test_a_rod_that_is_there_and_problemy_is_not_said_to_be_missing(
    put_kite: Callable[..., Path], book_root: Path
) -> None:
    """One problem in the stock is one problem, not one more for every kite built from it."""
    (book_root / "content" / "stock" / "rods.yaml").write_text("oak: 3 mm\n", encoding="utf-8")
    put_kite("turnstone", "name: Turnstone\nbow: {rod: oak}\n")

    assert [problem.location.file for problem in read_book(book_root).problems] == ["content/stock/rods.yaml"]
