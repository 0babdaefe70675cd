"""The demo book's readings are what its script draws from the invented truths, and the program finds these again.

The truths (tests/tools/demo_truths.py) become readings by finite differences and quadrature
(tests/tools/plain_mechanics.py); the program knows nothing of either.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import demo_readings
import pytest
import yaml
from demo_bench import Truly
from demo_truths import AIR, HAND, LIKES, TRUTH
from plain_mechanics import flex_wind

from bowbook.findings.compute import compute_findings
from bowbook.findings.results import BookFindings, Findings
from bowbook.format.read_book import read_book
from helpers import CONTENT, bytes_under, copy_demo

MEASURED = sorted(key for key in TRUTH if ":" not in key and key != "dust-jacket")


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> BookFindings:
    """The demo book, worked out."""
    return compute_findings(read_book(copy_demo(tmp_path_factory.mktemp("honest") / "book")))


def true_kite(key: str) -> Truly:
    """A kite's truth, after everything its file says was shaved off it."""
    rods = yaml.safe_load((CONTENT / "stock" / "rods.yaml").read_text(encoding="utf-8"))
    front = (CONTENT / "kites" / f"{key}.md").read_text(encoding="utf-8").split("---\n", 2)[1]
    filling = demo_readings.Filling(Truly(key, yaml.load(front, Loader=yaml.BaseLoader), rods))
    for line in front.splitlines():
        filling.line(line)
    return filling.kite


def test_drawn_again_every_number_is_the_same(tmp_path: Path) -> None:
    """The script, run on a copy, leaves every byte of the book as it stands."""
    shutil.copytree(CONTENT, tmp_path / "content")
    demo_readings.main(tmp_path / "content")
    assert bytes_under(tmp_path / "content") == bytes_under(CONTENT)


def test_nothing_of_it_is_wrong(found: BookFindings) -> None:
    """Reading and working it out finds no fault; the warnings it has are meant to be seen."""
    assert found.problems == ()
    assert found.book.problems == ()


@pytest.mark.parametrize("key", MEASURED)
def test_the_true_flex_wind_is_found_within_its_uncertainty(key: str, found: BookFindings) -> None:
    """Within three standard uncertainties, of the newest day: shaved, softened, restrung and covered as it then was."""
    kite, truth = found.kites[key], true_kite(key)
    bow, on = truth.bows[""], "9999"
    span = float(truth.on_day("span", bow.written["span"], on)) / 1000
    true = flex_wind(bow.whole(on, truth.skin(on)), 2 * bow.half, span, truth.outline, AIR)
    assert kite.wind.flex_m_s is not None
    assert kite.wind.flex_m_s.u is not None
    assert abs(kite.wind.flex_m_s.value - true) < 3 * kite.wind.flex_m_s.u


def test_what_the_hand_and_the_flyers_are_like_is_learnt(found: BookFindings) -> None:
    """The hand from the bows pressed whole, each flyer's edges from the flights: as they were made up."""
    assert found.hand.bows >= 5
    assert found.hand.factor == pytest.approx(HAND, abs=3 * 0.03 / found.hand.bows**0.5)
    for name, (low, high) in LIKES.items():
        flyer = found.flyers[name]
        assert flyer.ratio_low is not None
        assert flyer.ratio_high is not None
        assert flyer.ratio_low == pytest.approx(low, rel=0.08)
        assert flyer.ratio_high == pytest.approx(high, rel=0.08)


def told(found: BookFindings, key: str) -> Findings:
    """One kite of the book."""
    return found.kites[key]


def test_it_shows_what_a_life_of_kites_brings(found: BookFindings) -> None:
    """Kites changed over three years, one with two bows, one given, one lost, a batch of three, loose strips."""
    kites = {key: one.filed or one.kite for key, one in found.kites.items()}
    lived = [key for key, one in kites.items() if {c.skin is None for c in one.changes} == {True, False}]
    assert sorted(lived) == ["foolscap", "marginalia"]
    assert told(found, "marginalia").drift is not None
    assert [key for key, one in kites.items() if len(one.bows) == 2] == ["ampersand"]
    assert {one.stage for one in kites.values()} == {
        "flying", "building", "planned", "resting", "given", "lost", "retired",
    }  # fmt: skip
    assert [key for key, one in kites.items() if one.batch == "Ditto"] == ["ditto-1", "ditto-2", "ditto-3"]
    assert len(found.book.strips) == 3
    assert len({one.sail.outline for one in kites.values()}) >= 12
    assert {flight.flyer for one in kites.values() for flight in one.flights} == {"Ansa", "Rook", "Oda"}
