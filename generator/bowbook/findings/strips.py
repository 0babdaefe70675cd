"""Loose strips beside a wanted reading: which of those in stock already give it."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from bowbook.book.records import Bow, Kite, Press, Strip
from bowbook.format.stock_file import STRIPS

NEAR = 0.1  # of the wanted reading: a strip further off is no match, it would have to be shaved


class StripMatch(Struct, frozen=True):
    """A strip in stock, the mean of its halves' last readings, and how far that is off what is wanted."""

    key: str
    press_N: float
    off: float


def as_a_kite(strip: Strip) -> Kite:
    """A loose strip as the bow of a kite that is nothing else."""
    bow = Bow(strip.rod, strip.length_m, mass_kg=strip.mass_kg)
    return Kite(f"strip-{strip.key}", strip.key, bow=bow, bench=strip.bench, file=STRIPS)


def matching_strips(strips: Iterable[Strip], press_N: float, length_m: float | None) -> tuple[StripMatch, ...]:
    """The strips of about the same length that read within a tenth of the wanted press, the nearest first."""
    found = []
    for strip in strips:
        read = last_press(strip)
        if read is None or (length_m and strip.length_m and abs(strip.length_m / length_m - 1) > 0.02):
            continue
        off = read / press_N - 1
        if abs(off) <= NEAR:
            found.append(StripMatch(strip.key, read, off))
    return tuple(sorted(found, key=lambda match: abs(match.off)))


def last_press(strip: Strip) -> float | None:
    """The mean of both halves in the last round that pressed them, N."""
    read = [side for side in last_halves(strip) if side is not None]
    return sum(read) / len(read) if read else None


def last_halves(strip: Strip) -> tuple[float | None, float | None]:
    """What the left and the right half read in the last round that pressed either, N; None for one that it left out."""
    for one in reversed(strip.bench):
        if isinstance(one.left, Press) or isinstance(one.right, Press):
            return _mean(one.left), _mean(one.right)
    return None, None


def _mean(reading: object) -> float | None:
    return sum(reading.values_N) / len(reading.values_N) if isinstance(reading, Press) else None
