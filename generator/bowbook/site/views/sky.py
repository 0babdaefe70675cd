"""The sky over the wind axis: silhouettes hung where they like the wind, or a flock where there are too many to name.

All places are px in the drawing's own view box; the page scales it. The axis runs from nought to its top in the
maker's unit, marks in the other system below it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bowbook.book import units as book_units
from bowbook.book.records import Band, Units
from bowbook.charts.marks import number
from bowbook.findings.results import Range
from bowbook.site import figures
from bowbook.site.hang import Box, axis_top, hang, lines_of, text_width
from bowbook.site.views.lines import Line

WIDTH = 1200.0
LEFT, RIGHT = 56.0, 1160.0
TOP = 26.0  # free sky above the highest kite
FOOT = 16.0  # free sky between the ground and the lowest label
NAME, SMALL = 17.0, 13.5  # text sizes
NAME_STEP = 20.0
SIZES = (132.0, 108.0, 88.0, 72.0, 58.0, 46.0)  # px of the largest kite's larger side, tried in turn
LEAST = 26.0  # px: no kite is drawn smaller than this, however small it is beside the largest
TALLEST = 560.0


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark on the axis and its text."""

    x: str
    text: str


@dataclass(frozen=True, slots=True)
class BandMark:
    """A band's name under the axis, and the place of its lower edge."""

    x: str
    y: str
    edge: str
    name: str
    address: str


@dataclass(frozen=True, slots=True)
class Axis:
    """The ground line: marks, bands, and where it is whole because some kite likes that wind."""

    top: float
    left: str
    right: str
    unit: str
    other_unit: str
    marks: tuple[Mark, ...]
    other_marks: tuple[Mark, ...]
    bands: tuple[BandMark, ...]
    covered: tuple[tuple[str, str], ...]

    def place(self, wind: float) -> float:
        """px along the drawing of a wind in the unit shown."""
        return LEFT + (RIGHT - LEFT) * wind / self.top

    def share(self, mark: Mark) -> float:
        """How far along the axis a mark stands, 0 to 1."""
        return (float(mark.x) - LEFT) / (RIGHT - LEFT)


@dataclass(frozen=True, slots=True)
class Hung:
    """One kite in the sky; `place` moves its drawing in mm to where it hangs."""

    line: Line
    label: str
    place: str
    x: str
    names: tuple[tuple[str, str], ...]  # y and text of each line of its name
    bar: str
    likes_y: str
    likes: str
    predicted: bool


@dataclass(frozen=True, slots=True)
class Sky:
    """The whole drawing."""

    axis: Axis
    view_box: str
    ground: str
    kites: tuple[Hung, ...]


@dataclass(frozen=True, slots=True)
class Dot:
    """One kite of a flock: its little outline, its colour, its number in the table."""

    path: str
    colour: str
    number: int
    predicted: bool


@dataclass(frozen=True, slots=True)
class Flock:
    """The whole drawing of a large collection."""

    axis: Axis
    view_box: str
    ground: str
    dots: tuple[Dot, ...]


def axis_of(lines: Sequence[Line], bands: Sequence[Band], covered: Sequence[Range], units: Units) -> Axis:
    """The axis that holds all these kites."""
    top, step = axis_top(max(line.high or 0.0 for line in lines) * 1.04 or 1.0)
    unit, other = figures.wind_unit(units), book_units.second_unit("wind", units)
    bare = Axis(top, number(LEFT), number(RIGHT), unit, other, (), (), (), ())
    marks = tuple(Mark(number(bare.place(i * step)), figures.number(i * step)) for i in range(round(top / step) + 1))
    ratio = book_units.from_unit(1.0, other, "wind") / book_units.from_unit(1.0, unit, "wind")
    other_top = top / ratio
    _, other_step = axis_top(other_top)
    other_marks = tuple(
        Mark(number(bare.place(i * other_step * ratio)), figures.number(i * other_step))
        for i in range(math.floor(other_top / other_step + 1e-9) + 1)
    )
    spans = tuple(
        (number(bare.place(figures.wind_number(c.low, units))), number(bare.place(figures.wind_number(c.high, units))))
        for c in covered
    )
    return Axis(top, bare.left, bare.right, unit, other, marks, other_marks, _band_marks(bare, bands, units), spans)


def _band_marks(axis: Axis, bands: Sequence[Band], units: Units) -> tuple[BandMark, ...]:
    """Band names between their edges, on a second and third row where they would touch."""
    shown, boxes = [], []
    for band in bands:
        low = figures.wind_number(band.low_m_s, units)
        high = min(figures.wind_number(band.high_m_s, units), axis.top)
        if low < axis.top:
            half = text_width(band.name, SMALL) / 2
            middle = min(max(axis.place((low + high) / 2), half), WIDTH - half)
            shown.append((band, axis.place(low), middle))
            boxes.append(Box(middle - half, middle + half, 10.0))
    return tuple(
        BandMark(number(x), number(row / 16 * 18), number(edge), band.name, f"bands/{band.key}.html")
        for (band, edge, x), row in zip(shown, hang(boxes), strict=True)
    )


def sky_of(lines: Sequence[Line], axis: Axis) -> Sky:
    """The sky for a collection that can be named kite by kite, all kites to one scale."""
    names = [lines_of(line.name) for line in lines]
    for size in SIZES:
        scales = _scales(lines, size)
        boxes = [_box(axis, line, name, s) for line, name, s in zip(lines, names, scales, strict=True)]
        feet = hang(boxes)
        high = max(foot + box.height for foot, box in zip(feet, boxes, strict=True))
        if high <= TALLEST:
            break
    ground = TOP + high + FOOT
    hung = [
        _hung(axis, line, name, scale, ground - FOOT - foot - box.height)
        for line, name, scale, foot, box in zip(lines, names, scales, feet, boxes, strict=True)
    ]
    return Sky(axis, _view_box(axis, ground), number(ground), tuple(hung))


def _view_box(axis: Axis, ground: float) -> str:
    rows = max((float(b.y) for b in axis.bands), default=0.0)
    return f"0 0 {WIDTH:.0f} {ground + 84 + rows:.0f}"


def _scales(lines: Sequence[Line], size: float) -> list[float]:
    """px per mm of each kite: one scale for all, but for those that would be too small to see."""
    largest = max(max(line.picture.width, line.picture.height) for line in lines)
    return [max(size / largest, LEAST / max(line.picture.width, line.picture.height)) for line in lines]


def _box(axis: Axis, line: Line, name: Sequence[str], scale: float) -> Box:
    low, high, x = _span(axis, line)
    reach = max(line.picture.width * scale / 2, *(text_width(n, NAME) / 2 for n in name), _likes_width(line) / 2)
    height = line.picture.height * scale + NAME_STEP * len(name) + 40
    return Box(min(x - reach, low), max(x + reach, high), height)


def _likes_width(line: Line) -> float:
    return text_width(_likes(line), SMALL)


def _likes(line: Line) -> str:
    return f"{line.likes or ''}{', predicted' if line.basis == 'predicted' else ''}"


def _span(axis: Axis, line: Line) -> tuple[float, float, float]:
    """px of both edges of the range, and of its middle, kept far enough from the drawing's sides for a name."""
    assert line.low is not None
    assert line.high is not None
    low, high = axis.place(line.low), axis.place(line.high)
    return low, high, min(max((low + high) / 2, 80.0), WIDTH - 80.0)


def _hung(axis: Axis, line: Line, name: Sequence[str], scale: float, top: float) -> Hung:
    low, high, x = _span(axis, line)
    tail = top + line.picture.height * scale
    names = tuple((number(tail + 20 + NAME_STEP * n), text) for n, text in enumerate(name))
    bar = tail + 20 + NAME_STEP * (len(name) - 1) + 13
    word = "predicted" if line.basis == "predicted" else "flown"
    return Hung(
        line=line,
        label=f"{line.name}: {line.likes}, {word}",
        place=f"translate({number(x)} {number(top)}) scale({scale:.4g})",
        x=number(x),
        names=names,
        bar=f"M{number(low)} {number(bar)}H{number(max(high, low + 3))}",
        likes_y=number(bar + 18),
        likes=_likes(line),
        predicted=line.basis == "predicted",
    )


def flock_of(lines: Sequence[Line], axis: Axis) -> Flock:
    """The sky for a large collection: every kite a small diamond over the middle of its range, stacked like birds."""
    bins: dict[int, list[Line]] = {}
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
            line.number,
            line.basis == "predicted",
        )
        for n, own in sorted(bins.items())
        for row, line in enumerate(own)
    ]
    return Flock(axis, _view_box(axis, ground), number(ground), tuple(dots))
