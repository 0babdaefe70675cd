"""Compare by hand: a flyer chosen on the page, the table of every kite sorted by keyboard. Figures are kites.json's."""

from __future__ import annotations

import json
from pathlib import Path

from browsing import Look


def test_a_flyer_is_chosen_by_keyboard_without_script(demo_url: str, look: Look) -> None:
    """Without script the arrow keys choose whose zone is shown: one large chart at a time, and theirs."""
    page = look(demo_url + "compare.html", java_script_enabled=False).page
    shown = page.locator(".zone-of:visible")
    assert shown.count() == 1
    first = shown.get_attribute("class")
    page.locator(".whose :checked").focus()
    page.keyboard.press("ArrowRight")
    assert shown.count() == 1
    assert shown.get_attribute("class") != first


def test_on_paper_every_flyer_is_there(demo_url: str, look: Look) -> None:
    """Printed, all the flyers' charts stand one after another."""
    page = look(demo_url + "compare.html").page
    page.emulate_media(media="print")
    assert page.locator(".zone-of:visible").count() == page.locator(".zone-of").count() > 1


def test_the_table_sorts_by_any_column_by_keyboard(demo: Path, demo_url: str, look: Look) -> None:
    """Enter on a head sorts by it and says so, Enter again turns it round; kites without the figure stay last."""
    kites = json.loads((demo / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]
    page = look(demo_url + "compare.html").page
    head = page.locator(".beside-source thead th", has_text="Mass")
    head.locator("button").focus()
    column = head.evaluate("cell => cell.cellIndex")

    def masses() -> list[str]:
        return [cell.inner_text() for cell in page.locator(f".beside-source tbody tr > :nth-child({column + 1})").all()]

    page.keyboard.press("Enter")
    assert head.get_attribute("aria-sort") == "ascending"
    known = [float(text.split("\u00a0")[0].replace("\u202f", "")) for text in masses() if text != "–"]
    assert known == sorted(known)
    assert len(known) > 2
    assert masses()[len(known) :] == ["–"] * (len(kites) - len(known))
    page.keyboard.press("Enter")
    assert head.get_attribute("aria-sort") == "descending"
    assert masses()[: len(known)] != sorted(masses()[: len(known)]) or len(set(known)) == 1
    assert masses()[len(known) :] == ["–"] * (len(kites) - len(known))


def test_two_kites_are_chosen_by_keyboard_and_by_address(demo_url: str, look: Look) -> None:
    """A letter in the list finds a kite; both stand side by side with all their figures, and the address keeps them."""
    page = look(demo_url + "compare.html").page
    for slot, name in enumerate(("Longhand", "Nib")):
        page.locator(".choose select").nth(slot).focus()
        page.keyboard.type(name)
        page.keyboard.press("Enter")
    heads = page.locator(".choose thead th")
    assert [head.inner_text() for head in heads.all()] == ["Longhand", "Nib"]
    rows = page.locator(".choose tbody tr").count()
    assert rows == page.locator(".beside-source thead th").count() - 1
    again = look(page.url).page
    assert [head.inner_text() for head in again.locator(".choose thead th").all()] == ["Longhand", "Nib"]
    assert again.locator(".choose select").nth(1).input_value() == "nib"
