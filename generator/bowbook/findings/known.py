"""What is known of one kite by itself, from now or from an earlier time. This loads none of the mechanics."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from bowbook.book.records import Kite
from bowbook.findings.readings import Precision
from bowbook.findings.results import Findings, KiteProblem, KiteSummary, Measured


class SkinEstimate(Struct, frozen=True):
    """What covered kites taught about a skin: its mean rigidity per metre of mean chord, N m; over how many kites."""

    per_chord_Nm: Measured
    kites: int


class KiteResult(Struct, frozen=True):
    """One kite worked out by itself: what it tells, what that rested on, and how to have its findings.

    `learnt` is what others taught about its skin; None where nobody did, or its own skin was pressed.
    The findings that `load` gives want only what flyers say: predicted winds, bands, the shelf's range.
    """

    told: KiteSummary
    precision: Precision
    learnt: SkinEstimate | None
    load: Callable[[], Findings]
    problems: tuple[KiteProblem, ...] = ()

    def kite(self) -> Kite:
        """The kite's record."""
        return self.load().kite
