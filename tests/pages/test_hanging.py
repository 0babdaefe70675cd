"""On the wind shelf nothing lies over anything else, whatever hangs there."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from bowbook.book.records import Band, Units
from bowbook.findings.results import Findings
from bowbook.pages.kite_row import KiteRow, by_wind, row_of
from bowbook.pages.sky import axis_of, flock_of, sky_of
from bowbook.pages.sky_layout import Box, hang, lines_of
from factories import kite, liked, outlined

px = st.floats(0, 1200, allow_nan=False)
boxes = st.lists(
    st.builds(lambda left, wide, high: Box(left, left + wide, high), px, st.floats(1, 500), st.floats(5, 180)),
    max_size=40,
)
BANDS = (Band("light-air", "light air", 0.3, 1.6), Band("light-breeze", "light breeze", 1.6, 3.4))


def listed(kites: list[Findings]) -> list[KiteRow]:
    """The kites' lines in the order of lists."""
    return [row_of(one, Units(), {}) for one in sorted(kites, key=by_wind)]


@settings(max_examples=60, deadline=None)
@given(boxes)
def test_no_two_boxes_overlap(hung: list[Box]) -> None:
    """Whatever the boxes, no two share a spot of the sky, and none hangs below the ground."""
    feet = hang(hung)
    assert all(foot >= 0 for foot in feet)
    for (one, low), (other, high) in combinations(zip(hung, feet, strict=True), 2):
        beside = one.right <= other.left or other.right <= one.left
        above = low + one.height <= high or high + other.height <= low
        assert beside or above


@settings(max_examples=60, deadline=None)
@given(boxes)
def test_every_box_hangs_on_the_ground_or_on_another(hung: list[Box]) -> None:
    """No box hangs higher than it must: below each that is off the ground something is in the way."""
    feet = hang(hung)
    for n, foot in enumerate(feet):
        if foot > 0:
            tops = [feet[i] + hung[i].height for i in range(len(hung)) if i != n]
            assert any(abs(top - foot) < 10 for top in tops)


@settings(max_examples=200, deadline=None)
@given(st.text(min_size=1, max_size=120))
def test_a_name_of_any_length_and_script_takes_two_lines_at_most(name: str) -> None:
    """Names are cut to two lines that fit; a short one is not touched."""
    lines = lines_of(name)
    assert 1 <= len(lines) <= 2
    assert all(len(line) <= 19 or any(ord(c) >= 0x300 for c in line) for line in lines)
    if name.isascii() and name.strip() and len(" ".join(name.split())) <= 18:
        assert lines == (" ".join(name.split()),)


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(0.5, 30), st.floats(1.05, 4), st.floats(0.1, 1.5), st.booleans(), st.text(min_size=1, max_size=40)
        ),
        min_size=1,
        max_size=25,
    )
)
def test_kites_hang_over_the_wind_they_like(winds: list[tuple[float, float, float, bool, str]]) -> None:
    """Each kite's bar spans its own range on the axis, inside the drawing; predicted ones are marked as such."""
    kites = [
        outlined(liked(kite(f"k{n} {name}"), low, low * ratio, flown=flown), wide / 2)
        for n, (low, ratio, wide, flown, name) in enumerate(winds)
    ]
    lines = listed(kites)
    axis = axis_of(lines, BANDS, (), Units())
    sky = sky_of(lines, axis)
    assert len(sky.kites) == len(kites)
    for hung in sky.kites:
        start, _, end = hung.bar.removeprefix("M").partition("H")
        left, right = float(start.split()[0]), float(end)
        assert hung.line.low is not None
        assert hung.line.high is not None
        assert abs(left - axis.place(hung.line.low)) < 0.01
        assert abs(right - max(axis.place(hung.line.high), axis.place(hung.line.low) + 3)) < 0.02
        assert 0 <= left < right <= 1200
        assert hung.predicted is (hung.line.basis == "predicted")


def test_an_axis_runs_by_ratios() -> None:
    """From 3 to 6 is as far as from 6 to 12: the axis is logarithmic, as ranges of wind are."""
    axis = axis_of(listed([liked(kite(), 3, 12)]), BANDS, (), Units())
    assert abs((axis.place(6) - axis.place(3)) - (axis.place(12) - axis.place(6))) < 1e-9


def test_a_flock_draws_every_kite_once_in_the_order_of_the_list() -> None:
    """A large collection loses no kite, and the page's script can tell marks by their order."""
    kites = [liked(kite(f"Kite {n:03}"), 2 + (n % 17) * 0.9, 4 + (n % 17) * 1.1) for n in range(150)]
    lines = listed(kites)
    flock = flock_of(lines, axis_of(lines, BANDS, (), Units()))
    assert len(flock.dots) == 150
    places = [float(dot.path.removeprefix("M").split(" ")[0]) for dot in flock.dots]
    assert places == sorted(places)


def test_wide_ranges_stay_true_at_the_edge_of_the_scale() -> None:
    """A single narrow range still gets an axis with room around it."""
    lines = listed([liked(kite(), 6, 6.5)])
    axis = axis_of(lines, BANDS, (), Units())
    assert axis.top / axis.low >= 4 - 1e-9
