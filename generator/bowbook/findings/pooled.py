"""What all kites of a book say together, as far as another kite's figures rest on it."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, log10

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Settings
from bowbook.findings.cloth import expected_per_chord
from bowbook.findings.readings import Precision, pool
from bowbook.findings.results import KiteSummary, Measured, Repeated
from bowbook.mechanics.uncertainty import t95


class Scatter(Struct, frozen=True):
    """How sure a reading is, as kites are computed with it, and the degrees of freedom it was counted from."""

    precision: Precision
    freedom: int


class SkinEstimate(Struct, frozen=True):
    """What covered kites taught about a skin: its mean rigidity per metre of mean chord, N m; over how many kites."""

    per_chord_Nm: Measured
    kites: int


class PooledFigures(Struct, frozen=True):
    """What one kite's figures take from the others: how sure a reading is, and what was learnt about its skin.

    A figure that is gathered from every kite of a book and used for each of them stands here and nowhere else, rounded:
    to two significant digits, and its degrees of freedom down to those that printed tables have. Then one more reading
    leaves nearly all other kites as they were.
    """

    precision: Precision
    skin: SkinEstimate | None = None


def scatter_of(settings: Settings, repeats: tuple[Repeated, ...]) -> Scatter:
    """How sure any one reading of the book is, from what each kite's repeats say."""
    raw = pool(settings, repeats)
    freedom = max(row for row in _TABLE if row <= raw.freedom)
    precision = replace(
        raw,
        relative=None if raw.relative is None else two_digits(raw.relative),
        drop_relative=None if raw.drop_relative is None else two_digits(raw.drop_relative),
        freedom=freedom,
        coverage=t95(freedom),
    )
    return Scatter(precision, raw.freedom)


def learnt_skins(kites: tuple[KiteSummary, ...]) -> Mapping[str, SkinEstimate]:
    """What each skin adds per metre of mean chord, from every kite that was measured covered."""
    by_skin: dict[str, list[Measured]] = {}
    for kite in kites:
        if kite.skin is not None and kite.per_chord_Nm is not None:
            by_skin.setdefault(kite.skin, []).append(kite.per_chord_Nm)
    return {skin: SkinEstimate(expected_per_chord(values), len(values)) for skin, values in by_skin.items()}


_TABLE = (*range(31), 40, 60, 120)  # the degrees of freedom that printed tables of Student's t have


def two_digits(value: float) -> float:
    """A figure rounded to two significant digits.

    >>> two_digits(0.012345), two_digits(0)
    (0.012, 0.0)
    """
    return 0.0 if value == 0 else round(value, 1 - floor(log10(abs(value))))
