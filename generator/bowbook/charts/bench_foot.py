"""Along the foot of the bench chart: the rounds, and between them what was shaved."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from bowbook.charts.labels import wide
from bowbook.charts.sheet import Sheet

if TYPE_CHECKING:
    from bowbook.charts.bench_plot import RoundColumn
    from bowbook.charts.board import Board


def feet(board: Board, columns: Sequence[RoundColumn], box: tuple[float, float, float, float], sheet: Sheet) -> float:
    """The rounds, and between them what was shaved, under plots with these px of left, top, width and foot.

    Gives the height these notes take.
    """
    left, top, width, foot = box
    apart = width / len(columns)
    fits = all(wide(c.label, sheet.small) < apart - 12 for c in columns)  # a screen may lack the face measured
    every = 1 if fits else max(1, round(24 / apart + 0.45))
    board.bars([((left, foot), (left + width, foot))], "ks-ink kw-hair")
    board.bars(
        [((x, top), (x, foot + 22)) for i, c in enumerate(columns[:-1]) if c.shaved for x in (left + (i + 1) * apart,)],
        "ks-accent kw-hair kd-dot",
    )
    height = 0.0
    for i, column in enumerate(columns):
        label = column.label if fits or column.covered else str(i + 1)
        away = len(columns) - 1 - i if columns[-1].covered else len(columns)  # columns to the label "skin on"
        clear = fits or away * apart > 0.5 * (wide(label, sheet.small) + wide(columns[-1].label, sheet.small)) + 4
        if column.covered or (i % every == 0 and clear):
            board.write(left + (i + 0.5) * apart, foot + 17, label, "kt-small", "middle")
        lines = _note(column.shaved, apart - 8, sheet.small) if i + 1 < len(columns) else []
        for number, text in enumerate(lines):
            down = foot + 36 + number * (sheet.small + 3.5)
            board.write(left + (i + 1) * apart, down, text, "kt-small kt-soft", "middle")
        height = max(height, 8 + len(lines) * (sheet.small + 3.5) if lines else 0)
    return height


def _note(pieces: Sequence[str], room: float, size: float) -> list[str]:
    """The pieces in lines no wider than the room; none where a piece does not fit: the table has them."""
    lines: list[str] = []
    for piece in pieces:
        if lines and wide(f"{lines[-1]}, {piece}", size) <= room:
            lines[-1] += f", {piece}"
        else:
            lines.append(piece)
    return lines if all(wide(line, size) <= room for line in lines) else []
