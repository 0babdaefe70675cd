"""A day at the field: no signal after the first visit, twelve taps on five kites, home, into the book, onto the pages.

What each kite's file must then hold is worked out by hand from the taps, beside them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from browsing import FLAGS, INKS, Look, violations
from playwright.sync_api import Browser, BrowserContext, Page

from helpers import chromium, copy_demo, run_bowbook, served, small_book

PHONE: dict[str, Any] = {"viewport": {"width": 390, "height": 844}, "has_touch": True, "is_mobile": True}
TAPS = (
    ("Longhand", 3, "liked"),
    ("Vellum", 4, "liked"),
    ("Quarto", 4, "liked"),
    ("Quarto", 6, "liked"),
    ("Longhand", 7, "much"),
    ("Vellum", 6, "liked"),
    ("Nib", 7, "liked"),
    ("Vellum", 8, "much"),
    ("Nib", 10, "much"),
    ("Octavo", 7, "liked"),
    ("Octavo", 5, "little"),
    ("Nib", 6, "liked"),
)
# By hand: the weakest and strongest wind of a kite's taps, and of those it was liked in.
EXPECTED = {
    "longhand": ("3-7 mph", "3 mph", "3 mph liked, 7 mph much"),
    "vellum": ("4-8 mph", "4-6 mph", "4 mph liked, 6 mph liked, 8 mph much"),
    "quarto": ("4-6 mph", "4-6 mph", "4 mph liked, 6 mph liked"),
    "nib": ("6-10 mph", "6-7 mph", "6 mph liked, 7 mph liked, 10 mph much"),
    "octavo": ("5-7 mph", "7 mph", "5 mph little, 7 mph liked"),
}
READY = """() => Promise.race([
  navigator.serviceWorker.register('sw.js').then(() => navigator.serviceWorker.ready).then(r => !!r.active),
  new Promise(give => setTimeout(() => give('no worker within 20 s'), 20000))])"""


def tap(page: Page, name: str, wind: float, said: str) -> None:
    """One tap, as a hand does it: the wind in the dock, the kite, the answer."""
    page.locator("#wind").fill(str(wind))
    page.locator("#wind").blur()
    page.locator('a[href="#session"]').tap()
    page.locator("#another").select_option(label=name)
    taps = page.locator("#log > li").count()
    page.locator(f"#flying [data-say={said}]").tap()
    page.locator("#log > li").nth(taps).wait_for(state="attached")


@pytest.fixture
def book(tmp_path: Path, demo: Path) -> Path:
    """The demo book, with the site that is published already."""
    root = copy_demo(tmp_path / "book")
    (root / "output").symlink_to(demo, target_is_directory=True)
    return root


@pytest.fixture
def phone(tmp_path: Path, browser: Browser) -> Iterator[BrowserContext]:
    """A phone whose memory is on the disk, so that closing the whole browser can be outlived."""
    context = browser.browser_type.launch_persistent_context(
        tmp_path / "phone", executable_path=chromium(), args=FLAGS, accept_downloads=True, **PHONE
    )
    yield context
    context.close()


def test_a_day_without_signal_reaches_the_kites_pages(book: Path, browser: Browser, tmp_path: Path) -> None:
    """Twelve taps offline, the browser closed and opened again, saved, read twice: flights stand once on the pages."""
    memory = {"executable_path": chromium(), "args": FLAGS, "accept_downloads": True, **PHONE}
    with served(book / "output") as address:
        phone = browser.browser_type.launch_persistent_context(tmp_path / "phone", **memory)
        page = phone.new_page()
        page.goto(address + "field.html")
        assert page.evaluate(READY) is True
        page.reload()
        phone.set_offline(True)
        page.reload()
        page.locator("#logging").wait_for(state="attached")
        assert page.locator("#signal").inner_text() == "no signal needed"
        for name, wind, said in TAPS[:7]:
            tap(page, name, wind, said)
        phone.close()
        phone = browser.browser_type.launch_persistent_context(tmp_path / "phone", **memory)
        phone.set_offline(True)
        page = phone.new_page()
        page.goto(address + "field.html")
        page.locator("#log > li").nth(6).wait_for(state="attached")
        for name, wind, said in TAPS[7:]:
            tap(page, name, wind, said)
        page.locator('a[href="#home"]').tap()
        assert page.locator("#count").inner_text().split() == ["12", "taps", "on", "5", "kites"]
        with page.expect_download() as saved:
            page.locator("#save").tap()
        file = book / saved.value.suggested_filename
        saved.value.save_as(file)
        message = page.locator("#text").input_value()
        phone.close()
    schema = run_bowbook("schema", "session", cwd=book)
    jsonschema.Draft202012Validator(json.loads(schema.stdout)).validate(json.loads(file.read_text(encoding="utf-8")))

    (book / "output").unlink()
    first = run_bowbook("fly", "--from", file.name, "--yes", cwd=book)
    assert first.returncode == 0, first.stderr
    assert "12 taps, 5 kites" in first.stdout
    held = {key: (book / f"content/kites/{key}.md").read_bytes() for key in EXPECTED}
    for again, given in ((("fly", "--from", file.name, "--yes"), None), (("fly", "--from", "-", "--yes"), message)):
        second = run_bowbook(*again, cwd=book, given=given)
        assert second.returncode == 0, second.stderr
        assert "nothing to write" in second.stdout
        assert held == {key: (book / f"content/kites/{key}.md").read_bytes() for key in EXPECTED}

    assert run_bowbook("publish", cwd=book).returncode == 0
    for key, (wind, best, taps) in EXPECTED.items():
        text = held[key].decode()
        assert f"best: {best}\n" in text
        assert text.count(f'taps: "{taps}"') == 1 or text.count(f"taps: {taps}") == 1
        page_text = (book / "output" / "kites" / key / "index.html").read_text(encoding="utf-8")
        assert wind.replace("-", "–").replace(" ", "\u00a0") in page_text


def test_a_tap_corrected_after_handing_over_is_corrected_in_the_book(tmp_path: Path, phone: BrowserContext) -> None:
    """The session counts as not handed over again, and its second file corrects the flight that the first one wrote."""
    book = small_book(tmp_path / "book", {"nib": "---\nname: Nib\n---\n", "vellum": "---\nname: Vellum\n---\n"})
    assert run_bowbook("publish", cwd=book).returncode == 0
    kite = book / "content" / "kites" / "nib.md"
    with served(book / "output") as address:
        page = phone.new_page()
        page.goto(address + "field.html")
        page.locator("#logging").wait_for(state="attached")

        def home() -> None:
            page.locator('a[href="#home"]').tap()
            with page.expect_download() as saved:
                page.locator("#save").tap()
            saved.value.save_as(book / "s.json")
            page.get_by_text("Handed over.", exact=False).first.wait_for()
            done = run_bowbook("fly", "--from", "s.json", "--yes", cwd=book)
            assert done.returncode == 0, done.stderr

        tap(page, "Nib", 7, "liked")
        tap(page, "Nib", 9, "much")
        tap(page, "Vellum", 5, "liked")
        home()
        assert "taps: 7 mph liked, 9 mph much\n" in kite.read_text(encoding="utf-8")
        page.locator('a[href="#session"]').tap()
        page.locator("#log summary").nth(1).tap()
        page.locator("#log [data-say=liked]").tap()
        page.locator('a[href="#home"]').tap()
        assert "Not handed over yet." in page.locator("#sum").inner_text()
        home()
    text = kite.read_text(encoding="utf-8")
    assert "taps: 7 mph liked, 9 mph liked\n" in text
    assert "best: 7-9 mph\n" in text
    assert text.count("taps:") == 1


def test_a_tap_can_be_taken_back_corrected_and_deleted(demo_url: str, look: Look) -> None:
    """Right under the tap stands what was noted, with a way back; the list opens in place, and all of it is kept."""
    page = look(demo_url + "field.html", **PHONE).page
    tap(page, "Nib", 7, "liked")
    assert "Nib liked at 7 mph" in page.locator("#noted").inner_text()
    page.locator("#take-back").tap()
    page.locator("#log > li").wait_for(state="detached")
    tap(page, "Nib", 7, "liked")
    tap(page, "Vellum", 7, "much")
    page.locator("#log summary").nth(1).tap()
    page.locator("#log [data-say=little]").tap()
    page.locator("#log .f-plus").tap()
    page.locator("#log input[value='4']").first.locator("..").tap()
    page.locator("#log .f-word input").fill("pulls to the left")
    page.locator("#log .f-word input").blur()
    page.reload()
    second = page.locator("#log > li").nth(1)
    second.wait_for(state="attached")
    assert second.locator(".f-what").inner_text() == "Nib too little"
    assert second.locator(".f-w").inner_text() == "8 mph"
    assert "| pull 4 | word pulls to the left" in page.locator("#text").input_value()
    page.locator('a[href="#session"]').tap()
    page.locator("#log summary").first.tap()
    page.locator("#log .f-del").tap()
    page.locator("#log > li").nth(1).wait_for(state="detached")
    page.reload()
    page.locator("#log > li").first.wait_for(state="attached")
    assert page.locator("#log > li").count() == 1


SMALL = """() => [...document.querySelectorAll('#field-app *, #dock *')]
  .filter(e => e.matches('a[href], button, summary, select, input, textarea') && e.checkVisibility())
  .map(e => e.matches('input, select') && e.closest('label') || e)
  .filter(e => !e.matches('.unseen') && !e.querySelector(':scope > .unseen[type=checkbox]:only-child'))
  .map(e => [e.textContent.trim().slice(0, 30), e.getBoundingClientRect()])
  .filter(([, box]) => box.width && (box.width < 47.9 || box.height < 47.9))
  .map(([text, box]) => `${text}: ${box.width} x ${box.height}`)"""


@pytest.mark.parametrize("part", ["now", "session", "home"])
def test_every_target_is_at_least_48_px(part: str, demo_url: str, look: Look) -> None:
    """In each part of the page, with a tap open for correcting, whatever can be touched is 48 px wide and high."""
    page = look(demo_url + "field.html", **PHONE).page
    tap(page, "Nib", 7, "liked")
    page.locator("#log summary").first.tap()
    page.locator(".f-day summary").tap()
    page.locator(f'a[href="#{part}"]').tap()
    assert page.evaluate(SMALL) == []


def test_axe_finds_nothing_in_the_midst_of_a_session(demo_url: str, look: Look) -> None:
    """No violation of WCAG 2.2 AA in any part, with taps made and one open for correcting, on a phone and a desk."""
    page = look(demo_url + "field.html", reduced_motion="reduce", **PHONE).page
    for name, wind, said in TAPS[:6]:
        tap(page, name, wind, said)
    page.locator("#log summary").first.tap()
    page.locator(".f-fold summary").first.tap()
    for part in ("now", "home", "session"):
        page.locator(f'a[href="#{part}"]').tap()
        page.emulate_media(color_scheme="light")
        assert violations(page) == [], part
        page.emulate_media(color_scheme="dark")
        assert violations(page, INKS) == [], f"{part}, dark"
    page.emulate_media(color_scheme="light")
    for width in (360, 768, 1280):
        page.set_viewport_size({"width": width, "height": 844})
        assert violations(page) == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_kite_that_is_not_there_is_never_offered(demo: Path, demo_url: str, look: Look) -> None:
    """In no wind from 0 to 30 mph does a planned, unfinished or retired kite appear, nor can one be picked."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]
    away = {key for key, kite in kites.items() if kite["stage"] not in (None, "flying", "resting")}
    resting = {key for key, kite in kites.items() if kite["stage"] == "resting"}  # they may be picked, never offered
    assert away
    page = look(demo_url + "field.html", **PHONE).page
    seen = set()
    for wind in range(31):
        page.locator("#wind").fill(str(wind))
        links = page.locator("#suits a, #almost a").evaluate_all("all => all.map(a => a.getAttribute('href'))")
        seen |= {href.split("/")[1] for href in links}
    picked = set(page.locator("#another option").evaluate_all("all => all.map(o => o.value)")) - {""}
    assert seen
    assert not away & (seen | picked)
    assert not resting & seen
    assert all(kites[key]["name"] in page.locator("#not-offered").inner_text() for key in away)


def test_before_any_tap_the_line_offers_what_suits(demo_url: str, look: Look) -> None:
    """The first kites to touch are those that suit the wind, best first; touching one asks how it flies."""
    page = look(demo_url + "field.html", **PHONE).page
    page.locator("#wind").fill("5")
    page.locator("#wind").blur()
    best = page.locator("#suits h3").all_inner_texts()[:5]
    page.locator('a[href="#session"]').tap()
    offered = page.locator("#on-line label")
    offered.first.wait_for()
    assert offered.locator("span").all_inner_texts() == best
    assert "suit 5 mph" in page.locator("#pick").inner_text()
    offered.nth(1).tap()
    assert page.locator("#ask").inner_text() == f"{best[1]} in 5 mph?"


def test_where_the_browser_refuses_to_keep_anything(demo_url: str, look: Look) -> None:
    """A browser that blocks storage is said to refuse; taps still count on the page and can be taken home."""
    page = look(demo_url + "how.html", **PHONE).page
    # As a browser does that is set to keep no site's data.
    page.add_init_script("IDBFactory.prototype.open = () => { throw new DOMException('denied', 'SecurityError') }")
    page.goto(demo_url + "field.html")
    tap(page, "Nib", 7, "liked")
    assert "refuses to keep" in page.locator("#stop").inner_text()
    tap(page, "Nib", 9, "much")
    assert page.locator("#log > li").count() == 2
    page.locator('a[href="#home"]').tap()
    assert page.locator("#should-read").inner_text() == "2 taps, 1 kite"
    assert "On this page only" in page.locator("#sum").inner_text()


def test_a_full_phone_says_so_and_loses_nothing(demo_url: str, look: Look) -> None:
    """With no room left the tap stays on the page with a sentence; with room again the next tap keeps both."""
    page = look("about:blank", **PHONE).page
    # A disk without room is not to be had here: the browser's own store refuses, with the error it then gives.
    page.add_init_script("""const put = IDBObjectStore.prototype.put;
      IDBObjectStore.prototype.put = function (...given) {
        if (window.full) throw new DOMException("no room", "QuotaExceededError");
        return put.apply(this, given) }""")
    page.goto(demo_url + "field.html")
    tap(page, "Nib", 7, "liked")
    page.evaluate("window.full = true")
    tap(page, "Vellum", 5, "liked")
    assert "full" in page.locator("#stop").inner_text()
    assert page.locator("#log > li").count() == 2
    assert "| vellum |" in page.locator("#text").input_value()
    page.evaluate("window.full = false")
    tap(page, "Quarto", 5, "liked")
    assert not page.locator("#stop").is_visible()
    page.reload()
    page.locator("#log > li").nth(2).wait_for(state="attached")


def test_two_open_pages_lose_nothing_of_each_other(demo_url: str, look: Look) -> None:
    """The same page open twice: a tap on either is kept, not written over by the other."""
    first = look(demo_url + "field.html", **PHONE).page
    tap(first, "Nib", 7, "liked")
    second = first.context.new_page()
    second.goto(demo_url + "field.html")
    second.locator("#log > li").wait_for(state="attached")
    tap(second, "Vellum", 5, "liked")
    tap(first, "Quarto", 5, "much")
    first.reload()
    first.locator("#log > li").nth(2).wait_for(state="attached")
    assert first.locator("#log > li").count() == 3


def test_a_clock_set_wrong_is_said(demo_url: str, look: Look) -> None:
    """A phone that believes in 1999 hears of it, and the day can be set without losing a tap."""
    page = look("about:blank", **PHONE).page
    page.clock.install(time="1999-06-13T13:00:00")
    page.goto(demo_url + "field.html")
    tap(page, "Nib", 7, "liked")
    assert "clock" in page.locator("#stop").inner_text()
    page.locator(".f-day summary").tap()
    page.locator("#day").fill("2026-11-22")
    page.locator("#stop").wait_for(state="hidden")
    page.locator('a[href="#home"]').tap()
    assert page.locator("#file-name").inner_text().startswith("session-2026-11-22-")
    assert page.locator("#log > li").count() == 1


def test_opened_as_a_file_it_says_so_and_answers_the_wind(demo: Path, look: Look) -> None:
    """From a folder there is no keeping: the page says it plainly, and still shows which kites suit."""
    page = look((demo / "field.html").as_uri(), **PHONE).page
    page.locator("#more-wind").tap()
    assert page.locator("#suits li").count() > 0
    assert page.locator("#suits button:visible").count() == 0
    page.locator('a[href="#session"]').tap()
    assert "opened as a file" in page.locator("#stop").inner_text()
    assert not page.locator("#logging").is_visible()
