"""From a folder, from a sub-path, without JavaScript, by keyboard, offline: nothing asked of anyone else."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from browsing import KINDS, Look
from playwright.sync_api import Browser

from helpers import served


@pytest.mark.parametrize("kind", KINDS)
def test_from_a_folder_without_a_word_on_the_console(kind: str, demo: Path, look: Look) -> None:
    """Opened as a file, every kind of page asks only for files of that folder and complains of nothing."""
    seen = look((demo / KINDS[kind]).as_uri())
    seen.page.wait_for_load_state("networkidle")
    assert seen.console == []
    assert [url for url in seen.requests if not url.startswith((demo.as_uri(), "data:"))] == []


@pytest.mark.parametrize("kind", KINDS)
def test_from_any_sub_path_of_any_host(kind: str, demo: Path, tmp_path: Path, look: Look) -> None:
    """Served from deep inside a host, every request stays under the site's own path and every answer is good."""
    deep = tmp_path / "pages" / "of" / "ansa"
    deep.parent.mkdir(parents=True)
    deep.symlink_to(demo, target_is_directory=True)
    with served(tmp_path) as host:
        base = f"{host}pages/of/ansa/"
        seen = look("about:blank")
        bad: list[str] = []
        seen.page.on("response", lambda r: bad.append(r.url) if r.status >= 400 else None)
        seen.page.goto(base + KINDS[kind])
        seen.page.wait_for_load_state("networkidle")
    assert seen.console == []
    assert bad == []
    asked = [url for url in seen.requests if not url.startswith(("data:", "about:"))]
    assert [url for url in asked if not url.startswith(base)] == []


def test_home_to_kite_to_sheet_by_clicking(demo: Path, look: Look) -> None:
    """From the folder, a visitor gets from the shelf to a kite's sheet by links alone."""
    seen = look((demo / "index.html").as_uri())
    seen.page.locator("table.kites").get_by_role("link", name="Longhand").click()
    assert seen.page.locator("h1").inner_text() == "Longhand"
    seen.page.locator("a[href$='sheet.html']").first.click()
    assert seen.page.url.endswith("kites/longhand/sheet.html")
    assert seen.console == []


@pytest.mark.parametrize("kind", KINDS)
def test_without_javascript_everything_is_there(kind: str, demo_url: str, look: Look) -> None:
    """With JavaScript off a page shows all the text that it shows with it, but for controls that could not work."""
    words = "main => main.innerText.replace(/\\s+/g, ' ')"
    off = look(demo_url + KINDS[kind], java_script_enabled=False).page
    shown = off.locator("main").inner_text()
    on = look(demo_url + KINDS[kind]).page.locator("main").evaluate(words)
    assert len(shown.split()) >= 0.85 * len(on.split())
    assert off.locator("main a:visible").count() > 0 or kind == "lost"
    assert off.locator("input:visible, select:visible, button:visible").count() == 0


def test_without_javascript_every_kite_is_listed(demo: Path, demo_url: str, look: Look) -> None:
    """The shelf is a plain table with a link to every kite."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]
    page = look(demo_url + "index.html", java_script_enabled=False).page
    listed = page.locator("table.kites a:visible").evaluate_all("links => links.map(a => a.getAttribute('href'))")
    assert sorted(listed) == sorted(f"kites/{key}/index.html" for key in kites)


OUTLINED = """() => { const e = document.activeElement, s = getComputedStyle(e);
  return {tag: e.tagName, name: e.id || e.getAttribute('href') || e.className.toString(),
          seen: (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== 'none'} }"""


@pytest.mark.parametrize("kind", ["home", "kite", "compare"])
def test_the_keyboard_reaches_everything_visibly(kind: str, demo_url: str, look: Look) -> None:
    """Tab visits every link and control in turn, each shows where it is, and nothing holds the focus for good."""
    page = look(demo_url + KINDS[kind]).page
    wanted = page.locator("a[href]:visible, input:visible, select:visible, button:visible, summary:visible").count()
    page.keyboard.press("Tab")
    first = page.evaluate(OUTLINED)
    assert first["name"] == "#main", "the first stop is the way past the header"
    visited = [first]
    for _ in range(wanted * 2 + 20):
        page.keyboard.press("Tab")
        at = page.evaluate(OUTLINED)
        if at["tag"] == "BODY" or at == first:
            break
        visited.append(at)
    assert [stop for stop in visited if not stop["seen"]] == []
    assert len(visited) >= wanted


def test_once_visited_it_works_with_no_signal(demo: Path, tmp_path: Path, browser: Browser) -> None:
    """Where the browser allows service workers, the shelf and its kites open with the server gone."""
    site = tmp_path / "site"
    shutil.copytree(demo, site)
    context = browser.new_context(service_workers="allow")
    try:
        page = context.new_page()
        with served(site) as address:
            page.goto(address + "index.html")
            page.wait_for_function("navigator.serviceWorker && navigator.serviceWorker.controller !== undefined")
            assert page.evaluate("navigator.serviceWorker.ready.then(r => !!r.active)")
            page.wait_for_load_state("networkidle")
            page.goto(address + "kites/longhand/index.html")
        context.set_offline(True)
        for part in ("index.html", "kites/longhand/index.html", "kites/vellum/index.html", "compare.html"):
            page.goto(address + part)
            assert page.locator("h1").first.is_visible(), part
        assert urlsplit(page.url).path == "/compare.html"
    finally:
        context.close()
