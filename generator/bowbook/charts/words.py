"""The small words and the axes that charts share."""

from __future__ import annotations

import calendar
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from bowbook.book.records import Units
from bowbook.book.units import show, show_range
from bowbook.charts import scale
from bowbook.charts.labels import wide
from bowbook.charts.plot import Axis
from bowbook.charts.tables import UNKNOWN
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings, Predicted, Range

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.sheet import Sheet

Unit = Callable[[float], float]
"""From SI to the unit shown."""


def page_of(kite: str, root: str) -> str:
    """The address of a kite's page from a page that has `root` ("", "../", …) before the site's top."""
    from urllib.parse import quote

    return f"{root}kites/{quote(kite)}/index.html"


def wind_span_said(units: Units, span: Range | Predicted) -> str:
    """A range of wind as the whole site prints it: "4–7 mph"."""
    return show_range(span.low, span.high, "wind", units)


def spelled(units: Units, kind: str, figure: Measured | None) -> str:
    """A measured figure as the whole site prints it: "214 ± 3 g"."""
    return show(figure.value, kind, units, figure.half_width(kind)) if figure else UNKNOWN


def liked_in(name: str, flex: Measured, low: float, high: float, flown: bool, units: Units) -> str:
    """What a kite on a chart of winds says where it is pointed at."""
    liked = f"{'liked best in' if flown else 'predicted for'} {wind_span_said(units, Range(low, high))}"
    return f"{name}: flexes at {spelled(units, 'wind', flex)}, {liked}"


def month_name(month: int) -> str:
    """A month's name, short where it is long.

    >>> month_name(5), month_name(9)
    ('May', 'Sep')
    """
    name = calendar.month_name[month]
    return name if len(name) < 5 else name[:3]


def day_and_month(on: str) -> str:
    """A day as people say it, without the year; a vague one as far as it is known.

    >>> day_and_month("2026-05-01")
    '1 May'
    """
    _, month, day = [*on.split("-"), "", ""][:3]
    if not month:
        return on
    return f"{int(day)} {month_name(int(month))}" if day else f"{calendar.month_name[int(month)]} {on[:4]}"


def day_in_full(on: str) -> str:
    """A day as people say it, with its year: "1 May 2026"."""
    return f"{day_and_month(on)} {on[:4]}" if len(on) == 10 and on[4] == "-" else day_and_month(on)


def wrapped(text: str, width: float, size: float) -> list[str]:
    """The text in lines that fit the width."""
    lines: list[str] = []
    for word in text.replace(" %", "\u00a0%").split(" "):
        if lines and wide(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def log_axis(low: float, high: float, most: int, title: str) -> Axis:
    """A logarithmic axis for figures above 0, wide enough that few kites do not look far apart."""
    if high / low < 1.3:
        low, high = low / 1.14, high * 1.14
    low, high, ticks = scale.rungs(low, high, most)
    return Axis(low, high, ticks, title, log=True)


def wind_axis(low: float, high: float, most: int, title: str, units: Units, far: bool = True) -> Axis:
    """A logarithmic axis of wind in the maker's unit, the other system's on its far side."""
    axis = log_axis(low, high, most, title)
    if not far:
        return axis
    own, other = scale.shown("wind", units), scale.beside("wind", units)
    ratio = own.per_si / other.per_si
    ticks = scale.ladder(axis.low / ratio, axis.high / ratio, most)
    return replace(axis, far=tuple((v * ratio, scale.text(v)) for v in ticks), far_title=other.unit)


def far_ticks(units: Units, low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Ticks of the other system of units along an axis of wind whose limits are in the maker's: (place, text)."""
    own, other = scale.shown("wind", units), scale.beside("wind", units)
    ratio = own.per_si / other.per_si
    by = scale.step((high - low) / ratio, 6)
    return tuple((v * ratio, scale.text(v)) for v in scale.steps(low / ratio, high / ratio, by))


def write_note(board: Board, text: str, sheet: Sheet, left: float, top: float) -> float:
    """Write a note under a chart in as many lines as it needs; gives the height down to its foot."""
    left = 0.0 if sheet.narrow else left
    lines = wrapped(text, sheet.width - left, sheet.small)
    for number, line in enumerate(lines):
        board.write(left, top + 10 + number * 15, line, "kt-small kt-soft")
    return top + 4 + 15.0 * len(lines)


def leaning(difference: Measured | None, book: BookFindings) -> str:
    """A difference of the halves with its 95 %: "left by 7 ± 3 %"."""
    if difference is None:
        return UNKNOWN
    size = show(abs(difference.value), "ratio", book.book.settings.units, book.coverage * difference.spread)
    return f"{'left' if difference.value > 0 else 'right'} by {size}"


def verdict_said(findings: Findings) -> str:
    """The verdict on the halves as a chart's title says it."""
    return findings.balance.verdict or "not judged yet"


def tolerance_said(book: BookFindings) -> str:
    """The tolerance of balance: "3 %"."""
    return show(book.book.settings.tolerance, "ratio", book.book.settings.units)


def share_of(fraction: float | None, book: BookFindings) -> str:
    """A fraction as percent."""
    return UNKNOWN if fraction is None else show(fraction, "ratio", book.book.settings.units)


def sided(percents: Sequence[float]) -> tuple[str, ...]:
    """Ticks of a difference in percent, left above 0: "5 % left", "even", "5 % right"."""
    return tuple(f"{scale.text(abs(v))} % {'left' if v > 0 else 'right'}" if v else "even" for v in percents)


def leaning_ink(findings: Findings) -> str:
    """The ink of a bow among others: the accent where a half is stiffer, since that wants doing."""
    return "accent" if findings.balance.verdict in ("left stiffer", "right stiffer") else "ink"
