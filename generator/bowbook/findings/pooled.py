"""What all kites of a book say together, as far as another kite's figures rest on it."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book
from bowbook.findings.bench_results import Measured
from bowbook.findings.cloth import expected_per_chord
from bowbook.findings.readings import Precision
from bowbook.findings.results import BookFindings, KiteSummary
from bowbook.findings.stock import of_material


class SkinEstimate(Struct, frozen=True):
    """What covered kites say of a skin: its mean rigidity per metre of mean chord, N m; over how many kites."""

    per_chord_Nm: Measured
    kites: int


class PooledFigures(Struct, frozen=True):
    """What one kite's figures take from the others: how sure a reading is, and what was learnt about its skin.

    A figure that is gathered from every kite of a book and used for each of them stands here and nowhere else. A ± has
    two significant digits and what it belongs to three (JCGM 100:2008, 7.2.6); degrees of freedom are rounded down
    (G.4.1), so that they claim no more.
    """

    precision: Precision
    skin: SkinEstimate | None = None


def learnt_skins(book: Book, kites: tuple[KiteSummary, ...]) -> Mapping[str, SkinEstimate]:
    """What each skin adds per metre of mean chord, from every kite that was measured covered."""
    by_skin: dict[str, list[float]] = {}
    for kite in kites:
        if kite.skin is not None and kite.per_chord_Nm is not None and not kite.example:
            by_skin.setdefault(kite.skin, []).append(kite.per_chord_Nm.value)
    learnt = {}
    for skin, values in by_skin.items():
        expected = expected_per_chord(values, of_material(book.skins, by_skin, skin))
        if expected is not None:
            learnt[skin] = SkinEstimate(expected, sum(value > 0 for value in values))
    return learnt


def with_scatter(found: BookFindings, scatter: Precision) -> BookFindings:
    """The findings with how sure a reading is, as kites were computed with it."""
    return replace(
        found,
        scatter=scatter.presses,
        session=scatter.session,
        hand=scatter.hand,
        coverage=scatter.coverage,
    )
