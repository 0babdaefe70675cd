"""Whatever is wrong with a kite is said in one go, however many of its parts it concerns."""

from __future__ import annotations

from pathlib import Path

from helpers import run_bowbook, small_book
from sample_book import RODS, SKINS

KITE = """---
name: Turnstone
hight: 430 mm
bow: {rod: carbon-15, length: long}
sail: {skin: washi-3, decoration: crane.svg}
photos:
  - {file: beach.jpg, alt: The kite on the beach}
---

![At dusk](dusk.jpg) and [the other](../kites/dunlin.md).
"""


def test_one_pass_names_what_is_wrong_in_every_part_of_a_kite(tmp_path: Path) -> None:
    """Keys and values, stock, photos, the drawing, pictures and links of the story: by checking and by publishing."""
    book = small_book(tmp_path / "book", {"turnstone": KITE}, rods=RODS, skins=SKINS)

    said = [run_bowbook(command, cwd=book) for command in ("check", "publish")]

    for one in said:
        assert one.returncode == 1
        for line, what in ((3, "hight"), (4, "carbon-15"), (4, "long"), (5, "washi-3"), (5, "crane.svg")):
            assert f"content/kites/turnstone.md:{line}:" in one.stderr
            assert what in one.stderr
        for what in ("beach.jpg", "dusk.jpg", "dunlin"):
            assert what in one.stderr
    assert said[0].stderr == said[1].stderr
