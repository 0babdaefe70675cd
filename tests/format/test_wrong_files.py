"""Wrong files are data: each file of wrong/ is a kite, and the text beside it is the exact answer to it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from bowbook.book.problems import render
from bowbook.format.read_book import read_book

WRONG = Path(__file__).with_name("wrong")
CASES = sorted(path.stem for path in WRONG.glob("*.md"))


def test_the_wrong_files_are_there() -> None:
    """A moved folder does not pass in silence."""
    assert len(CASES) >= 90
    assert sorted(path.stem for path in WRONG.glob("*.txt")) == CASES


@pytest.mark.parametrize("case", CASES)
def test_a_wrong_file_gets_its_sentence(case: str, book_root: Path) -> None:
    """Every problem is said with its place, the line, a mark and what to write instead; the kite is left out."""
    kites = book_root / "content" / "kites"
    shutil.copy(WRONG / f"{case}.md", kites / "turnstone.md")
    (kites / "turnstone").mkdir()
    (kites / "turnstone" / "beach.jpg").write_bytes(b"\xff\xd8\xff")

    book = read_book(book_root)
    answer = "\n\n".join(render(problem) for problem in book.problems) + "\n"

    assert (WRONG / f"{case}.txt").read_text(encoding="utf-8") == answer
    assert not book.kites
