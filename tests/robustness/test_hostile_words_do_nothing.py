"""Whatever stands in a maker's file is shown as the words it is, in every place where it is shown."""

from __future__ import annotations

import csv
import io
import json
import re
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

import pytest
from nu import needs_java, nu_messages

sys.path.insert(0, str(Path(__file__).parent))

from corpus import CORPUS
from drawn_photo import draw_photo

from bowbook.build.publish import publish
from helpers import chromium, served, small_book
from sample_book import BOOK, RODS, SKINS

if TYPE_CHECKING:
    from playwright.sync_api import Browser

# Elements that pages of the site may hold a script or a handler in: none but its own files, by address.
RUNNING = ("script", "iframe", "object", "embed", "base", "form")


def quoted(text: str) -> str:
    """A text as YAML holds any text: JSON's way."""
    return json.dumps(text, ensure_ascii=False)


def hostile_kite(name: str, first: str, words: str) -> str:
    """A kite with the words in every field that takes free text."""
    w = quoted(words)
    return f"""---
name: {quoted(name)}
made: 2026-05-03
stage: flying
summary: {w}
sail: {{skin: washi-30, outline: [[0, 0], [300, 190], [0, 520]]}}
mass: 21 g
bow: {{rod: carbon-1.5, length: 640, span: 600, crosses: 110}}
bench:
  - left: 214, 213, 215 g
    right: 198, 199, 197 g
    note: {w}
    shave: {{side: left, zone: middle third, note: {w}}}
  - left: 205, 204, 206 g
    right: 198, 199, 197 g
flights:
  - {{on: 2026-05-10, flyer: {quoted(words[:40])}, wind: 4-9 mph, best: 5-7 mph, note: {w}}}
after: {{kite: {quoted(first)}, maker: {quoted(first)}}}
photos:
  - {{file: beach.jpg, alt: {w}, caption: {w}}}
---
# {words}

{words}

| {words.replace("|", " ")} |
|---|
| x |

```{words.replace("`", "")}
{words}
```
"""


@pytest.fixture(scope="module", params=["together", pytest.param("each alone", marks=pytest.mark.fuzz)])
def names(request: pytest.FixtureRequest) -> dict[str, list[str]]:
    """The strings of each kite, the first of which is its name: a dozen together, or, in the long run, one by one."""
    size = 10 if request.param == "together" else 1
    return {f"k{n}": list(CORPUS[n : n + size]) for n in range(0, len(CORPUS), size)}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory, names: dict[str, list[str]]) -> Path:
    """A published book where every text is hostile: every kite's, and the book's own."""
    own = quoted('</title><script>hit()</script>" onmouseover="hit()')
    book = BOOK.replace("title: Three kites", f"title: {own}").replace("maker: A. Maker", f"maker: {own}")
    book = book.replace("compare: [[knot, turnstone]]\n", "compare: [[k0, k10]]\n") + f"about: {own}\n"
    book += f"demonstration: {own}\naddress: https://kites.example/book\n"
    kites = {key: hostile_kite(f"{words[0]} {key}", words[0], " ".join(words)) for key, words in names.items()}
    root = small_book(tmp_path_factory.mktemp("hostile") / "book", kites, book, RODS, SKINS)
    for key in kites:
        draw_photo(root / "content" / "kites" / key / "beach.jpg")
    refused: set[str] = set()
    report = publish(root, workers=2)
    while report.problems:
        # A story that is refused (a link that leads nowhere, a picture that is not there) is taken out.
        found = {problem.location.file for problem in report.problems}
        assert not found & refused, [(str(problem.location), problem.message) for problem in report.problems][:5]
        refused |= found
        for file in found:
            head, _, _ = (root / file).read_text().partition("\n# ")
            (root / file).write_text(head + "\n")
        report = publish(root, workers=2)
    assert len(refused) <= 12, refused
    assert report.wrote, [(str(problem.location), problem.message) for problem in report.problems][:5]
    return root / "output"


class Elements(HTMLParser):
    """Every element with its attributes."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.data: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if self.found and self.found[-1][0] == "script":
            self.data.append(data)


def test_the_corpus_is_large_enough() -> None:
    """At least sixty different strings."""
    assert len(set(CORPUS)) >= 60


def test_pages_hold_no_element_of_theirs(site: Path, names: dict[str, list[str]]) -> None:
    """No page has a script but the site's own, a handler, an inline style, a frame, or a link that runs."""
    pages = sorted(site.rglob("*.html"))
    assert len(pages) > 2 * len(names)
    for path in pages:
        reader = Elements()
        reader.feed(path.read_text(encoding="utf-8"))
        for tag, attributes in reader.found:
            assert not [name for name in attributes if name.startswith("on") or name in ("style", "srcdoc")], path
            for name in ("href", "src", "action", "xlink:href"):
                target = "".join((attributes.get(name) or "").split()).lower()
                assert not target.startswith(("javascript:", "vbscript:")), path
            if tag == "script":
                own = (attributes.get("src") or "").rpartition("assets/")[0].strip("./") == ""
                assert own or attributes.get("type") in ("application/ld+json", "application/json"), path
            elif tag in RUNNING:
                assert tag == "form", path
        for block in reader.data:
            if block.strip().startswith(("{", "[")):
                json.loads(block)


def test_the_name_is_shown_as_it_is(site: Path, names: dict[str, list[str]]) -> None:
    """Each kite's page has its name as its text: nothing was dropped to make it harmless."""
    for key, (words, *_) in names.items():
        html = (site / "kites" / key / "index.html").read_text(encoding="utf-8")
        heading = re.search(r"<h1[^>]*>(.*?)</h1>", html, re.S)
        assert heading is not None
        reader = Elements()
        texts: list[str] = []
        reader.handle_data = texts.append  # type: ignore[method-assign]
        reader.feed(heading[1])
        reader.close()
        assert " ".join(words.split()) in " ".join("".join(texts).split()), words


def test_data_feed_and_sitemap_are_well_formed(site: Path, names: dict[str, list[str]]) -> None:
    """JSON, feed, sitemap and drawings are read by their parsers, and say the words back."""
    kites = json.loads((site / "data" / "kites.json").read_text())["kites"]
    said = {" ".join(words) for words in names.values()}
    assert {kite["summary"] for kite in kites.values()} == said
    feed = ET.parse(site / "feed.xml")
    summaries = {node.text for node in feed.iter("{http://www.w3.org/2005/Atom}summary")}
    assert said <= summaries
    ET.parse(site / "sitemap.xml")
    ET.parse(site / "favicon.svg")


def test_the_table_holds_no_formula(site: Path, names: dict[str, list[str]]) -> None:
    """No cell of the table starts as a formula does, but numbers."""
    rows = list(csv.reader(io.StringIO((site / "data" / "kites.csv").read_bytes().decode(), newline=""), strict=True))
    assert len(rows) == len(names) + 1
    for row in rows:
        for cell in row:
            if cell.startswith(("=", "+", "-", "@", "\t", "\r", "＝")):
                float(cell)


@needs_java
@pytest.mark.long
def test_the_nu_checker_finds_no_error(site: Path) -> None:
    """The Nu HTML checker (the W3C's) finds the pages as sound as those of any other book."""
    assert [message for message in nu_messages(site) if "Section lacks heading" not in message] == []


def test_sheets_hold_nothing_that_runs(site: Path, names: dict[str, list[str]]) -> None:
    """Each sheet is read by a strict parser, bears the name as its title, and has no action of any kind."""
    from pypdf import PdfReader

    for key, words in names.items():
        sheet = site / "kites" / key / "sheet.pdf"
        metadata = PdfReader(sheet, strict=True).metadata
        assert metadata is not None
        assert metadata.title == f"{words[0]} {key}"
        # The ways in which ISO 32000-1, 12.6, lets a document do something by itself.
        told = re.sub(rb"stream\r?\n.*?endstream", b"", sheet.read_bytes(), flags=re.S)
        assert re.findall(rb"/(?:JavaScript|JS|OpenAction|Launch|AA)\b", told) == []


def test_drawings_inside_pages_are_well_formed(site: Path) -> None:
    """Every drawing on a page is XML by itself: no name has broken out of its text."""
    seen = 0
    for path in sorted(site.glob("kites/*/index.html"))[:8]:
        for drawing in re.findall(r"<svg\b.*?</svg>", path.read_text(encoding="utf-8"), re.S):
            ET.fromstring(drawing.replace("&nbsp;", " "))
            seen += 1
    assert seen > 10


@pytest.mark.browser
@pytest.mark.skipif(chromium() is None, reason="there is no Chromium here")
def test_a_browser_runs_none_of_it(site: Path, browser: Browser) -> None:
    """Chromium opens every page: no string is run, no dialogue opens, and nothing is fetched from elsewhere."""
    hits: list[str] = []
    elsewhere: list[str] = []
    with served(site) as address:
        page = browser.new_page()
        page.expose_function("hit", lambda *_: hits.append(page.url))
        page.on("dialog", lambda dialog: (hits.append(page.url), dialog.dismiss()))
        # The page for a lost address can't know where it is asked for, and names its own files in full.
        own = (address, "data:", "https://kites.example/book/")
        page.on("request", lambda r: None if r.url.startswith(own) else elsewhere.append(r.url))
        for path in sorted(site.rglob("*.html")):
            if path.name != "sheet.html" or path.parent.name == "k0":
                page.goto(f"{address}{path.relative_to(site).as_posix()}", wait_until="load")
                page.mouse.move(200, 200)
        page.close()
    assert hits == []
    assert elsewhere == []
