"""The pages of a book of a thousand kites: fit for everyone, valid, light and quick."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from browsing import FLAGS, INKS, Look, first_load, partly_published, violations
from large_book import write_book
from nu import needs_java, nu_messages
from playwright.sync_api import Browser

from helpers import chromium, served


@pytest.fixture(scope="module")
def thousand(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a book of 1,000 kites: its index pages and every hundredth kite, put together without the rest.

    Making a thousand kites' charts and sheets would take most of the test run and show nothing new here.
    """
    book = write_book(tmp_path_factory.mktemp("thousand") / "book", 1000, seed=3)
    return partly_published(book, every=100)


@pytest.fixture(scope="module")
def thousand_url(thousand: Path) -> Iterator[str]:
    """The site of the large book, served."""
    with served(thousand) as address:
        yield address


def test_axe_finds_nothing(thousand_url: str, look: Look) -> None:
    """No violation of WCAG 2.2 AA on a phone or a desk, nothing wider than the screen; inks hold in the dark too."""
    page = look(thousand_url + "index.html", reduced_motion="reduce").page
    for width in (360, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        assert violations(page) == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.emulate_media(color_scheme="dark")
    assert violations(page, INKS) == []


@needs_java
def test_the_nu_checker_finds_nothing(thousand: Path) -> None:
    """The Nu HTML checker (the W3C's) finds no error in any page; where it is a current one, no warning either."""
    assert nu_messages(thousand) == []


def test_home_weighs_little(thousand_url: str, browser: Browser) -> None:
    """Home of a thousand kites weighs under 600 KB, uncompressed, at first load."""
    assert 10_000 < first_load(browser, thousand_url + "index.html") < 600_000


def test_a_thousand_kites_answer_at_once(thousand_url: str, look: Look) -> None:
    """On a shelf of a thousand, a new wind is drawn within a tenth of a second of script.

    The best of five tries counts: what else the machine does at the time is not the page's.
    """
    page = look(thousand_url + "index.html", reduced_motion="reduce").page
    took = page.evaluate(
        """() => Math.min(...['7', '9', '4', '12', '6'].map((wind) => {
          const field = document.querySelector('#wind-number'), start = performance.now();
          field.value = wind; field.dispatchEvent(new Event('input', {bubbles: true}));
          document.body.offsetHeight; return performance.now() - start }))"""
    )
    assert took < 100
    assert page.locator(".answer output").inner_text()


def test_the_days_of_one_kite_are_opened(thousand_url: str, look: Look) -> None:
    """The months of a year with hundreds of flights are folded; those of a chosen kite open, and show it alone."""
    page = look(thousand_url + "days.html").page
    months = page.locator("details.month")
    assert months.count() > 8
    assert page.locator("details.month[open]").count() == 0
    key = page.locator("details.month li").first.get_attribute("data-k") or ""
    page.locator("#kite-days").select_option(key)
    shown = page.locator("details.month li:visible")
    assert {line.get_attribute("data-k") for line in shown.all()} == {key}


LIGHTHOUSE = os.environ.get("BOWBOOK_LIGHTHOUSE")


@pytest.mark.skipif(not LIGHTHOUSE, reason="BOWBOOK_LIGHTHOUSE names no Lighthouse executable")
@pytest.mark.parametrize("screen", ["phone", "desktop"])
@pytest.mark.parametrize(
    ("which", "page"),
    [
        ("demo", "index.html"),
        ("demo", "kites/longhand/index.html"),
        ("demo", "compare.html"),
        ("demo", "field.html"),
        ("thousand", "index.html"),
        ("thousand", "kites/*/index.html"),
        ("thousand", "compare.html"),
        ("thousand", "field.html"),
    ],
    ids=[
        *("home", "kite", "compare", "field"),
        *(f"{page} of a thousand" for page in ("home", "kite", "compare", "field")),
    ],
)
def test_lighthouse_gives_full_marks(
    which: str, page: str, screen: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    """Performance, accessibility, best practices and search: 100 each, from a host that packs texts, as hosts do.

    The best of up to five runs counts: a busy machine takes marks off performance that are not the page's.
    """
    site, report = request.getfixturevalue(which), tmp_path / "report.json"
    address = min(site.glob(page)).relative_to(site).as_posix()
    flags = f"--chrome-flags=--headless=new {' '.join(FLAGS)}"
    full = {"performance": 100, "accessibility": 100, "best-practices": 100, "seo": 100}
    best = dict.fromkeys(full, 0)
    with served(site, packed=True) as host:
        words = [str(LIGHTHOUSE), host + address, "--quiet", "--output=json", f"--output-path={report}", flags]
        words += ["--preset=desktop"] if screen == "desktop" else []
        for _ in range(5):
            subprocess.run(words, check=True, env={**os.environ, "CHROME_PATH": chromium() or ""}, capture_output=True)
            scores = {k: round(v["score"] * 100) for k, v in json.loads(report.read_text())["categories"].items()}
            best = {k: max(best[k], scores.get(k, 0)) for k in full}
            if best == full:
                break
    assert best == full
