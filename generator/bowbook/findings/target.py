"""How far a bow still is from the readings it is being built to."""

from __future__ import annotations

from bowbook.book.records import Kite, Press
from bowbook.findings.bench_results import BowFindings, Measured
from bowbook.findings.results import TargetFindings, TargetPart


def target_findings(kite: Kite, bow: BowFindings) -> TargetFindings | None:
    """Each part of the bow beside what it is to read; None where the kite has no target."""
    target = kite.target
    if target is None:
        return None
    return TargetFindings(
        _part(target.left, bow.left.press_N),
        _part(target.right, bow.right.press_N),
        _part(target.whole, bow.whole.press_N),
        target.like,
    )


def _part(wanted: Press | None, read: Measured | None) -> TargetPart | None:
    if wanted is None:
        return None
    wanted_N = sum(wanted.values_N) / len(wanted.values_N)
    return TargetPart(wanted_N, read.value if read else None, read.value / wanted_N - 1 if read else None)
