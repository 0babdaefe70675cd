"""A kite flown only by taps has a range; its edges are where taps part, not the outermost winds that were liked."""

from __future__ import annotations

from math import sqrt

import pytest

from bowbook.book.records import Flight, Kite, Settings, Tap, Wind
from bowbook.findings.ledger import Ledger
from bowbook.findings.winds import flown


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
