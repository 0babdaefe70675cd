"""Area and chord of sails, against a geometry library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import trapezoid
from shapely.geometry import LineString, Polygon

from bowbook.mechanics.sail import area, chord, height, width

DIAMOND = [(0.0, 0.0), (0.3, 0.19), (0.0, 0.52)]
SWALLOW = [(0.0, 0.0), (0.3, 0.2), (0.25, 0.45), (0.12, 0.38), (0.0, 0.6)]  # a notch in the trailing edge
HOOKED = [(0.0, 0.0), (0.3, 0.0), (0.3, 0.3), (0.2, 0.3), (0.2, 0.1), (0.1, 0.1), (0.1, 0.4), (0.0, 0.4)]


def test_a_diamond_by_hand() -> None:
    """Half width times height; the chord falls straight from the whole height to nothing."""
    assert area(DIAMOND) == pytest.approx(0.3 * 0.52, rel=1e-12)
    assert (width(DIAMOND), height(DIAMOND)) == (0.6, 0.52)
    assert chord(DIAMOND) == ((0.0, 0.3), (0.52, 0.0))


def test_steps_stand_twice() -> None:
    """A sail with sides along the spine has chords that step; gaps between the hooks do not count as sail."""
    edges, values = chord(HOOKED)

    assert edges == (0.0, 0.1, 0.1, 0.2, 0.2, 0.3)
    assert values == pytest.approx((0.4, 0.4, 0.1, 0.1, 0.3, 0.3), rel=1e-12)


@pytest.mark.parametrize(
    "outline", [DIAMOND, SWALLOW, HOOKED, DIAMOND[::-1]], ids=["diamond", "swallow", "hooked", "back"]
)
def test_area_and_chord_are_the_geometry_library_s(outline: list[tuple[float, float]]) -> None:
    """Shapely's area of the polygon, and how much of a vertical line lies inside it."""
    sail = Polygon(outline)
    edges, values = chord(outline)

    assert area(outline) == pytest.approx(2 * sail.area, rel=1e-12)
    for x in np.linspace(0.003, 0.297, 50):
        inside = sail.intersection(LineString([(x, -1), (x, 1)])).length
        assert np.interp(x, edges, values) == pytest.approx(inside, abs=1e-12)


@given(
    st.lists(st.tuples(st.floats(0.05, 0.5), st.floats(0.01, 0.99)), min_size=1, max_size=6, unique_by=lambda p: p[1])
)
def test_the_chord_adds_up_to_the_area(points: list[tuple[float, float]]) -> None:
    """Whatever the outline, as long as it runs from nose to tail: ∫ chord = half the area."""
    outline = [(0.0, 0.0), *sorted(points, key=lambda p: p[1]), (0.0, 1.0)]
    edges, values = chord(outline)

    assert 2 * trapezoid(values, edges) == pytest.approx(area(outline), rel=1e-9)


@pytest.mark.parametrize("outline", [[], [(0.0, 0.0), (0.1, 0.1)], [(0.0, 0.0), (0.0, 0.1), (0.0, 0.2)]])
def test_an_outline_without_a_sail_is_refused(outline: list[tuple[float, float]]) -> None:
    """Too few points, or all of them on the centreline."""
    with pytest.raises(ValueError, match=r"the outline has \d points|the half width of the sail is 0 m"):
        chord(outline)
