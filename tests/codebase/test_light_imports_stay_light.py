"""Commands a maker runs all day load only what they need."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from sample_book import lively_book

HEAVY = (
    *("numpy", "scipy", "matplotlib", "PIL", "jinja2", "markdown_it", "asyncio", "ruamel", "shapely", "watchfiles"),
    *("csv", "xml.etree", "xml.parsers", "bowbook.charts.comfort", "bowbook.charts.bench_plot"),
)
QUIETLY = """
import contextlib, io, sys
from bowbook.cli import main
with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
    main({words!r})
"""


def heavy_modules(code: str, cwd: Path) -> list[str]:
    """The heavy modules that a fresh interpreter holds after running `code`."""
    report = f"{code}\nimport json, sys\nprint(json.dumps([m for m in {HEAVY!r} if m in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", report], cwd=cwd, capture_output=True, text=True, check=True)
    found: list[str] = json.loads(done.stdout.splitlines()[-1])
    return found


def test_a_heavy_import_would_be_seen(tmp_path: Path) -> None:
    """The report names what was loaded."""
    assert {"jinja2", "PIL"} <= set(heavy_modules("import jinja2, PIL", tmp_path))


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["publish", "--help"], ["check"]], ids=" ".join)
def test_these_commands_load_nothing_heavy(words: list[str], tmp_path: Path) -> None:
    """Help and check start no numerics, no drawing and no templates."""
    lively_book(tmp_path)
    assert heavy_modules(QUIETLY.format(words=words), tmp_path) == []


@pytest.mark.parametrize("words", [["check", "--json"], ["choose", "knot", "--wind", "4-7 mph"]], ids=" ".join)
def test_figures_need_no_drawing(words: list[str], tmp_path: Path) -> None:
    """Working figures out loads numerics, but neither matplotlib nor Pillow nor templates."""
    lively_book(tmp_path)
    assert not {"matplotlib", "PIL", "jinja2"} & set(heavy_modules(QUIETLY.format(words=words), tmp_path))


def test_a_second_publish_draws_nothing(tmp_path: Path) -> None:
    """With nothing changed, publishing neither draws nor computes."""
    lively_book(tmp_path)
    assert "numpy" in heavy_modules(QUIETLY.format(words=["publish"]), tmp_path)
    assert not {"matplotlib", "scipy", "numpy", "jinja2", "PIL"} & set(
        heavy_modules(QUIETLY.format(words=["publish"]), tmp_path)
    )


def test_a_word_of_a_story_neither_computes_nor_draws(tmp_path: Path) -> None:
    """However often a page is written anew: its charts were drawn before, and are kept for as long as it stands."""
    lively_book(tmp_path)
    heavy_modules(QUIETLY.format(words=["publish"]), tmp_path)
    for word in ("one", "two", "three"):
        story = tmp_path / "content" / "kites" / "knot.md"
        story.write_text(f"{story.read_text(encoding='utf-8').rstrip()} Then {word}.\n", encoding="utf-8")
        loaded = heavy_modules(QUIETLY.format(words=["publish"]), tmp_path)
        assert "jinja2" in loaded, word
        assert set(loaded) <= {"jinja2", "markdown_it"}, word
