"""Every link and fragment leads somewhere, the markup is valid, and the pages are light."""

from __future__ import annotations

import os
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from browsing import first_load
from nu import needs_java, nu_messages
from playwright.sync_api import Browser

VOID = {"http", "https", "mailto", "data"}


class Anchors(HTMLParser):
    """The ids of a page and every address it names."""

    def __init__(self) -> None:
        """Nothing found yet."""
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Notes one element's id and addresses."""
        for name, value in attrs:
            if name == "id" and value:
                self.ids.append(value)
            elif name in ("href", "src", "xlink:href", "data") and value is not None and tag != "meta":
                self.links.append(value)
            elif name in ("srcset", "imagesrcset") and value:
                self.links += [part.split()[0] for part in value.split(",")]


def anchors(site: Path) -> dict[Path, Anchors]:
    """The anchors of every page of a site."""
    found = {}
    for file in sorted(site.rglob("*.html")):
        found[file] = Anchors()
        found[file].feed(file.read_text(encoding="utf-8"))
    return found


def broken(site: Path, but: tuple[str, ...] = ()) -> list[str]:
    """Links that lead nowhere, name a folder, leave the site's folder or miss their fragment; `but`: not looked at."""
    pages = anchors(site)
    files = {p for p in site.rglob("*") if p.is_file()}
    wrong = []
    for file, found in pages.items():
        for link in found.links:
            parts = urlsplit(link)
            if parts.scheme in VOID or link in but:
                continue
            path = Path(os.path.normpath(file.parent / unquote(parts.path))) if parts.path else file
            if path not in files:
                wrong.append(f"{file.relative_to(site)}: {link} leads nowhere")
            elif parts.fragment and path.suffix == ".html":
                target = unquote(parts.fragment)
                if target not in pages[path].ids and "=" not in target:
                    wrong.append(f"{file.relative_to(site)}: {link} has no such place")
    return wrong


def test_a_broken_link_would_be_found(tmp_path: Path) -> None:
    """The checker sees a missing file, a folder and a missing fragment."""
    (tmp_path / "sub").mkdir()
    (tmp_path / "a.html").write_text("<a href=no.html>x</a><a href=sub/>x</a><a href=#there>x</a><a href=a.html>x</a>")
    assert len(broken(tmp_path)) == 3


def test_every_link_and_fragment_of_the_demo_resolves(demo: Path) -> None:
    """On the whole site of the demo book, none leads nowhere."""
    assert broken(demo) == []


def test_every_id_is_used_once_a_page(demo: Path) -> None:
    """Charts drawn into one page do not share their ids."""
    twice = {p.name: [i for i in set(a.ids) if a.ids.count(i) > 1] for p, a in anchors(demo).items()}
    assert {name: ids for name, ids in twice.items() if ids} == {}


def test_every_page_can_be_reached_from_home(demo: Path) -> None:
    """Following links from home comes to every page there is, but the one for lost visitors."""
    pages = anchors(demo)
    seen, todo = set(), [demo / "index.html"]
    while todo:
        page = todo.pop()
        if page in seen:
            continue
        seen.add(page)
        for link in pages[page].links:
            parts = urlsplit(link)
            path = Path(os.path.normpath(page.parent / unquote(parts.path))) if parts.path else page
            if parts.scheme not in VOID and path in pages:
                todo.append(path)
    assert {p.relative_to(demo).as_posix() for p in pages.keys() - seen} == {"404.html"}


@needs_java
def test_the_nu_checker_sees_a_mistake(tmp_path: Path) -> None:
    """A page with an unclosed element is reported, so that silence means something."""
    (tmp_path / "bad.html").write_text("<!doctype html><title>x</title><p><b>never closed")
    assert nu_messages(tmp_path)


@needs_java
def test_the_nu_checker_finds_nothing(demo: Path) -> None:
    """The Nu HTML checker (the W3C's) finds no error in any page; where it is a current one, no warning either."""
    assert nu_messages(demo) == []


@pytest.mark.parametrize(
    ("page", "limit"),
    [("index.html", 150_000), ("kites/longhand/index.html", 200_000)],
    ids=["home", "kite with photo"],
)
def test_a_phone_loads_little(page: str, limit: int, demo_url: str, browser: Browser) -> None:
    """Home weighs under 150 KB and a kite page with one photo under 200 KB, uncompressed, at first load."""
    assert 10_000 < first_load(browser, demo_url + page) < limit
