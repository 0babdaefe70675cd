"""What was tapped at the field stands on the kite's page, and a kite that is not there to fly is not offered there."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from field_sessions import tap, write_session
from helpers import run_bowbook, small_book

KITE = "---\nname: {}\nstage: {}\nflights:\n  - {{on: 2026-06-01, flyer: Ansa, best: 4-7 mph}}\n---\n"
STAGES = ("planned", "building", "flying", "resting", "given", "lost", "broken", "retired")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A kite in each stage, all liked in the same winds, and a session of the one that flies."""
    root = small_book(tmp_path / "book", {stage: KITE.format(stage.title(), stage) for stage in STAGES})
    taps = (tap("flying", 6, "liked"), tap("flying", 7, "liked", turn=4), tap("flying", 9, "much", word="gusty"))
    write_session(root / "s.json", *taps, place="the dunes")
    assert run_bowbook("fly", "--from", "s.json", "--yes", cwd=root).returncode == 0
    assert run_bowbook("publish", cwd=root).returncode == 0
    return root


def text_of(page: Path) -> str:
    """A page's words."""
    return re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", page.read_text(encoding="utf-8")))


def test_taps_stand_on_the_kites_page(book: Path) -> None:
    """In the day's words and in the table of flights, with the marks and the word, and without the private place."""
    text = text_of(book / "output" / "kites" / "flying" / "index.html")
    assert text.lower().count("liked at 6 and 7 mph, too much at 9 mph") == 2
    assert "Turn 4 of 5" in text
    assert "14:33 gusty" in text
    assert "the dunes" not in text


def test_only_what_is_there_to_fly_is_offered(book: Path) -> None:
    """On the phone no stage but flying is offered by the wind; one that rests may still be picked and logged."""
    page = (book / "output" / "field.html").read_text(encoding="utf-8")
    found = re.search(r'<script type="application/json" id="field-data">(.*?)</script>', page, re.DOTALL)
    assert found
    kites = {kite["key"]: kite for kite in json.loads(found[1])["kites"]}
    assert set(kites) == {"flying", "resting"}
    assert kites["resting"]["rests"] is True
    assert "rests" not in kites["flying"]
    said = text_of(book / "output" / "field.html")
    assert re.search(r"Resting *is resting", said)
    assert re.search(r"Given *is given away", said)
