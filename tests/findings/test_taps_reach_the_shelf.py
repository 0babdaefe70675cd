"""A kite flown only by taps has a range; its edges are where taps part, not the outermost winds that were liked."""

from __future__ import annotations

from math import sqrt
from pathlib import Path

import pytest

from bowbook.book.records import Flight, Kite, Settings, Tap, Wind
from bowbook.findings.compute import compute_findings
from bowbook.findings.ledger import Ledger
from bowbook.findings.winds import flown
from bowbook.format.read_book import read_book
from bowbook.pages.data_files import as_json
from helpers import small_book


def tapped(*taps: tuple[float, str]) -> Flight:
    """A flight of Ansa's as a session leaves it."""
    liked = [wind for wind, said in taps if said == "liked"]
    best = Wind(min(liked), max(liked)) if liked else None
    return Flight(flyer="Ansa", best=best, taps=tuple(Tap(wind, said) for wind, said in taps))


def ranges(*flights: Flight) -> tuple[float, float]:
    """Ansa's range in a kite with these flights."""
    kite = Kite("nib", "Nib", flights=flights)
    found = flown(kite, Settings(), Ledger(kite))["Ansa"]
    return found.low, found.high


def test_edges_lie_between_the_winds_that_part_them() -> None:
    """Too little at 1, liked at 4, too much at 9: by symmetry the edges are the geometric means, 2 and 6 m/s."""
    low, high = ranges(tapped((1.0, "little"), (4.0, "liked"), (9.0, "much")))
    assert low == pytest.approx(sqrt(1 * 4), rel=0.02)
    assert high == pytest.approx(sqrt(4 * 9), rel=0.02)


def test_days_add_up_before_they_are_judged() -> None:
    """What one day's taps leave open another's close: the two together are one record."""
    low, high = ranges(tapped((1.0, "little"), (4.0, "liked")), tapped((4.0, "liked"), (9.0, "much")))
    assert low == pytest.approx(2.0, rel=0.05)
    assert high == pytest.approx(6.0, rel=0.05)


def test_an_edge_that_is_open_is_no_value_beside_one_that_is_known() -> None:
    """Liked at 3 and no more says nothing against a noted best wind of 2 to 6; alone, it stands until more is known."""
    noted = Flight(flyer="Ansa", best=Wind(2.0, 6.0))
    assert ranges(noted, tapped((3.0, "liked"))) == pytest.approx((2.0, 6.0))
    assert ranges(tapped((3.0, "liked"), (4.0, "liked"))) == pytest.approx((3.0, 4.0))


def test_taps_in_a_file_come_out_in_the_data(tmp_path: Path) -> None:
    """A book in, data out: the range that taps part, not the winds that were liked; taps of no liked wind count too."""
    head = "---\nname: {}\nflights:\n  - on: 2026-06-14\n    flyer: Ansa\n{}---\n"
    taps = "    best: 4 m/s\n    taps: 1 m/s little, 4 m/s liked, 9 m/s much\n"
    more = (
        "    taps: 1 m/s little, 9 m/s much\n  - on: 2026-06-15\n    flyer: Ansa\n"
        "    best: 4 m/s\n    taps: 4 m/s liked\n"
    )
    root = small_book(tmp_path / "book", {"nib": head.format("Nib", taps), "quarto": head.format("Quarto", more)})

    data = as_json(compute_findings(read_book(root)))

    for key in ("nib", "quarto"):
        found = data["kites"][key]["wind"]["flown"]["Ansa"]  # type: ignore[index]
        assert found["low"] == pytest.approx(2.0, rel=0.05)  # √(1 × 4)
        assert found["high"] == pytest.approx(6.0, rel=0.05)  # √(4 × 9)
