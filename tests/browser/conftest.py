"""A headless Chromium for the tests that need eyes and hands, and the sites it looks at."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from browsing import Look, WatchedPage
from playwright.sync_api import Browser, BrowserContext

from helpers import chromium, copy_demo, served


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Marks every test of this folder as needing a browser; skips them, saying why, where there is none."""
    here = Path(__file__).parent
    mine = [item for item in items if item.path.is_relative_to(here)]
    for item in mine:
        item.add_marker(pytest.mark.browser)
        # Where everything must be tested, a missing browser is left to fail in the browser's fixture.
        if chromium() is None and os.environ.get("CI") != "true":
            item.add_marker(pytest.mark.skip(reason="no Chromium here: apt install chromium, or set BOWBOOK_CHROMIUM"))


@pytest.fixture
def look(browser: Browser) -> Iterator[Look]:
    """look(address, **context options): a fresh context with nothing remembered, at that address."""
    contexts: list[BrowserContext] = []

    def opened(address: str, **options: Any) -> WatchedPage:
        context = browser.new_context(
            **{"service_workers": "block", "viewport": {"width": 1280, "height": 800}, **options}
        )
        contexts.append(context)
        seen = WatchedPage(context.new_page())
        seen.page.goto(address)
        return seen

    yield opened
    for context in contexts:
        context.close()


@pytest.fixture(scope="session")
def demo(published_demo: Path) -> Path:
    """The folder of the demo book's site."""
    return published_demo / "output"


@pytest.fixture(scope="session")
def demo_url(demo: Path) -> Iterator[str]:
    """The demo book's site, served."""
    with served(demo) as address:
        yield address


@pytest.fixture(scope="session")
def one_named_kite(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The site of a copy of the demo book whose first kite has a name of 80 characters."""
    from bowbook.build.publish import publish

    root = copy_demo(tmp_path_factory.mktemp("long") / "book")
    for file in sorted((root / "content" / "kites").glob("*.md")):
        if file.stem != "longhand":
            file.unlink()
    (root / "content" / "pages" / "about.md").unlink()  # it links to other kites
    file = root / "content" / "kites" / "longhand.md"
    name = "The kite whose name went on for as long as the afternoon on which it was finished"[:80]
    file.write_text(file.read_text(encoding="utf-8").replace("name: Longhand", f"name: {name}"), encoding="utf-8")
    book = root / "content" / "book.yaml"
    kept = [
        line for line in book.read_text(encoding="utf-8").splitlines() if not line.startswith(("compare:", "  - ["))
    ]
    book.write_text("\n".join(kept), encoding="utf-8")
    story = file.read_text(encoding="utf-8").replace("[Watermark](watermark.md)", "Watermark")
    file.write_text(story, encoding="utf-8")
    assert publish(root).wrote
    return root / "output"
