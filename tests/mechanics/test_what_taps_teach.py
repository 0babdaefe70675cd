"""Taps bound an edge: simulated flyers whose true edges are known, and cases that can be worked by hand.

A simulated flyer likes a kite between two winds and answers by the wind truly felt; the note says another wind, off by
a normal error of its logarithm. Nothing of the method is used to simulate.
"""

from __future__ import annotations

import random
from math import exp, log, sqrt

import pytest

from bowbook.mechanics.taps import SCATTER, EdgeBounds, edge_bounds

FLYERS = 500


def answered(rng: random.Random, low: float, high: float, winds: list[float]) -> list[tuple[float, str]]:
    """A day's taps: the wind as noted and what the flyer said in the wind as it was."""
    taps = []
    for wind in winds:
        noted = wind * exp(rng.gauss(0.0, SCATTER))
        taps.append((noted, "little" if wind < low else "much" if wind > high else "liked"))
    return taps


def learnt(taps: list[tuple[float, str]]) -> tuple[EdgeBounds, EdgeBounds]:
    """Both edges, from taps on either side of each."""
    little, liked, much = ([wind for wind, said in taps if said == word] for word in ("little", "liked", "much"))
    return edge_bounds(little, [*liked, *much]), edge_bounds([*little, *liked], much)


def inside(value: float, found: EdgeBounds) -> bool:
    """Whether a true edge lies in what was learnt of it."""
    return (found.least is None or found.least <= value) and (found.most is None or value <= found.most)


@pytest.mark.parametrize("taps", [1, 3, 6, 12])
def test_true_edges_lie_inside_nineteen_times_in_twenty(taps: int) -> None:
    """Of simulated flyers tapping in winds from 1 to 12 m/s, 95 % of either edge lie inside, within three deviations
    of the binomial distribution; edges are drawn as widely as winds are, since nothing is known of them before."""
    rng = random.Random(taps)
    hit = 0
    for _ in range(FLYERS):
        low = exp(rng.uniform(log(1.0), log(6.0)))
        high = low * rng.uniform(1.2, 2.5)
        winds = [exp(rng.uniform(log(0.7), log(16.0))) for _ in range(taps)]
        found = learnt(answered(rng, low, high, winds))
        hit += inside(low, found[0]) + inside(high, found[1])
    share, n = hit / (2 * FLYERS), FLYERS  # two edges of one flyer share their winds: counted as one
    assert share >= 0.95 - 3 * sqrt(0.95 * 0.05 / n)


def test_more_taps_make_it_narrower() -> None:
    """Thirty taps around an edge bound it more narrowly than four, and their middle is nearer to the truth."""
    rng = random.Random(5)
    widths = {}
    for taps in (4, 30):
        spans = []
        for _ in range(200):
            winds = [exp(rng.uniform(log(2.5), log(10.0))) for _ in range(taps)]
            found = learnt(answered(rng, 2.0, 5.0, winds))[1]
            if found.least and found.most:
                spans.append(log(found.most / found.least))
        widths[taps] = sum(spans) / len(spans)
    assert widths[30] < 0.6 * widths[4]


def test_too_much_at_nine_and_liked_at_seven_part_in_between() -> None:
    """The upper edge lies about the geometric mean of the last wind liked and the first that was too much."""
    found = edge_bounds((6.0, 7.0), (9.0,))
    assert found.least is not None
    assert found.middle is not None
    assert found.most is not None
    assert 7.0 < found.middle < 9.0
    assert found.least < 7.0 < 9.0 < found.most


def test_one_side_bounds_one_side() -> None:
    """Liked at 6 and nothing more says the upper edge is no lower than about 6, and nothing of how high it is."""
    found = edge_bounds((6.0,), ())
    # The normal distribution has a twentieth of itself under −1.644854 (NIST/SEMATECH e-Handbook, 1.3.6.7.1).
    assert found.least == pytest.approx(6.0 * exp(-1.644854 * SCATTER), rel=1e-5)
    assert found.middle is None
    assert found.most is None
    assert edge_bounds((), ()) == (None, None, None)


def test_answers_against_each_other_are_no_fault() -> None:
    """A gust may make 6 too much on a day when 8 was liked: the edge then lies about both, and a whole day of
    impossible answers still gives numbers."""
    found = edge_bounds((8.0,), (6.0,))
    assert found.middle == pytest.approx(sqrt(48.0), rel=1e-6)
    wild = edge_bounds((40.0,) * 50, (0.5,) * 50)
    assert wild.least is not None
    assert wild.most is not None
    assert 0.4 < wild.least < wild.most < 45.0


def test_a_wind_that_is_none_is_refused() -> None:
    """Logarithms need more than nothing."""
    with pytest.raises(ValueError, match="wind"):
        edge_bounds((0.0,), (3.0,))
