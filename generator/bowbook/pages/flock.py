"""The sky of a large collection: every kite a small mark over the middle of the winds it likes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from msgspec import Struct

from bowbook.charts.svg import number
from bowbook.pages.kite_row import KiteRow
from bowbook.pages.wind_axis import WIDTH, WindAxis

STEP = 11.0  # px between two columns of marks
TALLEST = 420.0  # px of the tallest column
TOP, FOOT = 34.0, 18.0  # px of free sky above the marks and below them


class Dot(Struct, frozen=True):
    """One kite of a flock, in the order of the table: its little outline and its colour."""

    path: str
    colour: str
    predicted: bool


class Flock(Struct, frozen=True):
    """The whole drawing of a large collection, px."""

    width: str
    height: str
    dots: tuple[Dot, ...]


def flock_of(lines: Sequence[KiteRow], axis: WindAxis) -> Flock:
    """Every kite a small diamond over the middle of its range, one above the other where they meet."""
    bins: dict[int, list[KiteRow]] = {}
    for line in lines:
        assert line.low is not None
        assert line.high is not None
        bins.setdefault(math.floor(axis.place((line.low + line.high) / 2) / STEP), []).append(line)
    tallest = max(len(own) for own in bins.values())
    step = min(13.0, TALLEST / tallest)
    ground = TOP + tallest * step + FOOT
    dots = [
        Dot(
            f"M{number(n * STEP + 5.5)} {number(ground - 12 - row * step - 6)}l4.5 3.5-4.5 8-4.5-8z",
            line.picture.colour,
            line.basis == "predicted",
        )
        for n, own in sorted(bins.items())
        for row, line in enumerate(own)
    ]
    return Flock(number(WIDTH), number(ground), tuple(dots))
