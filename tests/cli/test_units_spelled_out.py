"""`begin` understands units as a beginner writes them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from bowbook.format.read_book import read_book

Run = Callable[..., Result]


@pytest.mark.parametrize(
    ("length", "force", "wind", "understood"),
    [
        ("inches", "ounces", "miles an hour", ("in", "oz", "mph")),
        ("Inch", "OZ", "knots", ("in", "oz", "kn")),
        ("millimetres", "grams", "kmh", ("mm", "g", "km/h")),
        ("centimeters", "newton", "metres per second", ("cm", "N", "m/s")),
    ],
)
def test_units_spelled_out(
    length: str, force: str, wind: str, understood: tuple[str, ...], tmp_path: Path, run: Run
) -> None:
    """Spelled out or short, in capitals or not, a unit is the book's unit afterwards."""
    result = run(tmp_path, "begin", "kites", "--length", length, "--force", force, "--wind", wind)
    assert result.exit_code == 0, result.output
    units = read_book(tmp_path / "kites").settings.units
    assert (units.length, units.force, units.wind) == understood


def test_a_unit_that_is_none_is_refused_with_those_that_are(tmp_path: Path, run: Run) -> None:
    """A unit the book could not show is named, with the ones it can."""
    result = run(tmp_path, "begin", "kites", "--length", "cubits")
    assert result.exit_code != 0
    assert "cubits is none of these. Write mm, cm or in." in " ".join(result.output.split())
    assert not (tmp_path / "kites" / "content").exists()
