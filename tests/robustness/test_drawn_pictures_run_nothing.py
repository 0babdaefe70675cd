"""A drawing (SVG) is a picture like a photo: shown where it is sound, and nothing in it runs, loads or tells."""

from __future__ import annotations

import re
import time
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hostile_drawings import ELEMENTS, FILES, HEAD, drawing
from playwright.sync_api import Browser

from bowbook.book.problems import Problem
from bowbook.build.publish import publish
from bowbook.format.drawing import MOST_BYTES
from bowbook.format.read_book import read_book
from bowbook.pages.links import link_problems
from helpers import chromium, served, small_book

PLAIN = '<path d="M150 0L300 190L150 500L0 190Z" fill="#204060"/>'
RUNS = re.compile(
    r"script|elsewhere|data:|foreign|<image|style|class|alert|import|\bon\w+=|animate|filter|SECRET", re.I
)
PLACES = ("photo", "story", "decoration")


def book_with(root: Path, drawings: dict[str, bytes], place: str) -> Path:
    """A book that shows these drawings, by their names, in this place: all in one kite, as decorations one a kite."""
    if place == "decoration":
        front = "sail: {{outline: [[0, 0], [300, 190], [0, 520]], decoration: {0}.svg}}\n"
        kites = {name: f"---\nname: Knot\n{front.format(name)}---\n" for name in drawings}
    else:
        listed = "".join(f"  - {{file: {name}.svg, alt: A crane}}\n" for name in drawings)
        shown = "".join(f"![A crane]({name}.svg)\n" for name in drawings)
        front, story = (f"photos:\n{listed}", "") if place == "photo" else ("", shown)
        kites = {"knot": f"---\nname: Knot\n{front}---\n{story}"}
    if not root.exists():
        small_book(root, kites)
    for key, text in kites.items():
        (root / "content/kites" / f"{key}.md").write_text(text, encoding="utf-8")
    for name, data in drawings.items():
        folder = root / "content/kites" / (name if place == "decoration" else "knot")
        folder.mkdir(exist_ok=True)
        (folder / f"{name}.svg").write_bytes(data)
    return root


def problems_of(root: Path) -> list[Problem]:
    """Everything that checking finds."""
    book = read_book(root)
    return [*book.problems, *link_problems(book)]


def sound_of(root: Path, drawings: dict[str, bytes], place: str) -> dict[str, bytes]:
    """The drawings that are not refused; each problem has something to do instead."""
    sound = dict(drawings)
    for problem in problems_of(book_with(root, drawings, place)):
        assert problem.hint.endswith(".")
        (name,) = re.findall(r"(h\d+)\.(?:svg|md)$", problem.location.file)  # the drawing's own file and line
        assert problem.location.line
        sound.pop(name, None)
    return sound


HOSTILE = {f"h{number}": drawing(elements) for number, elements in enumerate(ELEMENTS.values())}


@pytest.mark.parametrize("place", ["photo", "story"])
def test_a_drawing_is_published_and_shown_on_the_page(place: str, tmp_path: Path) -> None:
    """Its shapes stand in a file of the site that the page shows with its text, its width and its height."""
    sound = drawing('<title>x</title><circle r="9" fill="#abc"/>')
    root = book_with(tmp_path / "book", {"crane": sound}, place)
    assert publish(root).wrote
    page = (root / "output/kites/knot/index.html").read_text(encoding="utf-8")
    (shown,) = re.findall(r"<img [^>]*>", page)
    assert 'src="crane-drawn.svg" width="864" height="1440" alt="A crane"' in shown
    top = ElementTree.parse(root / "output/kites/knot/crane-drawn.svg").getroot()
    assert [(element.tag.rpartition("}")[2], element.get("fill")) for element in top] == [
        ("rect", "#fff"),  # what is clear becomes white, as in a photo
        ("path", "#204060"),
        ("circle", "#abc"),
    ]


@pytest.mark.parametrize("place", ["photo", "story"])
def test_hostile_pictures_are_refused_or_come_to_nothing(place: str, tmp_path: Path) -> None:
    """Each is refused with a sentence and a way out, or its shapes alone are published."""
    root = tmp_path / "book"
    sound = sound_of(root, HOSTILE, place)
    assert 10 < len(sound) < len(HOSTILE) - 20
    assert publish(book_with(root, sound, place)).wrote
    left = sorted((root / "output/kites/knot").glob("*-drawn.svg"))
    assert len(left) == len(sound)
    for path in left:
        text = path.read_text(encoding="utf-8")
        assert not RUNS.search(text), path
        assert PLAIN in text.replace(' id="a"', ""), path


def test_hostile_decorations_are_refused_or_come_to_nothing(tmp_path: Path) -> None:
    """The same drawings over a sail: what goes into a page's own markup are shapes and paints."""
    root = tmp_path / "book"
    sound = sound_of(root, HOSTILE, "decoration")
    assert 10 < len(sound) < len(HOSTILE) - 20
    for key, kite in read_book(root).kites.items():
        assert key in sound
        assert kite.sail.drawing is not None
        assert not RUNS.search(kite.sail.drawing.markup), key


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("case", FILES)
def test_what_swells_never_ends_or_is_no_drawing_is_refused(case: str, place: str, tmp_path: Path) -> None:
    """One problem, at the drawing's own line or at the line that names it, in no time."""
    root = book_with(tmp_path / "book", {"knot": FILES[case]}, place)
    began = time.process_time()
    (problem,) = problems_of(root)
    assert time.process_time() - began < 2
    assert problem.location.file.startswith("content/kites/knot")
    assert problem.hint.endswith(".")


def test_a_book_with_a_refused_drawing_is_not_published(tmp_path: Path) -> None:
    """The site that stands stays as it is."""
    root = book_with(tmp_path / "book", {"knot": FILES["bomb of entities"]}, "photo")
    assert not publish(root).wrote
    assert not (root / "output/index.html").exists()


@pytest.mark.parametrize("place", PLACES)
def test_fifty_megabytes_are_not_read(place: str, tmp_path: Path) -> None:
    """The file's size is looked at first, and the answer says how large a drawing may be."""
    root = book_with(tmp_path / "book", {"knot": b""}, place)
    with (root / "content/kites/knot/knot.svg").open("wb") as file:
        file.write(HEAD.encode())
        file.truncate(50_000_000)
    began = time.process_time()
    (problem,) = problems_of(root)
    assert time.process_time() - began < 1
    assert problem.message == f"the drawing is larger than {MOST_BYTES // 1000} kB"


@pytest.mark.browser
@pytest.mark.skipif(chromium() is None, reason="there is no Chromium here")
def test_a_browser_runs_none_of_it(browser: Browser, tmp_path: Path) -> None:
    """Chromium opens each picture, on its page and as a file by itself: no dialogue, nothing from elsewhere."""
    root = tmp_path / "book"
    assert publish(book_with(root, sound_of(root, HOSTILE, "photo"), "photo")).wrote
    found: list[str] = []
    with served(root / "output") as address:
        page = browser.new_page()
        page.on("dialog", lambda dialog: (found.append(dialog.message), dialog.dismiss()))
        page.on("request", lambda r: None if r.url.startswith((address, "data:")) else found.append(r.url))
        page.goto(f"{address}kites/knot/index.html")
        heights = page.locator("img").evaluate_all(
            "images => Promise.all(images.map(image => { image.loading = 'eager';"
            " return image.decode().then(() => image.naturalHeight) }))"
        )
        assert set(heights) == {1440}
        for picture in (root / "output/kites/knot").glob("*-drawn.svg"):
            page.goto(f"{address}kites/knot/{picture.name}")
        page.close()
    assert found == []
