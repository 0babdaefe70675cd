"""From SI to the unit an axis is marked in, and ticks that a person would have chosen."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.units import second_unit, to_unit, unit_of


class Scale(Struct, frozen=True):
    """What one SI unit is in the unit shown, and that unit's name."""

    per_si: float
    unit: str

    def __call__(self, value_si: float) -> float:
        """The value in the unit shown."""
        return value_si * self.per_si


def step(span: float, most: int) -> float:
    """The smallest of 1, 2, 2.5, 5 × 10ⁿ that divides `span` into at most `most` steps.

    >>> step(10, 5), step(0.7, 4), step(230, 6)
    (2.0, 0.2, 50.0)
    """
    rough = span / most
    power = 10.0 ** math.floor(math.log10(rough))
    for nice in (1, 2, 2.5, 5, 10):
        if nice * power >= rough * (1 - 1e-9):
            break
    return float(f"{nice * power:.3g}")


def steps(low: float, high: float, by: float) -> tuple[float, ...]:
    """The multiples of `by` from `low` to `high`, both included where they are multiples."""
    first = math.ceil(low / by - 1e-9)
    last = math.floor(high / by + 1e-9)
    return tuple(float(f"{i * by:.10g}") for i in range(first, last + 1))


def around(low: float, high: float, most: int, least: float = 0.0) -> tuple[float, float, tuple[float, ...]]:
    """Limits that hold `low` to `high` and end on ticks, with the ticks: few kinds of limits, so frames are shared.

    `least` widens a span that is too small to be worth showing.

    >>> around(196, 216, 5)
    (195.0, 220.0, (195.0, 200.0, 205.0, 210.0, 215.0, 220.0))
    """
    middle, half = (low + high) / 2, max(high - low, least, abs(high) * 1e-6, 1e-12) / 2
    low, high = middle - half, middle + half
    by = step(high - low, most)
    low, high = math.floor(low / by + 1e-9) * by, math.ceil(high / by - 1e-9) * by
    return float(f"{low:.10g}"), float(f"{high:.10g}"), steps(low, high, by)


_LADDERS = ((1.0,), (1, 3), (1, 2, 5), (1, 1.5, 2, 3, 5, 7), (1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8))


def rungs(low: float, high: float, most: int) -> tuple[float, float, tuple[float, ...]]:
    """Limits and ticks of a logarithmic axis a little wider than `low` to `high`, both above 0.

    >>> rungs(0.012, 0.07, 5)
    (0.011, 0.076, (0.02, 0.05))
    >>> rungs(0.012, 0.07, 7)
    (0.011, 0.076, (0.015, 0.02, 0.03, 0.05, 0.07))
    """
    low, high = float(f"{low * 0.92:.2g}"), float(f"{high * 1.08:.2g}")
    return low, high, ladder(low, high, most)


def ladder(low: float, high: float, most: int) -> tuple[float, ...]:
    """At most about `most` round numbers from `low` to `high`, for a logarithmic axis.

    >>> ladder(2.1, 27, 7)
    (3.0, 5.0, 7.0, 10.0, 15.0, 20.0)
    >>> ladder(137, 214, 6)
    (140.0, 160.0, 180.0, 200.0)
    """
    if high < 2.5 * low:
        return steps(low, high, step(high - low, most))
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    ticks: tuple[float, ...] = ()
    for ladder in _LADDERS:
        finer = tuple(v for p in powers for m in ladder if low <= (v := float(f"{m}e{p}")) <= high)
        if len(finer) > most - 1 and ticks:
            break
        ticks = finer
    return ticks


def text(value: float) -> str:
    """A tick's number, as short as it can be, with a true minus.

    >>> text(-2.50), text(0.02), text(1200.0)
    ('−2.5', '0.02', '1200')
    """
    return f"{value:.10g}".replace("-", "−")


def shown(kind: str, units: Units) -> Scale:
    """The scale of an axis for this kind of quantity in the unit its figures are shown in."""
    return _in(unit_of(kind, units), kind)


def beside(kind: str, units: Units) -> Scale:
    """The other system's scale, for the far side of an axis."""
    return _in(second_unit(kind, units), kind)


def _in(unit: str, kind: str) -> Scale:
    return Scale(to_unit(1.0, unit, kind), unit)
