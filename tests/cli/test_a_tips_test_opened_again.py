"""A tips test opened again at the bench: corrected one by one or in one line, everything else as it was typed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

Run = Callable[..., Result]

TIPS = '  - on: 2026-06-01\n    tips: {both: "14, 15 g", back: 1 3/16 in}   # after the rain\n'
KITE = f"""\
---
name: Knot
bow: {{rod: carbon-1.5, length: 640 mm, span: 600 mm}}
bench:
  - {{on: 2026-05-01, left: 214 g, right: 210 g}}
{TIPS}---
The story.
"""


@pytest.fixture
def knot(own_book: Path) -> Path:
    """The file of a kite with a round of its bow and a tips test."""
    path = own_book / "content" / "kites" / "knot.md"
    path.write_text(KITE, encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("words", "answers", "now"),
    [
        (("--both", "14, 16 g"), "", TIPS.replace('"14, 15 g"', '"14, 16 g"')),
        (("--back", "31 mm"), "", TIPS.replace("1 3/16 in", "31 mm")),
        (("--tips", "--on", "2026-06-02"), "", TIPS.replace("06-01", "06-02")),
        ((), "\n-\n0.56 oz\n\n\n", TIPS.replace("14, 15 g", "14 g, 0.56 oz")),
        ((), "30 mm\n\n2026-06-03\n", TIPS.replace("1 3/16 in", "30 mm").replace("06-01", "06-03")),
        ((), "\n\n\n", TIPS),
    ],
)
def test_a_tips_test_is_opened_again(
    words: tuple[str, ...], answers: str, now: str, own_book: Path, knot: Path, run: Run
) -> None:
    """What is corrected is written as it is typed; whatever else stands there stays, comment and all."""
    result = run(own_book, "bench", "knot", "--redo", "2", *words, given=answers)

    assert result.exit_code == 0, result.output
    assert knot.read_text(encoding="utf-8") == KITE.replace(TIPS, now), result.output


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        (("--redo", "2", "--left", "214 g"), "Round 2 is a tips test: it takes --both and --back"),
        (("--redo", "1", "--both", "14 g"), "Round 1 is no tips test"),
        (("--redo", "2", "--back", "900 mm"), "less than half the bow"),
    ],
)
def test_a_round_opened_as_another_kind_gets_a_sentence(
    words: tuple[str, ...], answer: str, own_book: Path, knot: Path, run: Run
) -> None:
    """And the file stays as it is."""
    result = run(own_book, "bench", "knot", *words)

    assert result.exit_code == 2
    assert answer in " ".join(result.output.split())
    assert knot.read_text(encoding="utf-8") == KITE
