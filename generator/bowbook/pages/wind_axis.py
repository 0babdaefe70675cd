"""The wind along the shelf's ground line: logarithmic, and stretched where many kites like the wind.

Ranges of wind go by ratios, so from 3 to 6 is as far as from 6 to 12 on a plain axis. Most kites of a book like much
the same winds; there the axis gets more room, by the square root of how many kites like that wind, smoothed, and never
more than 1.45 or less than 0.55 times the plain one. The page's script gets the same points and so the same places.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book import units as book_units
from bowbook.book.records import Band, Units
from bowbook.charts.svg import number
from bowbook.findings.results import Range
from bowbook.pages.text_width import text_width
from bowbook.wording import numbers

WIDTH = 1280.0
"""px that a shelf is laid out for; places on it are shares of the width."""

MARGIN = 58.0 / WIDTH  # share of the width left free at either end
MOST, LEAST = 1.45, 0.55  # of the plain logarithmic axis
SMOOTH = 0.16  # ratios of wind, as logarithms, over which crowding is averaged
FINE, SHARED = 241, 41  # points the axis is worked out at, and points it is kept at
BAND_NAME = 13.5  # px
NICE = (
    0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 14.0, 16.0, 18.0, 20.0, 25.0,
    30.0, 40.0, 50.0, 60.0, 80.0, 100.0,
)  # fmt: skip
WHOLE = frozenset({1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0})


SCREENS = {"": 360.0, "at-tablet": 640.0, "at-desk": WIDTH}
"""The narrowest screens, px, on which marks of these classes have room."""

UNIT_ENDS = 36.0  # px: before it the unit stands, whatever the screen


class AxisMark(Struct, frozen=True):
    """A mark on the axis, percent of the width, its text, and the class of the screens that have room for it."""

    x: str
    text: str
    screen: str


class BandMark(Struct, frozen=True):
    """A band under the axis: percent of the width where its name stands and where it begins, its name, its page.

    `screen` is the class of the screens that have room for the name as it is shown, `short`.
    """

    x: str
    edge: str | None
    name: str
    short: str
    address: str
    screen: str


class WindAxis(Struct, frozen=True):
    """The ground line, in the unit shown. `points` are (logarithm of the wind, share of the axis), evenly spread."""

    points: tuple[tuple[float, float], ...]
    unit: str
    other_unit: str
    marks: tuple[AxisMark, ...] = ()
    other_marks: tuple[AxisMark, ...] = ()
    bands: tuple[BandMark, ...] = ()
    covered: tuple[tuple[str, str], ...] = ()

    @property
    def low(self) -> float:
        """The lightest wind on it."""
        return math.exp(self.points[0][0])

    @property
    def top(self) -> float:
        """The strongest wind on it."""
        return math.exp(self.points[-1][0])

    def share(self, wind: float) -> float:
        """How far along the axis a wind stands, 0 to 1; winds off the axis stand at its ends."""
        at = math.log(max(wind, 1e-9))
        if at <= self.points[0][0]:
            return 0.0
        if at >= self.points[-1][0]:
            return 1.0
        after = bisect_right(self.points, at, key=lambda point: point[0])
        (u0, p0), (u1, p1) = self.points[after - 1], self.points[after]
        return p0 + (p1 - p0) * (at - u0) / (u1 - u0)

    def place(self, wind: float) -> float:
        """px of a wind along a shelf laid out at its own width."""
        return WIDTH * (MARGIN + (1 - 2 * MARGIN) * self.share(wind))


def axis_of(
    ranges: Sequence[tuple[float, float]], bands: Sequence[Band], covered: Sequence[Range], units: Units
) -> WindAxis:
    """The axis that holds all these ranges, in the unit shown, with a little room at either end."""
    low, top = min(low for low, _ in ranges) * 0.93, max(high for _, high in ranges) * 1.06
    if top / low < 4:
        middle = math.sqrt(low * top)
        low, top = middle / 2, middle * 2
    unit, other = numbers.wind_unit(units), book_units.second_unit("wind", units)
    bare = WindAxis(_stretched(ranges, low, top), unit, other)
    ratio = book_units.from_unit(1.0, other, "wind") / book_units.from_unit(1.0, unit, "wind")
    spans = [(numbers.wind_number(c.low, units), numbers.wind_number(c.high, units)) for c in covered]
    return replace(
        bare,
        marks=_marks(bare, 1.0, 30.0),
        other_marks=_marks(bare, ratio, 42.0),
        bands=_bands(bare, bands, units),
        covered=tuple((percent(bare.place(a)), percent(bare.place(b))) for a, b in spans),
    )


def percent(px: float) -> str:
    """px along the shelf's own width as percent of it."""
    return number(100 * px / WIDTH)


def _stretched(ranges: Sequence[tuple[float, float]], low: float, top: float) -> tuple[tuple[float, float], ...]:
    """The axis's points: wide where many of the ranges lie, held to its limits."""
    import numpy as np

    at = np.linspace(math.log(low), math.log(top), FINE)
    edges = np.log(np.array(ranges))
    crowd = np.zeros_like(at)
    for begin, end in edges:  # each range with soft ends, so that the axis never jumps
        crowd += 1 / (1 + np.exp(-(at - begin) / 0.03)) / (1 + np.exp((at - end) / 0.03))
    near = np.exp(-0.5 * ((at[:, None] - at[None, :]) / SMOOTH) ** 2)
    wide = np.sqrt((near @ crowd) / near.sum(1) + 0.3)
    step = (at[-1] - at[0]) / (FINE - 1)
    for _ in range(40):
        wide = np.clip(wide / wide.mean(), LEAST, MOST)
    along = np.concatenate([[0.0], np.cumsum((wide[1:] + wide[:-1]) / 2 * step)])
    along /= along[-1]
    kept = range(0, FINE, (FINE - 1) // (SHARED - 1))
    return tuple((round(float(at[n]), 4), round(float(along[n]), 4)) for n in kept)


def _marks(axis: WindAxis, ratio: float, apart: float) -> tuple[AxisMark, ...]:
    """Marks at winds a person would name, not nearer to each other than their texts allow; else at the axis's ends."""
    marks: list[tuple[float, float]] = []
    # Winds more people think in come first, and the rest fill in where there is room.
    for value in sorted(NICE, key=lambda v: (v not in WHOLE, v)):
        x = axis.place(value * ratio)
        if axis.low <= value * ratio <= axis.top and all(abs(x - other) >= apart for _, other in marks):
            marks.append((value, x))
    marks = marks or [(end / ratio, axis.place(end)) for end in (axis.low, axis.top)]
    screens = _screens(marks, apart)
    return tuple(AxisMark(percent(x), numbers.number(value), screens[value]) for value, x in sorted(marks))


def _screens(marks: Sequence[tuple[float, float]], apart: float) -> dict[float, str]:
    """From which screens on there is room for each mark, those that come first first."""
    found: dict[float, str] = {}
    at = dict(marks)
    for screen, wide in SCREENS.items():
        part = wide / WIDTH
        for value, x in marks:
            clear = part * x - apart / 2 >= UNIT_ENDS and all(part * abs(x - at[other]) >= apart for other in found)
            if value not in found and (clear or part == 1):
                found[value] = screen
    return found


def _bands(axis: WindAxis, bands: Sequence[Band], units: Units) -> tuple[BandMark, ...]:
    """Bands named in the middle of what the axis shows of them; by their first word where the whole is too long."""
    found = []
    for band in bands:
        low, high = numbers.wind_number(band.low_m_s, units), numbers.wind_number(band.high_m_s, units)
        if low >= axis.top or high <= axis.low:
            continue
        left, right = axis.place(low), axis.place(high)
        short = next((s for s in (band.name, band.name.split()[0]) if text_width(s, BAND_NAME) <= right - left - 6), "")
        edge = percent(left) if low > axis.low else None
        needed = WIDTH * (text_width(short, BAND_NAME) + 6) / (right - left)
        screen = next((name for name, wide in SCREENS.items() if wide >= needed), "at-desk")
        place = percent((left + right) / 2)
        found.append(BandMark(place, edge, band.name, short, f"bands/{band.key}.html", screen))
    return tuple(found)
