"""A kite's page at every width: nothing cut off, its words explained by key and by finger, light enough for a phone.

Widths are those of common phones, tablets and screens; that an explanation opens by key and closes by Escape is what
the Popover section of the HTML standard promises of `popovertarget`.
"""

from __future__ import annotations

import gzip
from pathlib import Path

import pytest
from browsing import Look

WIDTHS = (360, 390, 768, 1024, 1280, 1920)
PAGES = ("longhand", "flyleaf", "suminagashi", "quarto", "nib")

OPEN_ALL = "document.querySelectorAll('details').forEach(d => d.open = true)"
CUT = """() => [...document.querySelectorAll('table')].filter(t => {
  const box = t.closest('.scroll') ?? t.parentElement;
  return t.getBoundingClientRect().right > innerWidth + 1 || box.scrollWidth > box.clientWidth + 1;
}).map(t => t.caption?.textContent ?? t.rows[0].textContent)"""
SMALL = """() => [...document.querySelectorAll('svg.k')].flatMap(s => {
  const shown = s.getBoundingClientRect().width / s.viewBox.baseVal.width;
  return shown ? [...s.querySelectorAll('text')].map(t => shown * parseFloat(getComputedStyle(t).fontSize)) : [];
}).filter(px => px < 10.5)"""


@pytest.mark.parametrize("kite", PAGES)
def test_nothing_is_cut_off_at_any_width(kite: str, demo_url: str, look: Look) -> None:
    """No page is wider than its screen; from 768 px on no table is cut; no chart text is under 10.5 px."""
    page = look(f"{demo_url}kites/{kite}/index.html").page
    page.evaluate(OPEN_ALL)
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width
        assert page.evaluate(SMALL) == [], width
        if width >= 768:
            assert page.evaluate(CUT) == [], width


def test_a_word_is_explained_by_key_and_by_finger(demo_url: str, look: Look) -> None:
    """The first "flexes at" opens its sentence with Enter or a tap and closes with Escape, with scripts turned off."""
    page = look(f"{demo_url}kites/longhand/index.html", java_script_enabled=False, has_touch=True).page
    word = page.locator("dfn > [popovertarget=term-flex-wind]")
    assert word.count() == 1
    meaning = page.locator("#term-flex-wind")
    assert not meaning.is_visible()
    word.focus()
    page.keyboard.press("Enter")
    assert meaning.is_visible()
    page.keyboard.press("Escape")
    assert not meaning.is_visible()
    word.tap()
    assert meaning.is_visible()


def test_the_days_run_down_one_column_in_order(demo_url: str, look: Look) -> None:
    """Every day stands below the one before it, its date left of what is told where there is room for both."""
    page = look(f"{demo_url}kites/longhand/index.html").page
    tops = page.evaluate("[...document.querySelectorAll('.day')].map(d => d.getBoundingClientRect().top)")
    assert len(tops) >= 4
    assert tops == sorted(tops)
    machine = page.evaluate("[...document.querySelectorAll('.day time')].map(t => t.dateTime)")
    assert machine == sorted(machine)
    left = page.evaluate(
        "['.when', '.told'].map(s => document.querySelector('.day ' + s).getBoundingClientRect().left)"
    )
    assert left[0] < left[1]


def test_a_page_without_photos_is_light(demo: Path) -> None:
    """Every kite's page is under 30 KB as it is sent, compressed."""
    sizes = {f.parent.name: len(gzip.compress(f.read_bytes(), 9)) for f in demo.glob("kites/*/index.html")}
    assert {name: size for name, size in sizes.items() if size >= 30_000} == {}
