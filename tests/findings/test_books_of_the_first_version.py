"""The demo book of the first version, as it was: it reads without a fault and says the same where nothing changed.

figures.json is what the first version itself published of this book: sizes, least and flown winds, readings, tow
points. What is worked out another way today (stiffness, balance, flex winds) is not among it.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from bowbook.findings.compute import compute_findings
from bowbook.format.read_book import read_book
from bowbook.pages.data_files import as_json, json_text

BOOK = Path(__file__).with_name("first_version_book")
PUBLISHED = json.loads((BOOK / "figures.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def today() -> dict[str, Any]:
    """What is published of the same book today."""
    book = read_book(BOOK)
    assert book.problems == ()
    data: dict[str, Any] = json.loads(json_text(as_json(compute_findings(book))))
    return data


def test_every_kite_of_the_first_version_reads_as_before(today: dict[str, Any]) -> None:
    """No file has a fault, no kite is missing, no flight is lost, and the bands are the same."""
    assert set(today["kites"]) == set(PUBLISHED["kites"])
    assert len(PUBLISHED["kites"]) >= 20
    assert {name: flyer["flights"] for name, flyer in today["flyers"].items()} == PUBLISHED["flights"]
    assert today["bands"] == PUBLISHED["bands"]


@pytest.mark.parametrize("key", sorted(PUBLISHED["kites"]))
def test_figures_whose_mechanics_did_not_change_are_the_same(key: str, today: dict[str, Any]) -> None:
    """Sizes, least wind, liked winds, readings as the scale said them and the tow point are what they were."""
    kite, before = today["kites"][key], PUBLISHED["kites"][key]

    assert set(kite["sail"]) == set(before["sail"])
    for name, figure in before["sail"].items():
        assert kite["sail"][name] == _as(figure), name
    assert kite["wind"]["least_m_s"] == _as(before["least_m_s"])
    assert set(kite["wind"]["flown"]) == set(before["flown"])
    for flyer, liked in before["flown"].items():
        assert kite["wind"]["flown"][flyer] == pytest.approx(liked, rel=1e-9)
    assert kite["tow"] == (None if before["tow"] is None else pytest.approx(before["tow"], rel=1e-9))
    assert [one["on"] for one in kite["balance"]["rounds"]] == before["rounds"]
    for part, newton in before["press"].items():
        read = kite["bow"][part]["press_N"]
        assert (read and read["value"]) == _as(newton)


def _as(figure: float | None) -> Any:
    """The figure but for rounding; None where there is none."""
    return None if figure is None else pytest.approx(figure, rel=1e-9)
