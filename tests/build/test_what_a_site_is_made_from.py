"""Everything that a page's bytes depend on is looked at before a page is kept."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from bowbook.build.inputs import LIBRARIES

# what only asks, reads old tables, watches files or finds a folder
NOT_IN_PAGES = {"click", "openpyxl", "platformdirs", "watchfiles"}


def test_another_version_of_a_library_makes_the_site_anew() -> None:
    """Every library that pyproject.toml names counts, but for those that put nothing into a page."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    named = {re.split(r"[\[>=<!~ ]", line)[0] for line in project["dependencies"]}

    assert {name.replace("-", "_") for name in named - NOT_IN_PAGES} <= LIBRARIES
