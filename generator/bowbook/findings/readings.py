"""How sure a reading is: repeats pooled over the whole book, and the resolution of scale and ruler."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct

from bowbook.book.records import Droop, Kite, Press, Reading, Sag, Settings
from bowbook.findings.results import Measured, Repeated
from bowbook.mechanics import uncertainty

UFloat = Any  # uncertainties' own type; it ships no annotations


class Precision(Struct, frozen=True):
    """What the book's repeats say about any one reading.

    `relative` and `drop_relative` are pooled relative standard deviations of press readings and of drops,
    None where nothing was repeated; `freedom` belongs to the press readings, `coverage` is Student's t at 95 %.
    """

    relative: float | None
    freedom: int
    drop_relative: float | None
    coverage: float
    scale_N: float
    ruler_m: float

    def press(self, reading: Press) -> UFloat:
        """Mean press reading with its standard uncertainty, N."""
        return uncertainty.reading(reading.values_N, self.relative, self.scale_N)

    def drop(self, reading: Sag | Droop) -> UFloat:
        """Mean drop with its standard uncertainty, m."""
        return uncertainty.reading(reading.drops_m, self.drop_relative, self.ruler_m)


def _readings(kite: Kite) -> Iterator[Reading]:
    for bench in kite.bench:
        yield from (r for r in (bench.left, bench.right, bench.whole) if r is not None)
    if kite.covered:
        yield from (r for r in (kite.covered.left, kite.covered.right) if r is not None)


def repeated(kite: Kite) -> Repeated:
    """What the repeats of one kite say: bare, covered and whole together."""
    presses: list[tuple[float, ...]] = []
    drops: list[tuple[float, ...]] = []
    for reading in _readings(kite):
        if isinstance(reading, Press):
            presses.append(reading.values_N)
        else:
            drops.append(reading.drops_m)
    return Repeated(uncertainty.repeats(presses), uncertainty.repeats(drops))


def pool(settings: Settings, repeats: Sequence[Repeated]) -> Precision:
    """How sure any one reading is, from what all kites' repeats say."""
    relative, freedom = uncertainty.pooled(r.presses for r in repeats)
    drop_relative, _ = uncertainty.pooled(r.drops for r in repeats)
    return Precision(relative, freedom, drop_relative, uncertainty.t95(freedom), settings.scale_N, settings.ruler_m)


def measured(x: UFloat | None) -> Measured | None:
    """A figure and its standard uncertainty as plain numbers; None stays None."""
    if x is None:
        return None
    return Measured(float(x.nominal_value), float(x.std_dev))


def uncertain_again(x: Measured) -> UFloat:
    """A figure with its standard uncertainty, as a variable of its own."""
    from uncertainties import ufloat

    return ufloat(x.value, x.u)


def exactly(value: float) -> UFloat:
    """A figure that no reading stands behind, so that it carries no uncertainty of its own."""
    from uncertainties.core import to_affine_scalar

    return to_affine_scalar(value)


def mean(values: Sequence[UFloat]) -> UFloat:
    """Mean of figures, their uncertainties and what they share carried along; `values` must not be empty."""
    return sum(values[1:], values[0]) / len(values)
