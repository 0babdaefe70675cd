"""The preview as its maker sees it: a page open in a browser, a file saved beside it."""

from __future__ import annotations

import re
import signal
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from browsing import Look
from playwright.sync_api import expect

from helpers import BOWBOOK
from sample_book import lively_book


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A small book."""
    return lively_book(tmp_path / "book")


@pytest.fixture
def address(book: Path) -> Iterator[str]:
    """Where its preview is."""
    with subprocess.Popen([*BOWBOOK, "preview"], cwd=book, stdout=-1, stderr=-1, text=True) as process:
        try:
            assert process.stdout is not None
            found = re.search(r"http://127\.0\.0\.1:[0-9]+/", process.stdout.readline())
            assert found
            yield found[0]
        finally:
            process.send_signal(signal.SIGTERM)
            process.communicate(timeout=60)


def test_a_saved_file_is_on_the_open_page_at_once_and_reloads_it_once(book: Path, address: str, look: Look) -> None:
    """The page shows what was saved without being touched, by a single reload; a problem lies over it, then goes."""
    seen = look(f"{address}kites/knot/index.html", service_workers="allow")
    page, loads = seen.page, list[object]()
    expect(page.locator("h1")).to_have_text("Knot")
    page.wait_for_timeout(500)  # until the page listens and the preview follows
    page.on("load", lambda one: loads.append(one))
    file = book / "content" / "kites" / "knot.md"
    text = file.read_text()
    file.write_text(text.replace("mass: 21 g", "mass: 34 g").replace("# Made", "# Made in one evening"))
    expect(page.get_by_role("heading", name="Made in one evening")).to_be_visible(timeout=20_000)
    page.wait_for_timeout(2_000)  # the whole site stands by now
    assert len(loads) == 1
    expect(page.get_by_role("main")).to_contain_text(re.compile(r"34\sg"))
    file.write_text(text.replace("mass: 21 g", "mass: heavy"))
    expect(page.get_by_role("alert")).to_contain_text("content/kites/knot.md:", timeout=20_000)
    file.write_text(text)
    expect(page.get_by_role("alert")).to_have_count(0, timeout=20_000)
    expect(page.get_by_role("heading", name="Made", exact=True)).to_be_visible()
    assert seen.console == []


def test_nine_tabs_load_and_all_of_them_follow(book: Path, address: str, look: Look) -> None:
    """A browser opens six connections to one address: no tab holds one, so that later tabs load, and all hear."""
    first = look(f"{address}kites/knot/index.html", service_workers="allow").page
    tabs = [first]
    for number in range(8):
        tab = first.context.new_page()
        tab.goto(address + ("kites/knot/index.html" if number % 2 else "index.html"), timeout=20_000)
        expect(tab.locator("h1")).to_be_visible()
        tabs.append(tab)
    first.wait_for_timeout(1_000)  # until every one has asked once
    file = book / "content" / "kites" / "knot.md"
    text = file.read_text()
    file.write_text(text.replace("mass: 21 g", "mass: heavy"))
    for tab in tabs:
        expect(tab.get_by_role("alert")).to_contain_text("content/kites/knot.md:", timeout=20_000)
    file.write_text(text.replace("# Made", "# Made in one evening"))
    for tab in tabs:
        expect(tab.get_by_role("alert")).to_have_count(0, timeout=20_000)
        if "knot" in tab.url:
            expect(tab.get_by_role("heading", name="Made in one evening")).to_be_visible(timeout=20_000)
