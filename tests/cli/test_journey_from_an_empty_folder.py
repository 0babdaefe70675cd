"""A maker goes from an empty folder to an even bow and a published page, typing at a terminal."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

Run = Callable[..., Result]
Terminal = Callable[..., Any]


def answer(child: Any, asked: str, *typed: str) -> None:
    """Waits for a question that contains `asked`, then types each line in turn, one question after another."""
    for line in typed:
        child.expect_exact(asked)
        child.sendline(line)


def figures(run: Run, book: Path) -> dict[str, Any]:
    """Everything the book computes."""
    result = run(book, "check", "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


@pytest.mark.long
def test_a_maker_evens_a_bow_out_and_publishes(tmp_path: Path, terminal: Terminal, run: Run) -> None:
    """Begin, add, read three times a side, shave, read again, even, fly four kites, choose and publish."""
    child = terminal(tmp_path, "begin", "kites")
    answer(child, "Your name", "Jo")
    answer(child, "Lengths", "mm")
    answer(child, "scale shows", "grams")
    answer(child, "Winds", "")
    child.expect_exact("A new book is in kites")
    child.wait()
    book = tmp_path / "kites"

    assert run(book, "add", "Turnstone", "--from", "dunlin").exit_code == 0

    child = terminal(book, "bench", "turnstone")
    answer(child, "whole (Enter", "")
    answer(child, "left", "305")
    answer(child, "left once more", "302", "307", "")
    answer(child, "right (Enter", "289")
    answer(child, "right once more", "291", "288", "")
    child.expect_exact("The left half is")
    child.expect_exact("whole half, then measure")
    answer(child, "Read a half again?", "")
    child.expect_exact("Round 1 is written")
    answer(child, "What did you shave?", "yes")
    answer(child, "Where?", "")
    answer(child, "How many strokes?", "18")
    answer(child, "How much came off", "0.02 mm")
    answer(child, "With which tool?", "sanding block")
    child.expect_exact("The shaving is written")
    child.wait()

    first = figures(run, book)["kites"]["turnstone"]["balance"]["rounds"]
    assert [r["verdict"] for r in first] == ["left stiffer"]

    child = terminal(book, "bench", "turnstone")
    answer(child, "whole (Enter", "")
    answer(child, "left (Enter", "292")
    answer(child, "left once more", "290", "293", "")
    answer(child, "right (Enter", "290")
    answer(child, "right once more", "291", "289", "")
    child.expect_exact("The halves are even")
    answer(child, "Read a half again?", "")
    child.expect_exact("Round 2 is written")
    child.wait()

    def pressed_covered(name: str, stiffer: float) -> None:
        press = f"{322 * stiffer:.0f}, {324 * stiffer:.0f} g"
        assert run(book, "bench", name, "--covered", "--left", press, "--right", press).exit_code == 0

    for name, stiffer, best in (("Knot", 1.25, "6-8"), ("Ruff", 0.8, "4.5-6"), ("Stint", 1.6, "6.5-9")):
        assert run(book, "add", name, "--from", "turnstone").exit_code == 0
        press = f"{290 * stiffer:.0f}, {291 * stiffer:.0f} g"
        assert run(book, "bench", name.lower(), "--left", press, "--right", press).exit_code == 0
        pressed_covered(name.lower(), stiffer)
        assert run(book, "fly", name.lower(), "--flyer", "Jo", "--best", best).exit_code == 0
    pressed_covered("turnstone", 1)
    child = terminal(book, "fly", "turnstone")
    answer(child, "Who flew?", "Jo")
    answer(child, "What wind blew", "a breeze", "4-9 mph")
    answer(child, "In which wind was it best", "5-7")
    answer(child, "Control", "9", "4")
    answer(child, "Speed", "")
    answer(child, "Anything to remember?", "Turned tight.")
    child.expect_exact("4 kites tell of Jo's comfort")
    child.wait()

    chosen = run(book, "choose", "turnstone", "--wind", "4-7 mph")
    assert "as Jo likes it" in chosen.output

    child = terminal(book, "publish")
    child.expect_exact("pages in output")
    child.wait()
    assert child.exitstatus == 0
    page = (book / "output" / "kites" / "turnstone" / "index.html").read_text(encoding="utf-8")
    assert re.search(r"Is it even\?</h3>\s*(<svg.*?</svg>\s*)?<p[^>]*>Yes\.", page, re.S)
    flown = figures(run, book)["kites"]["turnstone"]["wind"]["flown"]["Jo"]
    assert flown["low"] == pytest.approx(5 * 0.44704)


def test_a_friend_builds_from_the_file_a_page_offers(tmp_path: Path, published_demo: Path, run: Run) -> None:
    """A friend starts from the kite file on a page, shaves to its target readings, and has the same kite."""
    site = published_demo / "output"
    mine = json.loads((site / "data" / "kites.json").read_text(encoding="utf-8"))["kites"]["vellum"]
    assert run(tmp_path, "begin", "friend", "--maker", "Kim", "--length", "in", "--wind", "km/h").exit_code == 0
    friend = tmp_path / "friend"
    settings = friend / "content" / "book.yaml"
    same_field = "\naltitude: 140 m\n"
    settings.write_text(settings.read_text(encoding="utf-8") + same_field, encoding="utf-8")

    offered = site / "kites" / "vellum" / "kite.md"
    added = run(friend, "add", "Vellum again", "--from", str(offered))
    assert added.exit_code == 0, added.output
    text = (friend / "content" / "kites" / "vellum-again.md").read_text(encoding="utf-8")
    assert "kite: Vellum" in text
    assert "maker: Ansa" in text

    target = sum(mine["bow"][side]["press_N"]["value"] for side in ("left", "right")) / 2
    bare = f"{target:.5f} N"
    held = json.loads((site / "data" / "kites.json").read_text(encoding="utf-8"))["hold"]["factor"]
    skin = 1.034 * mine["skin"]["EI_Nm2"]["value"] * math.pi**2 / (held * 0.3) ** 2  # what it adds to half of 300 mm
    covered = f"{target + skin:.5f} N"
    assert run(friend, "bench", "vellum-again", "--left", f"{bare}, {bare}", "--right", bare).exit_code == 0
    words = ("--covered", "--left", covered, "--right", covered)
    assert run(friend, "bench", "vellum-again", *words).exit_code == 0
    theirs = figures(run, friend)["kites"]["vellum-again"]
    assert theirs["balance"]["difference"]["value"] == pytest.approx(0.0, abs=1e-9)
    # nothing is known of the friend's own fingers, so the same readings are the same bow but for the hand
    assert theirs["total"]["EI_Nm2"]["value"] == pytest.approx(
        mine["total"]["EI_Nm2"]["value"] * (0.93 / held) ** 2, rel=0.03
    )
    assert theirs["wind"]["flex_m_s"]["value"] == pytest.approx(
        mine["wind"]["flex_m_s"]["value"] * 0.93 / held, rel=0.03
    )
