"""Accessibility, width, colour scheme and motion, on every kind of page.

Rules are those of WCAG 2.2, levels A and AA, as the axe engine tests them (bundled by axe-playwright-python).
"""

from __future__ import annotations

from pathlib import Path

import pytest
from browsing import INKS, KINDS, Look, partly_published, violations

from helpers import copy_demo

WIDTHS = (360, 768, 1280)


@pytest.mark.parametrize("kind", KINDS)
def test_axe_finds_nothing(kind: str, demo_url: str, look: Look) -> None:
    """No violation of WCAG 2.2 AA at 360, 768 and 1280 px, nothing wider than the screen; inks hold in the dark too."""
    page = look(demo_url + KINDS[kind], reduced_motion="reduce").page
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme="light")
        assert violations(page) == [], width
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        page.emulate_media(color_scheme="dark")
        assert violations(page, INKS) == [], f"{width}, dark"


# Relative luminance as WCAG 2.2 defines it.
LUMINANCE = """selector => {
  const linear = v => (v /= 255) <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  const of = css => { const [r, g, b] = css.match(/[\\d.]+/g).slice(0, 3).map(Number).map(linear);
                      return 0.2126 * r + 0.7152 * g + 0.0722 * b };
  const node = document.querySelector(selector), style = getComputedStyle(node);
  const grounds = [document.body, document.documentElement].map(e => getComputedStyle(e).backgroundColor);
  return {ground: of(grounds.find(css => css !== 'rgba(0, 0, 0, 0)')),
          ink: of(node.ownerSVGElement ? style.fill : style.color)};
}"""


@pytest.mark.parametrize("selector", ["h1", "main svg text"])
@pytest.mark.parametrize("kind", ["home", "kite", "compare"])
def test_dark_is_dark_and_charts_follow(kind: str, selector: str, demo_url: str, look: Look) -> None:
    """In a dark scheme ink is lighter than ground, on the page and in its charts; in a light one the reverse."""
    light = look(demo_url + KINDS[kind], color_scheme="light").page.evaluate(LUMINANCE, selector)
    dark = look(demo_url + KINDS[kind], color_scheme="dark").page.evaluate(LUMINANCE, selector)
    assert light["ground"] > 0.7 > light["ink"]
    assert dark["ground"] < 0.1 < dark["ink"]


MOVING = """() => [...document.querySelectorAll('*')].filter(e => {
  const s = getComputedStyle(e), longest = t => Math.max(...t.split(',').map(parseFloat));
  return longest(s.transitionDuration) > 0.011 || longest(s.animationDuration) > 0.011 || s.scrollBehavior === 'smooth'
}).map(e => e.tagName + '.' + e.getAttribute('class'))"""


@pytest.mark.parametrize("kind", ["home", "kite", "compare"])
def test_nothing_moves_for_those_who_asked_for_stillness(kind: str, demo_url: str, look: Look) -> None:
    """With reduced motion preferred, no transition, no animation, no smooth scrolling is left."""
    assert look(demo_url + KINDS[kind], reduced_motion="reduce").page.evaluate(MOVING) == []


def test_text_can_be_twice_as_large(demo_url: str, look: Look) -> None:
    """At 640 px and 200 % zoom, which is 320 CSS px, nothing needs scrolling sideways (WCAG 1.4.10)."""
    page = look(demo_url + KINDS["kite"], viewport={"width": 320, "height": 640}).page
    assert page.evaluate("document.documentElement.scrollWidth") <= 320


# Where the first and the last letter of a text stand, px from the left.
ENDS = """selector => { const text = document.createTreeWalker(document.querySelector(selector), 4).nextNode();
  const at = (from, to) => { const r = document.createRange(); r.setStart(text, from); r.setEnd(text, to);
                             return r.getBoundingClientRect().left };
  return [text.data, at(0, 1), at(text.length - 1, text.length)] }"""


def test_a_book_from_right_to_left_keeps_its_winds_in_order(tmp_path: Path, look: Look) -> None:
    """With `direction: rtl`, "4–7 mph" still runs from 4 to mph, in the list and in the sky; nothing grows too wide.

    A neutral run inside right-to-left text is turned round by the bidirectional algorithm (Unicode Annex 9).
    """
    book = copy_demo(tmp_path / "book")
    settings = book / "content" / "book.yaml"
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace("language: en", "language: ar\ndirection: rtl"), encoding="utf-8")
    page = look((partly_published(book, every=50) / "index.html").as_uri()).page
    for selector in (".kites .likes", "svg.sky .wind"):
        said, first, last = page.evaluate(ENDS, selector)
        assert said[0].isdigit(), said
        assert first < last, said
    page.set_viewport_size({"width": 360, "height": 800})
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
