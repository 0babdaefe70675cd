"""Whatever words follow `bowbook`, and whatever is typed then, the answer is a result or a sentence: no traceback."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bowbook.cli import COMMANDS, main
from helpers import small_book
from sample_book import BOOK, RODS, SKINS, kite

QUICK = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
LONG = settings(max_examples=1_500, deadline=None, suppress_health_check=list(HealthCheck))

# preview goes on until it is ended, so it has tests of its own
NAMES = sorted(name for part in COMMANDS.values() for name in part if name != "preview")
OPTIONS = (
    *(
        "--from",
        "--maker",
        "--covered",
        "--left",
        "--right",
        "--whole",
        "--on",
        "--anew",
        "--json",
        "--title",
        "--wind",
    ),
    *("--flyer", "--skin", "--like", "--rod", "--best", "--height", "--control", "--speed", "--note", "--private"),
    *("--paper", "--look", "--length", "--force", "--workers", "--help", "--version", "--", "-", "-x", "--zzz"),
)
VALUES = (
    *("turnstone", "knot", "Turnstone", "new", "old.csv", "turnstone.md", "MK", "carbon-1.5", "washi-30", "a4", "kite"),
    *("4-9 mph", "Bft 3", "9-4 mph", "1e400", "nan", "214, 213 g", "214,5", "-5", "0", "2026-05-03", "2026-02-30"),
    *(
        "",
        " ",
        "x" * 300,
        "\u202e",
        "\x1b[2J",
        "é",
        "e\u0301",
        "\ud800",
        "a\nb",
        "%s",
        "{}",
        "[1]",
        "CON",
        ".hidden",
        "$x",
    ),
)
JUNK = st.text(max_size=8).filter(lambda text: "/" not in text and ".." not in text and "\0" not in text)
WORD = st.sampled_from(OPTIONS) | st.sampled_from(VALUES) | JUNK
LINE = st.tuples(st.sampled_from(NAMES), st.lists(WORD, max_size=6)).map(lambda found: [found[0], *found[1]])
TYPED = st.lists(st.sampled_from(VALUES) | JUNK, max_size=8).map(
    lambda lines: "\n".join(lines).encode("utf-8", "replace").decode()
)


def is_answered(line: list[str], typed: str) -> None:
    """The command ends by itself, with one of its three statuses, and says something."""
    before = Path.cwd()
    with tempfile.TemporaryDirectory() as folder:
        root = small_book(
            Path(folder) / "book", {"turnstone": kite("Turnstone"), "knot": kite("Knot")}, BOOK, RODS, SKINS
        )
        (root / "old.csv").write_text("name,length,left\nOld,640,214\n")
        os.chdir(root)
        try:
            result = CliRunner().invoke(main, line, input=typed)
        finally:
            os.chdir(before)
    assert result.exception is None or isinstance(result.exception, SystemExit), (line, typed, result.exception)
    assert result.exit_code in (0, 1, 2), (line, typed, result.output)
    assert result.output, (line, typed)


@QUICK
@given(LINE, TYPED)
def test_any_command_line_is_answered(line: list[str], typed: str) -> None:
    """Commands with options and values of each other, of nothing, and of worse."""
    is_answered(line, typed)


@pytest.mark.fuzz
@LONG
@given(LINE, TYPED)
def test_any_command_line_is_answered_at_length(line: list[str], typed: str) -> None:
    """The same, many times over."""
    is_answered(line, typed)
