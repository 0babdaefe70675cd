"""The demo book worked out once, and its sheets printed once, for all tests of the sheet."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

import pytest

from bowbook.findings.compute import compute_findings
from bowbook.findings.results import BookFindings
from bowbook.format.read_book import read_book
from bowbook.sheets.sheet import sheet_pdf
from helpers import ROOT
from sheets.paper import Sheet, read_back


@pytest.fixture(scope="session")
def demo() -> BookFindings:
    """The demo book, worked out."""
    return compute_findings(read_book(ROOT))


@pytest.fixture(scope="session")
def printed(demo: BookFindings) -> Callable[[str, str], list[Sheet]]:
    """Prints the sheet of a demo kite on a paper and reads it back, each only once."""
    return lru_cache(maxsize=None)(lambda key, paper: read_back(sheet_pdf(demo, key, paper)))


@pytest.fixture
def worked(tmp_path: Path) -> Callable[..., BookFindings]:
    """Works out a small book made of the texts given."""
    from helpers import small_book

    def work(kites: dict[str, str], **files: str) -> BookFindings:
        book = read_book(small_book(tmp_path / "book", kites, **files))
        assert not book.problems, book.problems
        return compute_findings(book)

    return work
