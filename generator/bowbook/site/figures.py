"""Figures as pages print them: every number on the site passes through here on its way to the one formatter."""

from __future__ import annotations

from bowbook.book.records import Units, Wind
from bowbook.book.units import show
from bowbook.findings.results import Measured, Predicted, Range

_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def plain(value_si: float, kind: str, units: Units) -> str:
    """An exact figure in the maker's unit: "21 g"."""
    return show(value_si, kind, units)


def measured(figure: Measured, kind: str, units: Units) -> str:
    """A measured figure with its standard uncertainty: "214 ± 3 g"."""
    return show(figure.value, kind, units, figure.u)


def share(fraction: float, units: Units, spread: float | None = None) -> str:
    """A fraction as percent, with its half width where there is one: "7 ± 2 %"."""
    return show(fraction, "ratio", units, spread)


def winds(span: Range | Predicted | Wind, units: Units) -> str:
    """A range of wind in the maker's unit: "5–8 mph"."""
    low, high = (span.low_m_s, span.high_m_s) if isinstance(span, Wind) else (span.low, span.high)
    return show((low, high), "wind", units)


def count(number: int) -> str:
    """A small count in words, as people say it."""
    return _COUNTS[number] if 0 <= number < len(_COUNTS) else f"{number:,}".replace(",", "\u202f")


def counted(number: int, one: str, many: str | None = None) -> str:
    """A count with its noun: "one kite", "three kites"."""
    return f"{count(number)} {one if number == 1 else many or one + 's'}"


def listed(names: list[str], joint: str = "and") -> str:
    """Names as a sentence lists them: "Knot, Turnstone and Plover"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {joint} {names[-1]}" if names else ""


def capital(sentence: str) -> str:
    """The sentence with its first letter raised and the rest left alone."""
    return sentence[:1].upper() + sentence[1:]
