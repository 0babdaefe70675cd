"""One chart on two sheets, wide and narrow, and the small words that charts share."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.book.units import show, show_range
from bowbook.charts import axes, scale, svg
from bowbook.charts.style import Style, default_style
from bowbook.charts.tables import UNKNOWN
from bowbook.findings.results import BookFindings, Findings, Measured, Predicted, Range

TOP = 30.0  # px over a plot, for the name of its upright axis


class Sheet(Struct, frozen=True):
    """What a chart is drawn on: its shape, its width in px, its text sizes."""

    shape: str  # "wide" or "narrow"
    width: float
    text: float
    small: float

    @property
    def narrow(self) -> bool:
        """Whether this is the phone's drawing."""
        return self.shape == "narrow"


Drawn = tuple[Sequence[str], float]
"""Marks, and the height they need, px."""

Placing = Callable[[tuple[float, float]], tuple[float, float]]
"""From a point of the findings to px."""


def both(prefix: str, title: str, description: str, draw: Callable[[Sheet], Drawn], style: Style | None = None) -> str:
    """The chart as it stands wide and narrow; the page shows the one that fits."""
    look = style or default_style()
    drawn = []
    for shape in ("wide", "narrow"):
        sheet = Sheet(shape, look.sizes[shape], look.sizes["text"], look.sizes["small"])
        inside, height = draw(sheet)
        drawn.append(svg.drawing(inside, (sheet.width, height), prefix, title, description, shape))
    return "".join(drawn)


def panel(frame: axes.Frame, left: float, top: float, inside: Sequence[str], before: Sequence[str] = ()) -> str:
    """A frame with its marks, its plot's upper left corner at `left`, `top`; `before` lies under the grid."""
    return svg.moved(left, top, "".join(before) + axes.fragment(frame) + "".join(inside))


def page_of(kite: str, root: str) -> str:
    """The address of a kite's page from a page that has `root` ("", "../", …) before the site's top."""
    from urllib.parse import quote

    return f"{root}kites/{quote(kite)}/index.html"


def winds(units: Units, span: Range | Predicted) -> str:
    """A range of wind as the whole site prints it: "4–7 mph"."""
    return show_range(span.low, span.high, "wind", units)


def spelled(units: Units, kind: str, figure: Measured | None) -> str:
    """A measured figure as the whole site prints it: "214 ± 3 g"."""
    return show(figure.value, kind, units, figure.u) if figure else UNKNOWN


_MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def dated(on: str) -> str:
    """A day as people say it, without the year; a vague one as far as it is known.

    >>> dated("2026-05-01")
    '1 May'
    """
    _, month, day = [*on.split("-"), "", ""][:3]
    if not month:
        return on
    name = _MONTHS[int(month) - 1]
    return f"{int(day)} {name if len(name) < 5 else name[:3]}" if day else f"{name} {on[:4]}"


def dated_in_full(on: str) -> str:
    """A day as people say it, with its year: "1 May 2026"."""
    return f"{dated(on)} {on[:4]}" if len(on) == 10 and on[4] == "-" else dated(on)


def wrapped(text: str, width: float, size: float) -> list[str]:
    """The text in lines that fit the width."""
    lines: list[str] = []
    for word in text.replace(" %", "\u00a0%").split(" "):
        if lines and svg.wide(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines


def positive_axis(low: float, high: float, most: int, title: str) -> axes.Axis:
    """An axis for figures above 0: logarithmic where they span more than two and a half times, else plain."""
    if high / low > 2.5:
        low, high, ticks = scale.rungs(low, high, most)
        return axes.Axis(low, high, ticks, title, log=True)
    low, high, ticks = scale.around(low - 0.06 * (high - low), high + 0.06 * (high - low), most, least=0.1 * high)
    return axes.Axis(max(low, 0), high, ticks, title)


def far_ticks(kind: str, units: Units, low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Ticks of the other system of units along an axis whose limits are in the maker's: (place, text)."""
    own, other = scale.shown(kind, units), scale.beside(kind, units)
    ratio = own.per_si / other.per_si
    by = scale.step((high - low) / ratio, 6)
    return tuple((v * ratio, scale.text(v)) for v in scale.steps(low / ratio, high / ratio, by))


def footed(text: str, sheet: Sheet, left: float, top: float) -> tuple[list[str], float]:
    """A note under a chart in as many lines as it needs, and the height it takes."""
    left = 0.0 if sheet.narrow else left
    lines = wrapped(text, sheet.width - left, sheet.small)
    return [svg.words(left, top + 10 + i * 15, line, "kt-small kt-soft") for i, line in enumerate(lines)], 15.0 * len(
        lines
    )


def leaning(difference: Measured | None, book: BookFindings) -> str:
    """A difference of the halves with its 95 %: "left by 7 ± 3 %"."""
    if difference is None:
        return UNKNOWN
    size = show(abs(difference.value), "ratio", book.book.settings.units, book.coverage * difference.u)
    return f"{'left' if difference.value > 0 else 'right'} by {size}"


def judged(findings: Findings) -> str:
    """The verdict on the halves as a chart's title says it."""
    return findings.balance.verdict or "not judged yet"


def within(book: BookFindings) -> str:
    """The tolerance of balance: "3 %"."""
    return show(book.book.settings.tolerance, "ratio", book.book.settings.units)


def share_of(fraction: float | None, book: BookFindings) -> str:
    """A fraction as percent."""
    return UNKNOWN if fraction is None else show(fraction, "ratio", book.book.settings.units)


def sided(percents: Sequence[float]) -> tuple[str, ...]:
    """Ticks of a difference in percent, left above 0: "5 % left", "even", "5 % right"."""
    return tuple(f"{scale.text(abs(v))} % {'left' if v > 0 else 'right'}" if v else "even" for v in percents)
