"""The days page: sifted by flyer without a script, by kite with one; every flight of the book stands on it once."""

from __future__ import annotations

import json
from pathlib import Path

from browsing import Look


def test_every_dated_flight_and_kite_stands_there_once(demo: Path, demo_url: str, look: Look) -> None:
    """As many lines as the data has finished kites and dated flights."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"].values()
    made = sum(kite["made"] is not None for kite in kites)
    flown = sum(flight["on"] is not None for kite in kites for flight in kite["inputs"]["flights"])
    page = look(demo_url + "days.html", java_script_enabled=False).page
    assert page.locator(".month li.made").count() == made
    assert page.locator(".month li:not(.made)").count() == flown


def test_one_flyer_s_days_without_a_script(demo_url: str, look: Look) -> None:
    """A link shows one flyer's flights alone, and another brings all back; no script is needed."""
    page = look(demo_url + "days.html", java_script_enabled=False).page
    all_lines = page.locator(".month li:visible").count()
    page.get_by_role("link", name="Rook").click()
    words = page.locator(".month li:visible").all_inner_texts()
    assert 0 < len(words) < all_lines
    assert all("Rook in" in text or "Rook, best" in text for text in words)
    page.get_by_role("link", name="everyone").click()
    assert page.locator(".month li:visible").count() == all_lines


def test_one_kite_s_days(demo_url: str, look: Look) -> None:
    """With a script one kite can be picked; its months alone are left."""
    page = look(demo_url + "days.html").page
    page.get_by_label("and of").select_option(label="Nib")
    names = page.locator(".month li:visible a").all_inner_texts()
    assert set(names) == {"Nib"}
    assert page.locator(".month:visible").count() == 1
