"""Finding the links of a story takes little, however its brackets and backticks are knotted, and code has none."""

from __future__ import annotations

import time

import pytest

from bowbook.format.kite_file import read_kite
from bowbook.pages.links import link_spots

LONGEST = 60_000
KNOTS = {
    "backticks": "`" * LONGEST,
    "backticks of every number": " ".join("`" * i for i in range(1, 340)),
    "pairs of backticks that never meet": "`` ` " * (LONGEST // 5),
    "fences of every length": "".join("~" * i + "\n" for i in range(3, 340)),
    "fences that never close": "~~~\n~~~~\n" * (LONGEST // 9),
    "brackets": "[" * LONGEST,
    "links in links": "[a](" * (LONGEST // 4),
    "links in angles": "[a](<b" * (LONGEST // 6),
    "kites in angles": "<kite:" * (LONGEST // 6),
    "links on one line": "[a](b) " * (LONGEST // 7),
    "blanks after a bracket": "[a](" + " " * LONGEST,
}


@pytest.mark.parametrize("knot", KNOTS)
def test_a_knotted_story_takes_little(knot: str) -> None:
    """The longest story that is read takes less than two seconds; some of these took minutes, or gigabytes."""
    start = time.process_time()
    found = list(link_spots(KNOTS[knot] + "\n\n[a](x)"))
    assert time.process_time() - start < 2
    assert sum(len(source) for source in {id(spot.source): spot.source for spot in found}.values()) <= LONGEST + 10


@pytest.mark.parametrize(
    ("story", "targets"),
    [
        ("[a](x) `[b](y)` [c](z)", ["x", "z"]),
        ("``[a](x) ` [b](y)`` [c](z)", ["z"]),
        ("` [a](x) `` [b](y)", ["x", "y"]),
        ("~~~\n[a](x)\n~~~\n[b](y)", ["y"]),
        ("```text\n[a](x)\n``\n[b](y)\n````\n[c](z)", ["z"]),
        ("[a](x)\n\n```\n[b](y)", ["x"]),
        ("``` `[a](x)` ```\n[b](y)", ["y"]),
        ("[a [b](x)", ["x"]),
    ],
)
def test_code_has_no_links(story: str, targets: list[str]) -> None:
    """Code is told as CommonMark 0.31.2 tells it: sections 4.5 (fences, also one never closed) and 6.1 (backticks)."""
    assert [spot.target for spot in link_spots(story)] == targets


def test_a_story_as_long_as_a_book_is_refused() -> None:
    """A story longer than forty pages is a problem at its first line."""
    (problem,) = read_kite(b"---\nname: x\n---\n\n" + b"a" * (LONGEST + 1), "content/kites/x.md").problems
    assert (problem.location.line, problem.message) == (5, f"the text has {LONGEST + 1} letters")
