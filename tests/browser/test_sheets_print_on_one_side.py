"""The sheet prints on one side of A4 and of Letter, for every kite and for the longest name."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from browsing import KINDS, Look
from pypdf import PdfReader

MM = 72 / 25.4  # PDF points in a millimetre
PAPER = {"A4": (210 * MM, 297 * MM), "Letter": (8.5 * 72, 11 * 72)}  # ISO 216; ANSI/ASME Y14.1


def printed(look: Look, page_file: Path, paper: str) -> PdfReader:
    """The page as the browser prints it."""
    return PdfReader(io.BytesIO(look(page_file.as_uri()).page.pdf(format=paper, print_background=False)))


@pytest.mark.parametrize("paper", PAPER)
def test_every_demo_sheet_is_one_page(paper: str, demo: Path, look: Look) -> None:
    """No sheet of the demo book needs a second page."""
    sheets = sorted(demo.glob("kites/*/sheet.html"))
    assert len(sheets) > 15
    page = look("about:blank").page
    lengths = {}
    for sheet in sheets:
        page.goto(sheet.as_uri())
        lengths[sheet.parent.name] = len(PdfReader(io.BytesIO(page.pdf(format=paper))).pages)
    assert {key: n for key, n in lengths.items() if n != 1} == {}


@pytest.mark.parametrize("paper", PAPER)
def test_the_longest_name_still_fits(paper: str, one_named_kite: Path, look: Look) -> None:
    """A name of 80 characters does not push the sheet onto a second page, and is all there."""
    pdf = printed(look, one_named_kite / "kites" / "longhand" / "sheet.html", paper)
    assert len(pdf.pages) == 1
    assert "afternoon" in pdf.pages[0].extract_text()
    width, height = PAPER[paper]
    assert float(pdf.pages[0].mediabox.width) == pytest.approx(width, abs=1)
    assert float(pdf.pages[0].mediabox.height) == pytest.approx(height, abs=1)


@pytest.mark.parametrize("kind", ["home", "kite", "compare", "how"])
def test_other_pages_print_too(kind: str, demo: Path, look: Look) -> None:
    """Every page can be printed: black ink, no controls, and its heading on the first sheet."""
    pdf = printed(look, demo / KINDS[kind], "A4")
    heading = look((demo / KINDS[kind]).as_uri()).page.locator("h1").first.inner_text()
    assert heading.split()[0] in pdf.pages[0].extract_text()
    assert "Wind now" not in "".join(page.extract_text() for page in pdf.pages)
