"""Flights, one row each over one wind axis: thin, the wind that blew; thick, what was liked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.book.records import Units, Wind
from bowbook.book.units import show_range
from bowbook.charts import scale
from bowbook.charts.labels import wide
from bowbook.charts.rows import FOOT, from_nothing, rows_plot
from bowbook.charts.sheet import Drawing

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.plot import Plot
    from bowbook.charts.sheet import Sheet

HIGH = 24.0  # px of a row
CLOSE = 17.0  # px of a row among many


class FlownRow(Struct, frozen=True):
    """One row: what stands before it, what is said behind it, the winds in m/s; `main` has the stronger ink."""

    name: str
    said: str
    blew: Wind | None
    liked: Wind | None
    main: bool = True
    ink: str = "ink"
    guessed: bool = False


def flown_chart(
    name: str, about: str, title: str, rows: Sequence[FlownRow], most: float, units: Units
) -> Drawing | None:
    """The rows over an axis from 0 to `most` m/s, the same for all charts of a page; None where no wind is known."""
    shown = [row for row in rows if row.blew or row.liked]
    if not shown:
        return None
    return Drawing(
        name,
        about,
        title,
        " ".join(_told(row, units) for row in shown),
        lambda board, sheet: _draw(board, sheet, shown, most, units),
        ("beside",),
    )


def highest(winds: Sequence[Wind | None]) -> float:
    """The strongest wind among these, m/s; 0 where there is none."""
    return max((edge for wind in winds if wind for edge in (wind.low_m_s, wind.high_m_s) if edge), default=0.0)


def _told(row: FlownRow, units: Units) -> str:
    parts = [row.name] if row.name else []
    for what, wind in (("blew", row.blew), ("liked", row.liked)):
        if wind and wind.low_m_s is not None and wind.high_m_s is not None:
            parts.append(f"{what} {show_range(wind.low_m_s, wind.high_m_s, 'wind', units)}")
    return f"{', '.join(parts)}."


def _draw(board: Board, sheet: Sheet, rows: Sequence[FlownRow], most: float, units: Units) -> float:
    unit = scale.shown("wind", units)
    apart = HIGH if len(rows) <= 6 else CLOSE
    left = max((wide(row.name, sheet.text) for row in rows), default=0.0)
    left = min(left + 12, 0.36 * sheet.width) if left else 6.0
    height = apart * len(rows) + 8
    plot = rows_plot(board, sheet, from_nothing(unit(most), unit.unit), height, left, 20)
    for number, row in enumerate(rows):
        _row(plot, row, -4 - apart * (number + 0.5), unit)
    return height + FOOT


def _row(plot: Plot, row: FlownRow, at: float, unit: scale.Scale) -> None:
    """One flight; an edge that is not known runs to the end of the axis as dashes."""
    ink = row.ink if row.main else "soft"
    y = plot.px(0, at)[1] + 4
    if row.name:
        plot.board.write(0, y, row.name, "")
    end = 0.0
    thick = "kw-line kd-dash" if row.guessed else "kw-dot"
    for wind, inks in ((row.blew, "ks-soft kw-fine"), (row.liked, f"ks-{ink} {thick}")):
        if wind is None:
            continue
        low, high = unit(wind.low_m_s or 0.0), unit(wind.high_m_s) if wind.high_m_s is not None else plot.x.high
        whole = wind.low_m_s is not None and wind.high_m_s is not None
        plot.level([(at, low, high)], inks if whole else f"ks-{ink} kw-line kd-dash")
        end = max(end, high)
    if row.said:
        x = plot.px(plot.x.inside(end), 0)[0]
        fits = x + 8 + wide(row.said, 13) < plot.left + plot.width + 20
        if fits:
            plot.board.write(x + 8, y, row.said, "kt-soft kt-halo")
        else:
            plot.board.write(plot.left + plot.width + 20, y - 11, row.said, "kt-soft kt-halo", "end")
