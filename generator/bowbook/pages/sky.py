"""The sky over the wind axis: silhouettes hung where they like the wind, or a flock where there are too many to name.

All places are px in the drawing's own view box; the page scales it. The axis is marked in the maker's unit, the
other system below it. It is logarithmic, as ranges of wind are: from 3 to 6 is as far as from 6 to 12, so light-wind
kites, which are most, do not all hang in one corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book import units as book_units
from bowbook.book.records import Band, Units
from bowbook.charts.svg import number
from bowbook.findings.results import Range
from bowbook.pages.kite_row import KiteRow
from bowbook.pages.sky_layout import Box, hang, lines_of, text_width
from bowbook.wording import numbers

WIDTH = 1200.0
LEFT, RIGHT = 40.0, 1160.0
TOP = 30.0  # free sky above the highest kite
FOOT = 18.0  # free sky between the ground and the lowest range
NAME, SMALL = 17.0, 13.5  # text sizes
NAME_STEP = 20.0
HANGING = (150.0, 124.0, 102.0, 84.0)  # px of the largest kite's larger side, name below it; tried in turn
BESIDE = (72.0, 60.0, 50.0)  # the same where many kites like one wind: the name stands beside its kite
LEAST = 26.0  # px: no kite is drawn smaller than this, however small it is beside the largest
TALLEST = 540.0
NICE = (0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0)
LEAST_WIND = 0.4  # in the maker's unit: the axis counts by ratios, and cannot begin at nothing
APART = 40.0  # px between two marks of the axis


class Mark(Struct, frozen=True):
    """A mark on the axis and its text."""

    x: str
    text: str


class BandMark(Struct, frozen=True):
    """A band's name under the axis, and the place of its lower edge."""

    x: str
    y: str
    edge: str
    name: str
    address: str


class Axis(Struct, frozen=True):
    """The ground line, in the unit shown: marks, bands, and where it is whole because some kite likes that wind."""

    low: float
    top: float
    left: str
    right: str
    unit: str
    other_unit: str
    marks: tuple[Mark, ...]
    other_marks: tuple[Mark, ...]
    bands: tuple[BandMark, ...]
    covered: tuple[tuple[str, str], ...]

    def share(self, wind: float) -> float:
        """How far along the axis a wind stands, 0 to 1; winds off the axis stand at its ends."""
        return math.log(min(max(wind, self.low), self.top) / self.low) / math.log(self.top / self.low)

    def place(self, wind: float) -> float:
        """px along the drawing of a wind."""
        return LEFT + (RIGHT - LEFT) * self.share(wind)


class Words(Struct, frozen=True):
    """One line of text in the sky, centred on x."""

    x: str
    y: str
    text: str


class Hung(Struct, frozen=True):
    """One kite in the sky; `place` moves its drawing in mm to where it hangs."""

    line: KiteRow
    place: str
    names: tuple[Words, ...]
    bar: str
    likes: Words
    predicted: bool


class Sky(Struct, frozen=True):
    """The whole drawing."""

    axis: Axis
    view_box: str
    ground: str
    kites: tuple[Hung, ...]


class Dot(Struct, frozen=True):
    """One kite of a flock, in the order of the table: its little outline and its colour."""

    path: str
    colour: str
    predicted: bool


class Flock(Struct, frozen=True):
    """The whole drawing of a large collection."""

    axis: Axis
    view_box: str
    ground: str
    dots: tuple[Dot, ...]


def axis_of(lines: Sequence[KiteRow], bands: Sequence[Band], covered: Sequence[Range], units: Units) -> Axis:
    """The axis that holds all these kites, with a little room at either end."""
    edges = [edge for line in lines for edge in (line.low, line.high) if edge is not None]
    low = max(min(edges) * 0.85, LEAST_WIND)
    top = max(max(edges) * 1.12, low)
    if top / low < 4:
        middle = math.sqrt(low * top)
        low, top = middle / 2, middle * 2
    unit, other = numbers.wind_unit(units), book_units.second_unit("wind", units)
    bare = Axis(low, top, number(LEFT), number(RIGHT), unit, other, (), (), (), ())
    ratio = book_units.from_unit(1.0, other, "wind") / book_units.from_unit(1.0, unit, "wind")
    spans = tuple(
        (
            number(bare.place(numbers.wind_number(c.low, units))),
            number(bare.place(numbers.wind_number(c.high, units))),
        )
        for c in covered
    )
    return replace(
        bare,
        marks=_marks(bare, 1.0),
        other_marks=_marks(bare, ratio),
        bands=_band_marks(bare, bands, units),
        covered=spans,
    )


def _marks(axis: Axis, unit: float) -> tuple[Mark, ...]:
    """Marks at winds a person would name, not nearer to each other than their texts allow."""
    marks: list[tuple[float, float]] = []
    # Winds more people think in come first, and the rest fill in where there is room.
    for value in sorted(NICE, key=lambda v: (v not in (1.0, 2.0, 4.0, 6.0, 10.0, 15.0, 20.0, 30.0), v)):
        x = axis.place(value * unit)
        if axis.low <= value * unit <= axis.top and all(abs(x - other) >= APART for _, other in marks):
            marks.append((value, x))
    return tuple(Mark(number(x), numbers.number(value)) for value, x in sorted(marks))


def _band_marks(axis: Axis, bands: Sequence[Band], units: Units) -> tuple[BandMark, ...]:
    """Band names between their edges, on a second and third row where they would touch."""
    shown, boxes = [], []
    for band in bands:
        low, high = numbers.wind_number(band.low_m_s, units), numbers.wind_number(band.high_m_s, units)
        if low < axis.top and high > axis.low:
            half = text_width(band.name, SMALL) / 2
            middle = (axis.place(low) + axis.place(high)) / 2
            middle = min(max(middle, half), WIDTH - half)
            shown.append((band, axis.place(low), middle))
            boxes.append(Box(middle - half, middle + half, 10.0))
    return tuple(
        BandMark(number(x), number(row / 16 * 18), number(edge), band.name, f"bands/{band.key}.html")
        for (band, edge, x), row in zip(shown, hang(boxes), strict=True)
    )


def sky_of(lines: Sequence[KiteRow], axis: Axis) -> Sky:
    """The sky for a collection that can be named kite by kite, all kites to one scale."""
    for size in HANGING:
        hung, ground = _fill(lines, axis, size, _Hanging)
        if ground <= TALLEST + TOP + FOOT:
            return Sky(axis, _view_box(axis, ground), number(ground), hung)
    for size in BESIDE:
        hung, ground = _fill(lines, axis, size, _Beside)
        if ground <= TALLEST + TOP + FOOT:
            break
    return Sky(axis, _view_box(axis, ground), number(ground), hung)


def _fill(
    lines: Sequence[KiteRow], axis: Axis, size: float, way: type[_Hanging] | type[_Beside]
) -> tuple[tuple[Hung, ...], float]:
    """All kites hung in one way at one size, and how far below the top of the sky the ground is then."""
    largest = max(max(line.picture.width, line.picture.height) for line in lines)
    laid = [
        way(axis, line, max(size / largest, LEAST / max(line.picture.width, line.picture.height))) for line in lines
    ]
    boxes = [item.box() for item in laid]
    feet = hang(boxes)
    ground = TOP + max(foot + box.height for foot, box in zip(feet, boxes, strict=True)) + FOOT
    hung = tuple(item.at(ground - FOOT - foot - box.height) for item, foot, box in zip(laid, feet, boxes, strict=True))
    return hung, ground


def _view_box(axis: Axis, ground: float) -> str:
    rows = max((float(b.y) for b in axis.bands), default=0.0)
    return f"0 0 {WIDTH:.0f} {ground + 84 + rows:.0f}"


class _Laid:
    """One kite with its words, laid out around the middle of its range; `scale` is px per mm."""

    def __init__(self, axis: Axis, line: KiteRow, scale: float) -> None:
        assert line.low is not None
        assert line.high is not None
        self.line, self.scale = line, scale
        self.low = axis.place(line.low)
        self.high = max(axis.place(line.high), self.low + 3)
        self.wide, self.tall = line.picture.width * scale, line.picture.height * scale
        self.predicted = line.basis == "predicted"
        self.likes = f"{line.likes or ''}{', predicted' if self.predicted else ''}"

    def middle(self, reach: float) -> float:
        """The middle of the range, as far from the drawing's sides as the words need."""
        return min(max((self.low + self.high) / 2, reach), WIDTH - reach)

    def hung(self, x: float, top: float, names: tuple[Words, ...], likes: Words, bar: float) -> Hung:
        """The kite with its spine at x and its nose at `top`."""
        return Hung(
            line=self.line,
            place=f"translate({number(x)} {number(top)}) scale({self.scale:.4g})",
            names=names,
            bar=f"M{number(self.low)} {number(bar)}H{number(self.high)}",
            likes=likes,
            predicted=self.predicted,
        )


class _Hanging(_Laid):
    """Kite, name below it, range bar, wind: where there is room."""

    def __init__(self, axis: Axis, line: KiteRow, scale: float) -> None:
        super().__init__(axis, line, scale)
        self.name = lines_of(line.name)
        widest = max(text_width(n, NAME) for n in self.name)
        self.reach = max(self.wide, widest, text_width(self.likes, SMALL)) / 2
        self.x = self.middle(self.reach)

    def box(self) -> Box:
        """What it takes up."""
        height = self.tall + NAME_STEP * len(self.name) + 37
        return Box(min(self.x - self.reach, self.low), max(self.x + self.reach, self.high), height)

    def at(self, top: float) -> Hung:
        """Hung with its box's top there."""
        x, first = number(self.x), top + self.tall + 21
        names = tuple(Words(x, number(first + NAME_STEP * n), text) for n, text in enumerate(self.name))
        bar = first + NAME_STEP * (len(self.name) - 1) + 13
        return self.hung(self.x, top, names, Words(x, number(bar + 18), self.likes), bar)


class _Beside(_Laid):
    """Kite with name and wind beside it, range bar below both: where many kites like one wind."""

    def __init__(self, axis: Axis, line: KiteRow, scale: float) -> None:
        super().__init__(axis, line, scale)
        name, more = lines_of(line.name, 22)[0], len(lines_of(line.name, 22)) > 1
        self.name = name + "…" if more else name
        self.words = max(text_width(self.name, NAME), text_width(self.likes, SMALL))
        self.reach = (self.wide + 8 + self.words) / 2
        self.x = self.middle(self.reach)

    def box(self) -> Box:
        """What it takes up."""
        return Box(min(self.x - self.reach, self.low), max(self.x + self.reach, self.high), max(self.tall, 38.0) + 12)

    def at(self, top: float) -> Hung:
        """Hung with its box's top there."""
        tall = max(self.tall, 38.0)
        spine = self.x - self.reach + self.wide / 2
        words = number(self.x + self.reach - self.words / 2)
        middle = top + tall / 2
        names = (Words(words, number(middle - 1), self.name),)
        likes = Words(words, number(middle + 16), self.likes)
        return self.hung(spine, top + tall - self.tall, names, likes, top + tall + 8)


def flock_of(lines: Sequence[KiteRow], axis: Axis) -> Flock:
    """The sky for a large collection: every kite a small diamond over the middle of its range, stacked like birds."""
    bins: dict[int, list[KiteRow]] = {}
    for line in lines:
        assert line.low is not None
        assert line.high is not None
        bins.setdefault(math.floor(axis.place((line.low + line.high) / 2) / 11), []).append(line)
    tallest = max(len(own) for own in bins.values())
    step = min(13.0, 420.0 / tallest)
    ground = TOP + tallest * step + FOOT
    dots = [
        Dot(
            f"M{number(n * 11 + 5.5)} {number(ground - 12 - row * step - 6)}l4.5 3.5-4.5 8-4.5-8z",
            line.picture.colour,
            line.basis == "predicted",
        )
        for n, own in sorted(bins.items())
        for row, line in enumerate(own)
    ]
    return Flock(axis, _view_box(axis, ground), number(ground), tuple(dots))
