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
    # what stays works by the browser alone: sentences that open beside a word, and a choice made by the style sheet
    needing = "input:not([type=radio]):visible, select:visible, button:not([popovertarget]):visible"
    assert off.locator(needing).count() == 0


def test_without_javascript_every_kite_is_listed(demo: Path, demo_url: str, look: Look) -> None:
    """The shelf is a plain table with a link to every kite."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]
    page = look(demo_url + "index.html", java_script_enabled=False).page
    listed = page.locator("table.kites a:visible").evaluate_all("links => links.map(a => a.getAttribute('href'))")
    assert sorted(listed) == sorted(f"kites/{key}/index.html" for key in kites)


OUTLINED = """() => { const e = document.activeElement, s = getComputedStyle(e);
  return {tag: e.tagName, number: e.dataset.tab || '',
          seen: (s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) > 0) || s.boxShadow !== 'none'} }"""
NUMBERED = "stops => stops.forEach((e, i) => { e.dataset.tab = i; })"
# Points in a chart may be left out of the round, where the same link stands in the table of the same numbers.
ONLY_BY_MOUSE = """() => { const all = [...document.querySelectorAll('a[href]')];
  const to = e => new URL(e.getAttribute('href'), document.baseURI).href;
  const typed = new Set(all.filter(e => e.tabIndex >= 0).map(to));
  return all.filter(e => e.tabIndex < 0 && !typed.has(to(e))).map(to) }"""


@pytest.mark.parametrize("kind", ["home", "kite", "compare"])
def test_the_keyboard_reaches_everything_visibly(kind: str, demo_url: str, look: Look) -> None:
    """Tab visits every link and control in turn, each shows where it is, and no address is for the mouse alone."""
    page = look(demo_url + KINDS[kind]).page
    stops = page.locator("a[href]:visible, input:visible, select:visible, button:visible, summary:visible")
    stops.evaluate_all(NUMBERED)
    # of a group of radio buttons Tab visits the chosen one; the arrow keys go on from there
    wanted = set(
        stops.evaluate_all(
            "all => all.filter(e => e.tabIndex >= 0 && (e.type !== 'radio' || e.checked)).map(e => e.dataset.tab)"
        )
    )
    visited = []
    for _ in range(len(wanted) * 2 + 20):
        page.keyboard.press("Tab")
        visited.append(page.evaluate(OUTLINED))
        if visited[-1]["tag"] == "BODY":
            break
    assert visited[-1]["tag"] == "BODY", "the focus was held for good"
    assert [stop for stop in visited[:-1] if not stop["seen"]] == []
    assert wanted <= {stop["number"] for stop in visited}
    assert page.evaluate(ONLY_BY_MOUSE) == []


def test_once_visited_it_works_with_no_signal(demo: Path, tmp_path: Path, browser: Browser) -> None:
    """The site's own worker, once it has fetched what it holds, opens the shelf and its kites with the server gone.

    Pages register it over https only. A test has no https, but a browser trusts its own machine as much, so the
    registration is done here by hand and the worker is the site's own.
    """
    site = tmp_path / "site"
    shutil.copytree(demo, site)
    context = browser.new_context(service_workers="allow")
    try:
        page = context.new_page()
        with served(site) as address:
            page.goto(address + "index.html")
            ready = page.evaluate(
                """() => Promise.race([
                  navigator.serviceWorker.register('sw.js')
                    .then(() => navigator.serviceWorker.ready).then(r => !!r.active),
                  new Promise(give => setTimeout(() => give('no worker within 20 s'), 20000))])"""
            )
            assert ready is True
            page.goto(address + "kites/longhand/index.html")
            page.wait_for_load_state("networkidle")
        context.set_offline(True)
        for part in ("index.html", "kites/longhand/index.html"):
            page.goto(address + part)
            assert page.locator("h1").first.is_visible(), part
        assert urlsplit(page.url).path == "/kites/longhand/index.html"
    finally:
        context.close()
