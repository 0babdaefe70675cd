"""`bowbook change` writes how the sail looks since."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from click.testing import Result

from bowbook.format.read_book import read_book
from helpers import small_book

KITE = """---
name: Turnstone
sail: {skin: washi-30, outline: [[0, 0], [300, 190], [0, 520]]}
---
"""
DRAWING = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><path d="M0 0H9V9Z"/></svg>'
LOOK = ("--colours", "#2a4b8d, #e8e2d0", "--panels", "quarters: #1b2b4b, #e3b93a", "--decoration", "crane.svg")


def test_a_change_may_be_of_its_look(tmp_path: Path, run: Callable[..., Result]) -> None:
    """A new skin with its colours, panels and drawing is one state, and the file is right as it stands."""
    book = small_book(tmp_path, {"turnstone": KITE}, "units: {length: mm}\n", skins="washi-30: {areal: 30 g/m2}\n")
    (book / "content" / "kites" / "turnstone").mkdir()
    (book / "content" / "kites" / "turnstone" / "crane.svg").write_text(DRAWING, encoding="utf-8")
    result = run(book, "change", "turnstone", "--skin", "washi-30", *LOOK, "--on", "2027-03-20")

    assert result.exit_code == 0, result.output
    read = read_book(book)
    assert read.problems == ()
    (change,) = read.kites["turnstone"].changes
    assert change.sail is not None
    assert change.sail.panels is not None
    assert (change.skin, change.sail.colours) == ("washi-30", ("#2a4b8d", "#e8e2d0"))
    assert (change.sail.panels.lay, change.sail.decoration) == ("quarters", "crane.svg")
