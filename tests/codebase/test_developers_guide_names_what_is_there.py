"""The guide for people who change bowbook names files that exist."""

from __future__ import annotations

import re

import pytest

from helpers import ROOT

GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMED = sorted({name for name in re.findall(r"`([\w./-]+/[\w.-]*|[\w/-]+\.(?:py|js|toml))`", GUIDE) if name[0] != "."})


@pytest.mark.parametrize("name", NAMED)
def test_what_the_guide_names_is_there(name: str) -> None:
    """Every folder and module in backticks stands in the tree, in the program, or in the theme."""
    homes = (ROOT, ROOT / "generator/bowbook", ROOT / "themes/notebook")
    assert any((home / name).exists() for home in homes) or name.startswith(("data/", "themes/", "content/")), name
