"""Wind now: by hand, by key and by link, the shelf picks the kites that like it. Ranges are read from kites.json."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from browsing import Look, WatchedPage

MPH = 0.44704  # m/s, exact: 1,609.344 m an hour (international mile, 1959)


def liking(site: Path, wind_mph: float, margin: float = 0.0) -> set[str]:
    """Keys of the kites there to fly whose shown range holds a wind: the book's flyer's, flown or predicted.

    With a margin in m/s, only those that hold the wind's whole surroundings (negative: those that come that near).
    """
    wind = wind_mph * MPH
    found = set()
    for key, kite in json.loads((site / "data" / "kites.json").read_text(encoding="utf-8"))["kites"].items():
        if kite["wind"]["basis"] is None or kite.get("stage") not in (None, "flying"):
            continue
        flown, predicted = kite["wind"].get("flown") or {}, kite["wind"].get("predicted") or {}
        shown = flown.get("Ansa") or predicted.get("Ansa") or next(iter((flown or predicted).values()))
        if shown["low"] + margin <= wind <= shown["high"] - margin:
            found.add(key)
    return found


def picked(page: Any) -> set[str]:
    """Keys of the kites that hang in the sky and have not stepped back."""
    hrefs = page.evaluate(
        """() => [...document.querySelectorAll('svg a.hung')]
          .filter(a => parseFloat(getComputedStyle(a).opacity) > 0.6 && !a.classList.contains('out'))
          .map(a => a.getAttribute('href'))"""
    )
    return {re.search(r"kites/([^/]+)/", href)[1] for href in hrefs}  # type: ignore[index]


def answered(seen: WatchedPage) -> str:
    """What the shelf says about the wind now."""
    return seen.page.locator(".answer output").inner_text()


def agrees(site: Path, page: Any, wind_mph: float) -> None:
    """The kites picked are those whose range holds the wind; within rounding of an edge either is fine."""
    sure, possible = liking(site, wind_mph, 0.05), liking(site, wind_mph, -0.05)
    assert sure <= picked(page) <= possible


@pytest.mark.parametrize("wind", [3, 6, 9, 13])
def test_a_typed_wind_picks_the_kites_that_like_it(wind: int, demo: Path, demo_url: str, look: Look) -> None:
    """A number typed into the field leaves exactly the kites whose range holds it."""
    seen = look(demo_url + "index.html", reduced_motion="reduce")
    seen.page.locator("#all-winds").click()
    assert len(picked(seen.page)) > len(liking(demo, wind))
    seen.page.locator("#wind-number").fill(str(wind))
    agrees(demo, seen.page, wind)
    assert 0 < len(liking(demo, wind)) < len(json.loads((demo / "data/kites.json").read_text())["kites"])


def test_the_slider_moves_by_keys_and_says_so(demo: Path, demo_url: str, look: Look) -> None:
    """Arrow keys on the slider change the wind; what is said aloud changes with it, and the number beside it."""
    seen = look(demo_url + "index.html", reduced_motion="reduce")
    before = answered(seen)
    seen.page.locator("#wind").focus()
    for _ in range(20):  # the shelf opens at a wind: some steps on, other kites like it
        seen.page.keyboard.press("ArrowRight")
    # The slider lies along a logarithmic axis: the wind it stands at is what it says aloud, not its position.
    wind = float((seen.page.locator("#wind").get_attribute("aria-valuetext") or "").split()[0])
    assert answered(seen) != before
    assert float(seen.page.locator("#wind-number").input_value()) == pytest.approx(wind)
    agrees(demo, seen.page, wind)


def test_a_link_carries_the_wind(demo: Path, demo_url: str, look: Look) -> None:
    """`#wind=6mph` opens the shelf at that wind, in whatever unit the link is written."""
    seen = look(demo_url + "index.html#wind=6mph", reduced_motion="reduce")
    agrees(demo, seen.page, 6)
    other = look(demo_url + "index.html#wind=3m/s", reduced_motion="reduce")
    agrees(demo, other.page, 3 / MPH)


def test_any_wind_brings_all_kites_back(demo_url: str, look: Look) -> None:
    """The button that lets go of the wind restores the whole shelf."""
    seen = look(demo_url + "index.html", reduced_motion="reduce")
    seen.page.locator("#all-winds").click()
    everything = picked(seen.page)
    seen.page.locator("#wind-number").fill("6")
    assert picked(seen.page) < everything
    seen.page.locator("#all-winds").click()
    assert picked(seen.page) == everything


def test_nonsense_in_the_field_is_survived(demo_url: str, look: Look) -> None:
    """An empty field, a huge number and a bad link leave a page that still answers."""
    seen = look(demo_url + "index.html#wind=%%<b>", reduced_motion="reduce")
    for text in ("", "1e9", "-4", "6"):
        seen.page.locator("#wind-number").fill(text)
    assert picked(seen.page)
    assert seen.console == []


def rows(page: Any) -> int:
    """How many kites the list shows."""
    count: int = page.locator("table.kites tbody tr:visible").count()
    return count


def test_the_list_can_be_sifted(demo: Path, demo_url: str, look: Look) -> None:
    """Search by name, stage and skin each narrow the list to the kites they mean."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]
    page = look(demo_url + "index.html").page
    assert rows(page) == len(kites)
    page.locator("#seek").fill("vell")
    assert rows(page) == 1
    page.locator("#seek").fill("")
    page.locator("#by-stage").select_option("retired")
    assert rows(page) == 1


def test_a_row_says_whose_wind_it_shows(demo_url: str, look: Look) -> None:
    """Another flyer chosen in the sentence: the sky, the list's head and each row's wind are theirs or say whose."""
    page = look(demo_url + "index.html", reduced_motion="reduce").page
    before = page.locator("svg a.hung .wind").all_text_contents()
    heads = page.locator("table.kites thead .by-name")
    chosen = page.locator("#by-flyer")
    first = heads.first.inner_text()
    other = next(name for name in chosen.locator("option").all_inner_texts() if name != first)
    chosen.select_option(label=other)
    assert heads.first.inner_text() == other
    assert page.locator("svg a.hung .wind").all_text_contents() != before
    named = page.locator("table.kites .other").all_inner_texts()
    assert all(name in ("", first) or name != other for name in named)


@pytest.mark.parametrize("touch", [False, True])
def test_sifting_by_keyboard_and_by_touch(touch: bool, demo_url: str, look: Look) -> None:
    """A sift is reached by keyboard, and on a phone behind one tap; each leaves fewer kites and says how many."""
    options = {"viewport": {"width": 390, "height": 844}, "has_touch": True} if touch else {}
    page = look(demo_url + "index.html", reduced_motion="reduce", **options).page
    everything = rows(page)
    if touch:
        page.locator(".sift summary").tap()
        page.locator("#by-size").select_option(index=1)
    else:
        page.locator("#seek").focus()
        while page.evaluate("document.activeElement.id") != "by-size":
            page.keyboard.press("Tab")
        page.keyboard.press("ArrowDown")
    assert 0 < rows(page) < everything
    assert page.locator(".sift .tally").inner_text() == f"{rows(page)} of {everything}"


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_first_screen_of_a_laptop_holds_the_shelf(scheme: str, demo_url: str, look: Look) -> None:
    """At 1,280 × 800 every kite, the axis, the bands' names and the answer stand in the first screen, uncut."""
    page = look(demo_url + "index.html", color_scheme=scheme).page
    for what in ("svg a.hung .spot use", "svg.axis text", "#wind-number", ".answer output", "#wind"):
        boxes = [found.bounding_box() for found in page.locator(what).all()]
        assert boxes, what
        for box in boxes:
            assert box, what
            assert box["x"] >= 0, what
            assert box["x"] + box["width"] <= 1280, what
            assert box["y"] >= 0, what
            assert box["y"] + box["height"] <= 800, what


def test_texts_in_the_sky_never_touch(demo_url: str, look: Look) -> None:
    """As Chromium draws them, no name or wind of one kite lies over another's, whichever flyer is chosen."""
    page = look(demo_url + "index.html").page
    for flyer in page.locator("#by-flyer option").all_inner_texts():
        page.locator("#by-flyer").select_option(label=flyer)
        boxes = [found.bounding_box() for found in page.locator("svg.sky a.hung text").all()]
        kept = [box for box in boxes if box]
        assert len(kept) == len(boxes)
        for n, a in enumerate(kept):
            for b in kept[n + 1 :]:
                across = min(a["x"] + a["width"], b["x"] + b["width"]) - max(a["x"], b["x"])
                down = min(a["y"] + a["height"], b["y"] + b["height"]) - max(a["y"], b["y"])
                # a line's box has some 3 px of air over its letters and 3 under them, in either of two texts
                assert across <= 0 or down <= 12


def test_nothing_is_remembered(demo_url: str, look: Look) -> None:
    """A visit leaves no cookie and nothing in storage."""
    seen = look(demo_url + "index.html")
    seen.page.locator("#wind-number").fill("6")
    assert seen.page.context.cookies() == []
    assert seen.page.evaluate("localStorage.length + sessionStorage.length") == 0


@pytest.mark.parametrize("width", [390, 412, 768, 1280])
def test_the_kites_stand_still_when_the_script_arrives(width: int, demo_url: str, look: Look) -> None:
    """The list begins where it will be from the first paint on: what the script shows has its room beforehand."""
    tops = []
    for kept_back in (True, False):
        page = look("about:blank", viewport={"width": width, "height": 850}).page
        if kept_back:
            page.route("**/shelf.js", lambda route: route.abort())
        page.goto(f"{demo_url}index.html")
        page.wait_for_timeout(200)
        tops.append(page.evaluate("document.querySelector('.hangs').getBoundingClientRect().top"))
    assert abs(tops[0] - tops[1]) < 12, tops  # less than a line of text: the choice of flyer may set a word lower
