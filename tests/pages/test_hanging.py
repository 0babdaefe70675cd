"""On the wind shelf nothing lies over anything else, whatever hangs there."""

from __future__ import annotations

import math
import random
from itertools import combinations, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from large_book import SCRIPTS

from bowbook.book.records import Band, Units
from bowbook.charts.profile import profile_of
from bowbook.findings.results import Findings
from bowbook.pages.flock import flock_of
from bowbook.pages.hang_ways import Hangable, Paper, Place
from bowbook.pages.hanging import hang
from bowbook.pages.kite_row import KiteRow, by_wind, row_of
from bowbook.pages.sky import Hung, Sky, layout_of, sky_kites, sky_of
from bowbook.pages.text_width import columns, cut, text_width
from bowbook.pages.wind_axis import BAND_NAME, LEAST, MOST, SCREENS, WIDTH, WindAxis, axis_of
from factories import kite, liked, outlined

BANDS = (Band("light-air", "light air", 0.3, 1.6), Band("light-breeze", "light breeze", 1.6, 3.4))
PAPER = Paper(1280, 496, 30, 14, 16, 12.5)


def listed(kites: list[Findings]) -> list[KiteRow]:
    """The kites' lines in the order of lists."""
    return [row_of(one, Units(), {}, {}) for one in sorted(kites, key=by_wind)]


def invented(kites: int, seed: int) -> list[KiteRow]:
    """A generated book: most kites for light winds, outlines narrow and broad, names in nine scripts."""
    dice = random.Random(seed)
    made = []
    for n in range(kites):
        low, ratio = 2 * math.exp(abs(dice.gauss(0.6, 0.6))), dice.uniform(1.2, 2)
        joint, pieces = SCRIPTS[dice.choice(sorted(SCRIPTS))]
        name = joint.join(dice.choice(pieces) for _ in range(dice.randint(1, 4)))
        one = liked(kite(f"{name} {n}"), low, low * ratio, flown=dice.random() < 0.7)
        made.append(outlined(one, dice.uniform(0.15, 0.6)))
    return listed(made)


def meeting(places: dict[str, Place]) -> list[tuple[str, str]]:
    """Pairs of kites of which a sail, a text or a line's end lies over a sail, a text or a line's end of the other."""
    solid = {
        key: [
            (box[0], box[1] + place.y, box[2], box[3] + place.y) for kind, box in place.way.by_kind() if kind != "line"
        ]
        for key, place in places.items()
    }
    return [
        (one, other)
        for one, other in combinations(solid, 2)
        for a in solid[one]
        for b in solid[other]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] and not _both_ends(a, b)
    ]


def _both_ends(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Ends of two lines may stand at one wind, as long as the lines stay apart."""
    return one[2] - one[0] == other[2] - other[0] == 6 and abs(one[1] - other[1]) >= 8


def laid_out(lines: list[KiteRow]) -> dict[str, Place] | None:
    """Where a book's kites hang; None where they are too many or too close for names."""
    axis = axis_of([(x.low, x.high) for x in lines if x.low and x.high], BANDS, (), Units())
    return layout_of(sky_kites(lines, axis, (), None)).places.get(0)


def drawn_sky(lines: list[KiteRow], axis: WindAxis) -> Sky | None:
    """The sky of a book without flyers."""
    hung = sky_kites(lines, axis, (), None)
    return sky_of(lines, hung, layout_of(hung))


@pytest.mark.parametrize("kites", [1, 2, 5, 12, 25, 40, 60])
def test_no_sail_name_or_line_end_meets_another(kites: int) -> None:
    """Books of 1 to 60 kites hang with every name, and nothing solid of any kite lies over another's."""
    places = laid_out(invented(kites, seed=kites))
    assert places is not None
    assert len(places) == kites
    assert meeting(places) == []


def test_kites_that_all_like_one_wind_never_overlap() -> None:
    """Sixty kites for one wind, with names of any length: named where there is room, else a flock of marks."""
    lines = listed([liked(kite(f"The long winter evening kite {n}"), 4, 7) for n in range(60)])
    assert meeting(laid_out(lines) or {}) == []


def test_the_same_book_hangs_in_the_same_places() -> None:
    """Nothing is random: the same kites hang in the same places, and their order in the call makes no difference."""
    dice = random.Random(3)
    items = []
    for n in range(18):
        left = dice.uniform(60, 900)
        halves = tuple(dice.uniform(20, 40) for _ in range(5))
        items.append(Hangable(f"k{n}", left, left + dice.uniform(60, 300), halves, 20, 40, 80, 40))
    places, still_meeting = hang(items, PAPER)
    assert still_meeting == 0
    assert hang(items[::-1], PAPER)[0] == places


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.floats(0.5, 30), st.floats(1.05, 4), st.floats(0.1, 1.5), st.booleans(), st.text(min_size=1, max_size=40)
        ),
        min_size=1,
        max_size=6,
    )
)
def test_kites_hang_over_the_wind_they_like(winds: list[tuple[float, float, float, bool, str]]) -> None:
    """Each kite's line spans its own range on the axis, inside the drawing; predicted ones are marked as such."""
    kites = [
        outlined(liked(kite(f"k{n} {name}"), low, low * ratio, flown=flown), wide / 2)
        for n, (low, ratio, wide, flown, name) in enumerate(winds)
    ]
    lines = listed(kites)
    axis = axis_of([(x.low, x.high) for x in lines if x.low and x.high], BANDS, (), Units())
    sky = drawn_sky(lines, axis)
    assert sky is not None
    for hung in sky.kites:
        assert hung.line.low is not None
        assert hung.line.high is not None
        left, right = _ends(hung)
        assert abs(left - axis.place(hung.line.low)) < 0.2
        assert abs(right - max(axis.place(hung.line.high), axis.place(hung.line.low) + 3)) < 0.2
        assert 0 <= left < right <= 1280
        assert hung.spot.guess is (hung.line.basis == "predicted")


def _ends(hung: Hung) -> tuple[float, float]:
    return float(hung.spot.left) * 12.8, float(hung.spot.right) * 12.8


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0.5, 40), st.floats(1.05, 4)), min_size=1, max_size=60))
def test_an_axis_grows_with_the_wind_and_is_stretched_within_bounds(winds: list[tuple[float, float]]) -> None:
    """Every wind of the book is on the axis, in order, and no stretch is wider or narrower than it may be."""
    ranges = [(low, low * ratio) for low, ratio in winds]
    axis = axis_of(ranges, BANDS, (), Units())
    assert all(axis.low < low and high < axis.top for low, high in ranges)
    plain = 1 / math.log(axis.top / axis.low)
    for (u0, p0), (u1, p1) in zip(axis.points, axis.points[1:], strict=False):
        assert LEAST * 0.97 <= (p1 - p0) / (u1 - u0) / plain <= MOST * 1.03
    assert axis.top / axis.low >= 4 - 1e-3


def test_an_axis_gives_room_where_kites_are() -> None:
    """Ten kites at 4 to 7 and one at 16 to 24: the crowded ratio takes more of the axis than the same ratio above."""
    axis = axis_of([(4, 7)] * 10 + [(16, 24)], BANDS, (), Units())
    assert axis.share(6) - axis.share(4.5) > 1.2 * (axis.share(20) - axis.share(15))


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0.5, 40), st.floats(1.05, 4)), min_size=1, max_size=60))
def test_marks_keep_apart_on_every_screen(winds: list[tuple[float, float]]) -> None:
    """From the narrowest phone on, marks stand as far apart as their texts need and clear of the unit before them."""
    axis = axis_of([(low, low * ratio) for low, ratio in winds], BANDS, (), Units())
    screens = list(SCREENS)
    for last, wide in enumerate(SCREENS.values()):
        for marks, apart in ((axis.marks, 30), (axis.other_marks, 42)):
            shown = [float(mark.x) / 100 * wide for mark in marks if screens.index(mark.screen) <= last]
            if len(marks) > 2:  # else the ends of the axis
                assert all(b - a > apart - 0.1 for a, b in pairwise(shown))
            assert wide == WIDTH or not shown or shown[0] > 36
        names = [(float(b.x) / 100 * wide, b.short) for b in axis.bands if screens.index(b.screen) <= last and b.short]
        for (x, name), (after, other) in pairwise(names):
            assert after - x >= (text_width(name, BAND_NAME) + text_width(other, BAND_NAME)) / 2


@settings(max_examples=200, deadline=None)
@given(st.text(min_size=1, max_size=120))
def test_a_name_of_any_length_and_script_takes_one_line(name: str) -> None:
    """Names are cut to a line that fits; a short one is not touched."""
    line = cut(name, 20)
    assert columns(line) <= 20 or len(line) <= 2
    if columns(" ".join(name.split())) <= 20:
        assert line == " ".join(name.split())


def test_a_profile_holds_the_whole_outline() -> None:
    """Each slab of a sail is as wide as its outline is there: a diamond's by similar triangles."""
    profile = profile_of([(0, 0), (250, 170), (0, 440)])
    assert profile.halves[0] == pytest.approx(250 * 88 / 170, rel=0.15)
    assert max(profile.halves) == 250
    assert profile.halves[4] == pytest.approx(250 * 88 / 270, rel=0.15)


def test_a_flock_draws_every_kite_once_in_the_order_of_the_list() -> None:
    """A large collection loses no kite, and the page's script can tell marks by their order."""
    kites = [liked(kite(f"Kite {n:03}"), 2 + (n % 17) * 0.9, 4 + (n % 17) * 1.1) for n in range(150)]
    lines = listed(kites)
    flock = flock_of(lines, axis_of([(x.low, x.high) for x in lines if x.low and x.high], BANDS, (), Units()))
    assert len(flock.dots) == 150
    places = [float(dot.path.removeprefix("M").split(" ")[0]) for dot in flock.dots]
    assert places == sorted(places)
