"""Lines at the edge of what may stand in a book: checking names them, or the whole book is published with them."""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable
from pathlib import Path
from urllib.parse import unquote

import pytest
from click.testing import Result

from bowbook.book.file_names import folded
from bowbook.build.publish import publish
from bowbook.format.read_book import read_book
from bowbook.pages.links import batch_address, link_problems
from bowbook.pages.take_home import ChartTaken
from helpers import bytes_under, small_book
from tools.drawn_photo import draw_photo

SAIL = "mass: 20 g\nsail: {outline: [[0, 0], [300, 190], [0, 520]]}\n"
BOW = "bow: {length: 640, span: 600}\nbench: [{left: 214, right: 210}]\n"
RODS = "r: {material: carbon, round: 1.5 mm}\n"


def sections(left: str, right: str = "[{at: 0, round: 2}]") -> str:
    """A bow with measured sections."""
    bow = f"bow: {{length: 640, span: 600, sections: {{left: {left}, right: {right}}}}}"
    return f"{bow}\nbench: [{{left: 214, right: 210}}]\n"


# What stands in the file (of the kite unless it begins with "book:"), and whether checking passes it.
LINES = {
    "book: bands: [{name: calm, wind: 0-2 mph}, {name: b, wind: 2-4}]": True,
    "book: bands: [{name: calm, wind: 0-0.001 mph}]": True,
    "book: bands: [{name: calm, wind: 0 mph}]": False,
    f"{SAIL}{BOW}flights: [{{flyer: A, best: 0 mph}}]": False,
    f"{SAIL}{BOW}flights: [{{flyer: A, best: to 0 mph}}]": False,
    f"{SAIL}{BOW}flights: [{{flyer: A, best: 0-1 mph, wind: 0 mph}}]": True,
    f"{SAIL}{BOW}flights: [{{flyer: A, best: 0.001 mph}}]": True,
    sections("[{at: 0, round: 2}, {at: 300, wide: 3, thick: 1.5}]"): False,
    sections("[{at: 0, tube: [3, 2]}, {at: 300, round: 2}]"): False,
    sections("[{at: 0, round: 2}]", "[{at: 0, wide: 3, thick: 1.5}]"): True,
    sections("[{at: 0, round: 2}]", "[]"): True,
    sections("[{at: 0, round: 2}, {at: 1e-9, round: 0.05}]"): True,
    "bow: {rod: r, length: 640, span: 639.9999999}\nbench: [{left: 214, right: 210}]": True,
    "bow: {rod: r, length: 640, span: 639.9999999999999}\nbench: [{left: 214, right: 210}]": True,
    "bow: {rod: r, length: 640, span: 639.9999999999}\nbench: [{left: 300, right: 210}]": True,
    "bow: {rod: r, length: 640, span: 639.99999999}\nbench: [{left: 214, right: 390}]": True,
    "bow: {rod: r, length: 640, span: 128}\nbench: [{left: 214, right: 210}]": True,
    "bow: {length: 640, span: 600}\nbench: [{left: {sag: {load: 200 g, span: 640, drop: 8}}}]": True,
    f"{sections('[{at: 0, round: 2}]')}covered: {{left: 0.11 g, right: 0.11 g}}": True,
    "bow: {length: 640, span: 600, mass: 900 g}\nbench: [{left: 1 g, right: 1 g, whole: 1 g}]": True,
    "bow: {length: 640, span: 600}\nbench: [{left: {droop: {load: 1000 N, length: 10, drop: 9.99}}}]": True,
    "made: 2019\nflights: [{on: 9999-12-31, best: 4-7 mph}]": False,
    "made: 0001-01-01\nflights: [{on: 2026, best: 4-7 mph}]": False,
    "made: 1800-01-01\nflights: [{on: 2026, best: 4-7 mph}]": True,
    "made: 2019\nflights: [{on: winter 2999, best: 4-7 mph}]": True,
    "made: spring 1800\nflights: [{on: 2999-12-31, best: 4-7 mph}]\nbench: [{on: 2999-12, left: 214 g}]": True,
    "made: 2999-12\nflights: [{on: 2999-12-30, best: 4-7 mph}, {on: 2999-12-31, best: 4-7 mph}]": True,
}


@pytest.mark.parametrize("line", LINES)
def test_a_line_is_named_or_published(line: str, tmp_path: Path) -> None:
    """One sound kite stands beside it: the site is there exactly where checking finds nothing."""
    settings, front = (line.removeprefix("book: ") + "\n", "") if line.startswith("book: ") else ("", line)
    kites = {"knot": f"---\nname: Knot\n{front}\n---\n", "tern": f"---\nname: Tern\n{SAIL}---\n"}
    root = small_book(tmp_path / "book", kites, book=settings, rods=RODS)
    book = read_book(root)
    passes = not (*book.problems, *link_problems(book))
    assert passes == LINES[line], book.problems
    assert publish(root).wrote == passes


@pytest.mark.parametrize(
    "keys",
    [
        ["a", "b-and-c", "a-and-b", "c"],
        ["é" * 99 + end for end in "abcd"],
        ["z" * 99 + end for end in "abcd"],
        [unicodedata.normalize("NFD", "é-kite"), "e-kite"],
        ["-and-and-".strip("-"), "and"],
    ],
    ids=["and", "long in bytes", "long", "decomposed", "only and"],
)
def test_any_names_can_be_set_side_by_side(keys: list[str], tmp_path: Path) -> None:
    """Every row of kites has a page of its own, whatever the kites are called and however long that is."""
    composed = [unicodedata.normalize("NFC", key) for key in keys]
    rows = [composed[:2], composed[2:] or composed[::-1], composed]
    root = small_book(tmp_path / "book", dict.fromkeys(keys, "---\nname: K\n---\n"), book=f"compare: {rows}\n")
    assert read_book(root).problems == ()
    report = publish(root)
    assert report.wrote, report.problems
    assert len(list((root / "output" / "compare").iterdir())) >= len({tuple(row) for row in rows})


@pytest.mark.parametrize(
    ("names", "pages"),
    [
        (("Plover", "plover", "PLOVER"), 1),
        (("Ω", "ω"), 1),
        (("Index", "index"), 1),
        (("Plover, light", "plover, LIGHT"), 1),
        (("Stra\u00dfe", "STRASSE"), 1),
        (("\u00e9", "e\u0301", "\u00c9"), 1),
        (("Plover, light", "plover-light", "Plover light"), 3),
        (("Plover, light", batch_address("Plover, light").removesuffix(".html").removeprefix("batches/")), 2),
        (("\U0001f600", batch_address("\U0001f600").removesuffix(".html").removeprefix("batches/")), 2),
        (("x" * 200, "x" * 199, "x" * 60), 3),
    ],
)
def test_any_names_of_batches_have_their_pages(names: tuple[str, ...], pages: int, tmp_path: Path) -> None:
    """Small and capital letters make no other batch, and no two batches want one page."""
    kites = {
        f"k{i}": f"---\nname: K{i}\nbatch: {json.dumps(name, ensure_ascii=False)}\n---\n"
        for i, name in enumerate(names)
    }
    root = small_book(tmp_path / "book", kites)
    assert read_book(root).problems == ()
    assert publish(root).wrote
    assert len(list((root / "output" / "batches").iterdir())) == pages
    for i, name in enumerate(names):
        assert batch_address(name) in unquote((root / f"output/kites/k{i}/index.html").read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "flyers",
    [
        ("A", "a", "MK", "Mk", "mK", "mk"),
        ("Ansa", "ANSA", "ansa", "aNSA"),
        ("x", "loading-x", "skin-x", "Loading-X", "X"),
        ("Jan Piet", "Jan piet", "jan Piet"),
        ("\u00e9", "e\u0301", "\u00c9", "E"),
        ("ansa", ChartTaken("flyer", ("ansa",), "zone").stem.removeprefix("charts/zone-")),
        ("a\u00e9" * 40, "A\u00e9" * 40, "A\u00e9" * 39),
    ],
)
def test_any_names_of_flyers_have_their_charts(flyers: tuple[str, ...], tmp_path: Path) -> None:
    """No two files of a site are one on a disk that takes small and capital letters for the same."""
    flights = "".join(f"  - {{on: 2024-05-0{i}, flyer: {json.dumps(flyer)}}}\n" for i, flyer in enumerate(flyers, 1))
    root = small_book(tmp_path / "book", {"knot": f"---\nname: Knot\nflights:\n{flights}---\n"})
    assert read_book(root).problems == ()
    assert publish(root).wrote
    files = bytes_under(root / "output")
    assert len({folded(file) for file in files}) == len(files)
    assert len(list((root / "output" / "charts").glob("zone-*.svg"))) == len(flyers)


def test_any_names_of_kites_and_photos_are_told_apart(tmp_path: Path) -> None:
    """Kites side by side whose names hold what joins them; photos whose names are alike."""
    keys = ("x", "y", "z", "x-AND-y")
    photos = ("\u00b2.jpg", "2.jpg", "\ufb01.jpg", "FI.jpg")
    listed = "photos: [" + ", ".join(f"{{file: {file}, alt: a kite}}" for file in photos) + "]\n"
    root = small_book(
        tmp_path / "book",
        {key: f"---\nname: K{key}\n{listed if key == 'x' else ''}---\n" for key in keys},
        "compare: [[x, y, z], [x-AND-y, z]]\n",
    )
    for file in photos:
        draw_photo(root / "content" / "kites" / "x" / file)
    assert read_book(root).problems == ()
    assert publish(root).wrote
    files = bytes_under(root / "output")
    assert len({folded(file) for file in files}) == len(files)


@pytest.mark.parametrize(
    "name",
    [
        *("Kite Ω", "Ωmega", "Кite", "Con", "nul.", "COM1", "ß", "SS", "ﬁn", "Straße", "İ", "凧", "千鳥 2", "a" * 200),
        *("é" * 200, "ﷺ" * 200, "🪁 kite", "K\u212b", "e\u0301", "--", "-x-", ".x", "a/b", "a: b", "no", "~", "'", '"'),
    ],
)
def test_what_is_added_passes(name: str, tmp_path: Path, run: Callable[..., Result]) -> None:
    """A kite of any name: it is added and checking passes it, or it is refused in words and nothing is there."""
    assert run(tmp_path, "begin", "kites").exit_code == 0
    book = tmp_path / "kites"
    before = sorted(book.rglob("*.md"))
    for given in (name, name.swapcase(), f"{name} "):
        result = run(book, "add", "--", given)
        assert result.exit_code in (0, 1, 2)
        assert "Traceback" not in result.output
    assert read_book(book).problems == ()
    assert len(sorted(book.rglob("*.md"))) >= len(before)
