"""A theme's chart style: the notebook's file and style sheet agree, another theme may differ, mistakes are named."""

from __future__ import annotations

from pathlib import Path

import pytest

from bowbook.charts.style import default_style, read_style, stylesheet
from helpers import ROOT


def test_the_notebooks_style_sheet_is_the_one_its_chart_style_gives() -> None:
    """charts.css is written from chart-style.toml; edited by hand, the two would drift apart."""
    assert (ROOT / "themes" / "notebook" / "charts.css").read_text(encoding="utf-8") == stylesheet(default_style())


def test_another_theme_says_only_what_differs(tmp_path: Path) -> None:
    """A theme's own file lies over the notebook's."""
    (tmp_path / "own.toml").write_text('[lines]\nheavy = 5\n[inks]\naccent = "--signal"\n', encoding="utf-8")
    style = read_style(tmp_path / "own.toml")
    assert style.lines["heavy"] == 5
    assert style.lines["hair"] == default_style().lines["hair"]
    assert ".ks-accent { stroke: var(--signal); }" in stylesheet(style)


@pytest.mark.parametrize(
    "text", ["[pens]\nred = 1\n", "[inks]\ncrimson = '--x'\n", "[lines]\nheavy = 'fat'\n", "[lines\n"]
)
def test_a_mistake_in_a_style_is_named(tmp_path: Path, text: str) -> None:
    """The file and what is not understood are said."""
    (tmp_path / "own.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"own\.toml"):
        read_style(tmp_path / "own.toml")
