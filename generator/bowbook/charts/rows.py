"""Level rows over one axis, as small charts beside a text have them: names on the left, the axis at the foot."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bowbook.charts import scale
from bowbook.charts.plot import Axis, Plot

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.sheet import Sheet

FOOT = 24.0  # px under a plot, for its ticks


def rows_plot(board: Board, sheet: Sheet, axis: Axis, height: float, left: float = 44.0, right: float = 26.0) -> Plot:
    """A plot whose rows stand at px below its top, as negative figures; the axis' ticks rule it."""
    return board.plot(left, 2, sheet.width - left - right, height, axis, Axis(-height, 0), "x")


def with_unit(axis: Axis, unit: str) -> Axis:
    """The axis with its unit beside the last tick."""
    texts = [scale.text(v) for v in axis.ticks]
    if texts:
        texts[-1] = f"{texts[-1]} {unit}"
    return Axis(axis.low, axis.high, axis.ticks, texts=tuple(texts))


def from_nothing(most: float, unit: str) -> Axis:
    """An axis from 0 to a round number past `most`."""
    low, high, ticks = scale.around(0.0, most, 5)
    if any(tick % 1 for tick in ticks) and high > 5:  # whole numbers where they are enough
        low, high, ticks = scale.around(0.0, most, 3)
    return with_unit(Axis(low, high, ticks), unit)
