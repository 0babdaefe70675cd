"""What the tests of the book's room share: a small book to put files into."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\nbamboo-spine: {material: bamboo, wide: 4 mm, thick: 2.6 mm}\n"
SKINS = "washi-30: {material: washi, areal: 30 g/m2}\nfilm-12: {material: polyester film, thick: 12 um}\n"


@pytest.fixture
def book_root(tmp_path: Path) -> Path:
    """An empty book with two rods and two skins in stock."""
    (tmp_path / "content" / "stock").mkdir(parents=True)
    (tmp_path / "content" / "kites").mkdir()
    (tmp_path / "content" / "stock" / "rods.yaml").write_text(RODS, encoding="utf-8")
    (tmp_path / "content" / "stock" / "skins.yaml").write_text(SKINS, encoding="utf-8")
    return tmp_path


@pytest.fixture
def put_kite(book_root: Path) -> Callable[[str, str], Path]:
    """Writes a kite's front matter (and story) into the book; gives its path."""

    def put(key: str, front: str, story: str = "") -> Path:
        path = book_root / "content" / "kites" / f"{key}.md"
        path.write_text(f"---\n{front}---\n{story}", encoding="utf-8")
        return path

    return put
