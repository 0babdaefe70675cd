"""Kites built together: a page for the batch, their spread in words and in the data; a bow read over the years."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from helpers import run_bowbook, small_book

G = 0.00980665  # N, what a kitchen scale calls a gram
RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\n"
KITE = """\
---
name: {}
bow: {{rod: carbon-1.5, length: 640 mm, span: 600 mm}}
{}---
"""


def read(grams: int, more: str = "") -> str:
    """The front matter of a kite of the batch whose halves both read so many grams."""
    return f"batch: Plover\nbench:\n  - {{on: 2026-05-01, left: {grams} g, right: {grams} g}}\n{more}"


def published(book: Path) -> dict[str, str]:
    """Every page of the book by its address, without the marks of its language."""
    done = run_bowbook("publish", cwd=book)
    assert done.returncode == 0, done.stderr
    output = book / "output"
    bare = {page: re.sub("<[^>]+>", " ", page.read_text(encoding="utf-8")) for page in output.rglob("*.html")}
    return {page.relative_to(output).as_posix(): re.sub(r"\s+", " ", text) for page, text in bare.items()}


def test_a_batch_has_its_page_its_spread_and_its_data(tmp_path: Path) -> None:
    """By hand: 200, 210 and 190 g have a mean of 200 g and a standard deviation of 10 g, 5 % of it."""
    kites = {f"plover-{n}": KITE.format(f"Plover {n}", read(grams)) for n, grams in ((1, 200), (2, 210), (3, 190))}
    target = "target: {left: 202 g, right: 202 g, like: Quarto}\n"
    kites["plover-1"] = KITE.format("Plover 1", read(200, target))
    book = small_book(tmp_path / "book", {**kites, "quarto": KITE.format("Quarto", "")}, rods=RODS)

    pages = published(book)

    page = pages["batches/plover.html"]
    assert re.search(r"Three bows read 200.g in the mean, and scatter about it by 5(\.0)?.%", page)
    assert re.search(r"Plover 2 .* 5(\.0)?.% above", page)
    assert "Quarto" not in page.split("Kite by kite")[1]
    assert "Plover, built together" in pages["compare.html"]
    for name in ("index.html", "sheet.html"):
        page = pages[f"kites/plover-1/{name}"]
        assert "The left half reads 1 % below the 202 g it is built to." in page
    assert "Built to left 202 g, right 202 g, as Quarto reads" in pages["kites/plover-1/sheet.html"]
    assert "built to" not in pages["kites/plover-2/index.html"]
    assert "Built together with others: Plover" in pages["kites/plover-2/index.html"]
    assert (book / "output" / "charts" / "batch-Plover.svg").stat().st_size > 1000
    data = json.loads((book / "output" / "data" / "kites.json").read_text(encoding="utf-8"))
    batch = data["batches"]["Plover"]
    assert batch["kites"] == ["plover-1", "plover-2", "plover-3"]
    assert batch["press_N"] == {"mean": pytest.approx(200 * G), "relative": pytest.approx(0.05), "of": 3}
    left = data["kites"]["plover-1"]["target"]["left"]
    assert left["wanted_N"] == pytest.approx(202 * G)
    assert left["off"] == pytest.approx(200 / 202 - 1)
    assert data["kites"]["plover-1"]["target"]["like"] == "Quarto"
    assert data["kites"]["plover-2"]["target"] is None


def test_a_batch_of_one_and_one_of_nobody_yet_have_pages_too(tmp_path: Path) -> None:
    """Nothing is claimed before there are two readings."""
    book = small_book(tmp_path / "book", {"a": KITE.format("A", 'batch: "Plover, light"\n')}, rods=RODS)

    pages = published(book)

    (address,) = [name for name in pages if name.startswith("batches/")]
    assert "shows once two of them have been read" in pages[address]
    data = json.loads((book / "output" / "data" / "kites.json").read_text(encoding="utf-8"))
    assert data["batches"]["Plover, light"] == {"kites": ["a"], "press_N": None, "flex_m_s": None}


def test_a_bow_that_went_soft_has_its_sentence_and_its_readings_over_the_years(tmp_path: Path) -> None:
    """300 g in 2024, 282 g in 2026, nothing done between: softer by 6 %, and a table of both days; else neither."""
    rounds = (
        "bench:\n  - {on: 2024-05-01, left: '300, 301, 299, 300 g', right: '300, 300, 301, 299 g'}\n"
        "  - {on: 2026-05-01, left: '282, 283, 281, 282 g', right: '282, 282, 283, 281 g'}\n"
    )
    steady = rounds.replace("28", "30")
    book = small_book(
        tmp_path / "book", {"soft": KITE.format("Soft", rounds), "steady": KITE.format("Steady", steady)}, rods=RODS
    )

    pages = published(book)

    soft, steady = pages["kites/soft/index.html"], pages["kites/steady/index.html"]
    assert re.search(r"Softer by 6 ± [0-9.]+.% since 1 May 2024: bamboo dries, bows take a set\.", soft)
    assert "The same readings as a table" in soft
    assert re.search(r"1 May 2024 *300 ± .* 1 May 2026 *282 ± ", soft)
    assert "Softer" not in steady
    assert "The same readings as a table" not in steady
