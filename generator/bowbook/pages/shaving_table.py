"""What to shave, as a kite's page shows it: every stretch that would do, what to take off, what it leaves."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.bench_results import ShaveOption
from bowbook.findings.results import Findings
from bowbook.wording import numbers

LEAST_OFF = 0.001
"""Part of the half span: nearer to the middle than this nobody sees the deepest point."""


class ShavingTable(Struct, frozen=True):
    """The half to shave and the stretches to choose from."""

    side: str
    options: ChartTable


def shaving_of(found: Findings, units: Units) -> ShavingTable | None:
    """The table of stretches; None where nothing is to be shaved or no thickness can be named."""
    if found.shave.side is None or not found.shave.options:
        return None
    across = "of diameter" if found.shave.dimension == "diameter" else "of thickness"
    head = (
        "Stretch",
        f"First take {across}",
        "In all",
        "The scale should then say",
        "Deepest point then off the middle",
    )
    rows = tuple(ChartRow(_cells(option, units)) for option in found.shave.options)
    return ShavingTable(found.shave.side, ChartTable(head, rows))


def _cells(option: ShaveOption, units: Units) -> tuple[str, ...]:
    """One stretch: what to take, or why it cannot do it."""
    if not option.feasible:
        return option.zone, "cannot do it", option.reason or "–", "–", "–"
    first = numbers.thin(option.first_step_m, units) if option.first_step_m is not None else "–"
    if option.strokes:
        first += f", about {option.strokes} strokes"
    return (
        option.zone,
        first,
        numbers.thin(option.thickness_m, units) if option.thickness_m is not None else "–",
        numbers.plain(option.press_after_N, "force", units) if option.press_after_N is not None else "–",
        _off(abs(option.asymmetry), units) if option.asymmetry is not None else "–",
    )


def _off(asymmetry: float, units: Units) -> str:
    """How far off the middle, as far as a drawn bow could ever show it."""
    return numbers.share(asymmetry, units) if asymmetry >= LEAST_OFF else f"under {numbers.share(LEAST_OFF, units)}"
