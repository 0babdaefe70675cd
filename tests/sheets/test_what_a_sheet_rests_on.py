"""A sheet is laid out anew when something on it shows a change, and then alone."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import msgpack
from msgspec.structs import replace

from bowbook.book.values import encoded
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings
from bowbook.sheets.content import PrintedSheet
from bowbook.sheets.sheet import pages_of, printed, sheet_pages

KITE = """---
name: K
sail: {outline: [[0, 0], [300, 190], [0, 520]]}
bow: {length: 640, span: 600, crosses: 110, rod: round}
bench: [{left: "214, 213, 215 g", right: "210, 211, 212 g"}]
---
"""
RODS = "round: {material: carbon, round: 1.5 mm}\n"
GRAM_N = 0.00980665


def _with_left(found: BookFindings, press_N: Measured) -> BookFindings:
    """The book with another reading of the left half."""
    kite = found.kites["k"]
    bow = replace(kite.bow, left=replace(kite.bow.left, press_N=press_N))
    return replace(found, kites={"k": replace(kite, bow=bow)})


def test_a_figure_that_moves_behind_its_last_digit_moves_nothing(worked: Callable[..., BookFindings]) -> None:
    """214.1 ± 2.2 g and 214.2 ± 2.21 g both read "214 ± 2 g"; 220 g does not."""
    found = worked({"k": KITE}, rods=RODS)
    first, near, far = (
        printed(_with_left(found, Measured(grams * GRAM_N, u * GRAM_N, u * GRAM_N)), "k")
        for grams, u in ((214.1, 2.2), (214.2, 2.21), (220.0, 2.2))
    )
    assert encoded(first) == encoded(near)
    assert encoded(first) != encoded(far)


def test_what_was_kept_of_a_sheet_gives_the_same_pages(worked: Callable[..., BookFindings]) -> None:
    """Kept as bytes and read back, its words and drawings make the same paper as the kite's own figures."""
    found = worked({"k": KITE}, rods=RODS)
    kept = msgpack.decode(encoded(printed(found, "k")), type=PrintedSheet)
    assert encoded(pages_of(kept, "a4")) == encoded(sheet_pages(found, "k", "a4"))
