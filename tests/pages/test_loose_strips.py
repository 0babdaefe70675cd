"""Bows that belong to no kite yet stand among the stock, on its page and in the data."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from helpers import run_bowbook, small_book

STRIPS = """\
first: {rod: carbon-1.5, length: 640 mm, mass: 2.1 g, bench: [{on: 2026-04-01, left: "212, 214 g", right: 210 g}]}
"<second>": {note: "From the same pole as the first."}
"""


def test_loose_strips_stand_on_the_stock_page_and_in_the_data(tmp_path: Path) -> None:
    """What each is, what its halves read last, and its note; one that was never pressed says so."""
    book = small_book(tmp_path / "book", {}, rods="carbon-1.5: {material: carbon, round: 1.5 mm}\n")
    (book / "content" / "stock" / "strips.yaml").write_text(STRIPS, encoding="utf-8")

    done = run_bowbook("publish", cwd=book)

    assert done.returncode == 0, done.stderr
    page = (book / "output" / "stock.html").read_text(encoding="utf-8")
    text = re.sub(r"\s+", " ", re.sub("<[^>]+>", " ", page))
    assert "first Cut from carbon-1.5, 640 mm long, 2.1 g. It read left 213 g and right 210 g last." in text
    assert "It has not been pressed yet. From the same pole as the first." in text
    assert "&lt;second&gt;" in page
    data = json.loads((book / "output" / "data" / "kites.json").read_text(encoding="utf-8"))
    assert data["strips"]["first"]["length_m"] == pytest.approx(0.64)
    assert json.loads(run_bowbook("check", "--json", cwd=book).stdout)["strips"] == data["strips"]
