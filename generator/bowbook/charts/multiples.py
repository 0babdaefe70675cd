"""Small multiples: one figure after another against the same axis, each panel headed by what it shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts import points
from bowbook.charts.plot import Axis
from bowbook.charts.points import Spot
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.charts.words import wrapped

if TYPE_CHECKING:
    from bowbook.charts.board import Board

COLUMNS = {"broad": 5, "wide": 3, "narrow": 2}
LEFT, GAP = 26.0, 26.0  # px: beside a panel's plot, and between panels


class Panel(Struct, frozen=True):
    """One small plot: its finding as a title, what is shown, the kites, and a fitted line with its 95 % band.

    Line and band are figures that the findings hold; where they hold none, the points stand by themselves.
    """

    title: str
    shown: str
    up: Axis
    spots: tuple[Spot, ...]
    line: tuple[tuple[float, float], ...] = ()
    band: tuple[tuple[float, float, float], ...] = ()  # across, from, to


def multiples(
    drawing: str, about: str, title: str, told: str, across: Axis, panels: Sequence[Panel], root: str
) -> Drawing:
    """The panels side by side, as many in a row as the sheet has room for, all with one axis across."""

    def draw(board: Board, sheet: Sheet) -> float:
        columns = min(COLUMNS[sheet.shape], len(panels))
        apart = (sheet.width + GAP / 2) / columns
        tall, top = 0.62 * apart, 0.0
        for first in range(0, len(panels), columns):
            row = panels[first : first + columns]
            heads = [wrapped(panel.title, apart - GAP, sheet.text) for panel in row]
            under = [wrapped(panel.shown, apart - GAP, sheet.small) for panel in row]
            over = 17.0 * max(map(len, heads)) + 15.0 * max(map(len, under)) + 16
            for column, (panel, head, shown) in enumerate(zip(row, heads, under, strict=True)):
                left = column * apart
                for number, text in enumerate(head):
                    board.write(left, top + 13 + 17 * number, text, "kt-bold")
                for number, text in enumerate(shown):
                    board.write(left, top + 13 + 17 * len(head) + 15 * number, text, "kt-small kt-soft")
                _panel(board, panel, across, (left + LEFT, top + over, apart - LEFT - GAP, tall), root)
            top += over + tall + 30
        return top

    return Drawing(drawing, about, title, told, draw, ("broad", "wide", "narrow"))


def _panel(board: Board, panel: Panel, across: Axis, box: tuple[float, float, float, float], root: str) -> None:
    plot = board.plot(*box, across, panel.up, "y")
    if panel.band:
        edge = [(x, high) for x, _, high in panel.band] + [(x, low) for x, low, _ in reversed(panel.band)]
        plot.line([(x, panel.up.inside(y)) for x, y in edge], "kf-sky")
    if panel.line:
        plot.line([(x, panel.up.inside(y)) for x, y in panel.line], "ks-ink kw-line")
    points.marks(plot, panel.spots, root)
