"""Reading a book starts at once: nothing that computes, draws or renders is loaded for it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

HEAVY = (
    "numpy",
    "scipy",
    "matplotlib",
    "jinja2",
    "markdown_it",
    "PIL",
    "asyncio",
    "ruamel",
    "uncertainties",
    "shapely",
)
ROOT = Path(__file__).parents[2]


def test_reading_a_book_loads_no_heavy_library() -> None:
    """A fresh interpreter that has read the demonstration holds none of them."""
    code = f"import sys; from bowbook.format.read_book import read_book; b = read_book({str(ROOT)!r}); "
    code += f"print(len(b.kites), [m for m in {HEAVY!r} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    count, _, loaded = done.stdout.strip().partition(" ")

    assert int(count) >= 14
    assert loaded == "[]"
