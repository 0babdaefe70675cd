"""Kites that were built together, side by side: how far their bows and their winds spread."""

from __future__ import annotations

from collections.abc import Iterable

from bowbook.book.file_names import folded
from bowbook.findings.results import BatchFindings, KiteSummary, Spread


def batches_of(kites: tuple[KiteSummary, ...]) -> dict[str, BatchFindings]:
    """Every batch by its name, the kites in it in the order of their keys.

    Names that differ in small and capital letters only are one batch, called as the first of its kites has it.
    """
    together: dict[str, list[KiteSummary]] = {}
    for told in kites:
        if told.batch is not None:
            together.setdefault(folded(told.batch), []).append(told)
    named = {batch[0].batch or "": batch for batch in together.values()}
    return {
        name: BatchFindings(
            tuple(told.key for told in batch),
            spread_of(told.press_N for told in batch),
            spread_of(told.flex_m_s.value if told.flex_m_s else None for told in batch),
        )
        for name, batch in sorted(named.items())
    }


def spread_of(values: Iterable[float | None]) -> Spread | None:
    """The mean and the relative standard deviation of those that are known; None for fewer than two."""
    from statistics import fmean, stdev

    known = [value for value in values if value is not None]
    if len(known) < 2:
        return None
    return Spread(fmean(known), stdev(known) / fmean(known), len(known))
