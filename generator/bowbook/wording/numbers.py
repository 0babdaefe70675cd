"""Figures as pages print them, worded by `book/units.py`; no page formats a number otherwise."""

from __future__ import annotations

from msgspec.structs import replace

from bowbook.book import units as book_units
from bowbook.book.records import Units, Wind
from bowbook.book.unit_tables import FACTORS
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import Predicted, Range

THOU_m = 2.54e-5
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def exact(value_si: float, kind: str, units: Units) -> str:
    """An exact figure in the maker's unit: "21 g"; a length as `ruled` has it."""
    return ruled(value_si, units) if kind == "length" else book_units.show(value_si, kind, units)


def plain(value_si: float, kind: str, units: Units) -> str:
    """The same where it may not break over two lines."""
    return _kept(exact(value_si, kind, units))


def plain_range(low_si: float, high_si: float, kind: str, units: Units) -> str:
    """A range of exact figures where it may not break over two lines: "60–160 mm"."""
    return _kept(book_units.show_range(low_si, high_si, kind, units))


def both(value_si: float, kind: str, units: Units, u: float | None = None) -> str:
    """A figure in the maker's unit with the other system behind it: "640 mm (25.2 in)"."""
    own = plain(value_si, kind, units) if u is None else _kept(book_units.show(value_si, kind, units, u))
    if book_units.second_unit(kind, units) == book_units.unit_of(kind, units):
        return own
    other = _kept(book_units.second(value_si, kind, units))
    return f"{own[:-1]}, {other})" if own.endswith(")") else f"{own} ({other})"


def ruled(length_m: float, units: Units) -> str:
    """A length as a ruler shows it: "520 mm"; in inches with the fraction to a 32nd behind it: "25.2 in (25 3/16)".

    >>> ruled(0.64, Units(length="in")), ruled(0.3048, Units(length="in")), ruled(0.64, Units())
    ('25.2 in (25 3/16)', '12 in', '640 mm')
    """
    shown = book_units.show(length_m, "length", units)
    whole, thirty_seconds = divmod(round(length_m / FACTORS["length"]["in"] * 32), 32)
    if units.length != "in" or not thirty_seconds:
        return shown
    from fractions import Fraction

    part = Fraction(thirty_seconds, 32)
    return f"{shown} ({f'{whole} ' if whole else ''}{part.numerator}/{part.denominator})"


def measured(figure: Measured, kind: str, units: Units) -> str:
    """A measured figure with its ± for 95 %: "214 ± 3 g"; "at least 0.02 N·m²" for a lower bound."""
    said = _kept(book_units.show(figure.value, kind, units, figure.half_width(kind)))
    return f"at\u00a0least {said}" if figure.least else said


def measured_both(figure: Measured, kind: str, units: Units) -> str:
    """The same with the other system behind it: "640 ± 2 mm (25.2 in)"."""
    said = both(figure.value, kind, units, figure.half_width(kind))
    return f"at\u00a0least {said}" if figure.least else said


def about(value_si: float, kind: str, units: Units) -> str:
    """A computed figure to two figures of its unit, for a sentence that needs no more."""
    unit = book_units.unit_of(kind, units)
    shown = book_units.to_unit(value_si, unit, kind)
    return _kept(f"{number(float(f'{shown:.2g}'))} {unit}")


def surely(value_si: float, u: float | None, kind: str, units: Units) -> str:
    """A computed figure with the ± of how near the true value it is, for 95 %: "72 ± 13 g"; two figures without one."""
    return about(value_si, kind, units) if not u else _kept(book_units.show(value_si, kind, units, 2 * u))


def share(fraction: float, units: Units, spread: float | None = None) -> str:
    """A fraction as percent, with its half width where there is one: "7 ± 2 %"."""
    return _kept(book_units.show(rough(fraction), "ratio", units, spread))


def shares(fraction: float, spread: float | None, units: Units) -> tuple[str, str | None]:
    """A fraction and its half width as two percentages rounded alike: "7 %" and "± 2 %"."""
    said = book_units.parts(fraction if spread else rough(fraction), "ratio", units, spread)
    unit = "\u00a0" + said.unit
    return said.value + unit, f"±\u00a0{said.plus}{unit}" if said.plus else None


def shaved(value_m: float, units: Units) -> str:
    """A shaving to the micrometre; in thou, to a tenth of one, for makers in inches: no calliper says more.

    >>> shaved(0.0000502, Units()), shaved(0.0000502, Units(length="in"))
    ('0.05 mm', '2 thou')
    """
    if book_units.unit_of("thin", units) == "in":
        return f"{number(round(value_m / THOU_m, 1))} thou"
    return book_units.show(round(value_m, 6), "thin", units)


def thin(value_m: float, units: Units) -> str:
    """A thickness to take off, to two figures: nobody shaves finer than that. In thou for makers in inches."""
    if book_units.unit_of("thin", units) == "in":
        return _kept(f"{number(rough(value_m / THOU_m))} thou")
    return plain(rough(value_m), "thin", units)


def line(length_m: float, units: Units) -> str:
    """A length of line, which nobody measures in inches or millimetres: "25 m", "80 ft"."""
    return plain(length_m, "altitude", replace(units, altitude="ft" if units.length == "in" else "m"))


def winds(span: Range | Predicted | Wind, units: Units) -> str:
    """A range of wind in the maker's unit: "5–8 mph"."""
    low, high = (span.low_m_s, span.high_m_s) if isinstance(span, Wind) else (span.low, span.high)
    return _kept(book_units.show_range(low, high, "wind", units))


def winds_both(span: Range | Predicted | Wind, units: Units) -> str:
    """A range of wind with the other system behind it: "5–8 mph (2.2–3.6 m/s)"."""
    low, high = (span.low_m_s, span.high_m_s) if isinstance(span, Wind) else (span.low, span.high)
    other = book_units.show_range(low, high, "wind", book_units.second_unit("wind", units))
    return f"{winds(span, units)} ({_kept(other)})"


def wind_unit(units: Units) -> str:
    """The unit winds are shown in."""
    return book_units.unit_of("wind", units)


def wind_number(wind_m_s: float, units: Units) -> float:
    """A wind as a bare number in the maker's unit, for placing it on an axis and for the page's script."""
    return book_units.to_unit(wind_m_s, wind_unit(units), "wind")


def wind_units() -> dict[str, float]:
    """Every unit of wind the site understands in a link such as #wind=6mph, with its m/s."""
    return dict(FACTORS["wind"])


def number(value: float) -> str:
    """A bare number in sensible figures."""
    return book_units.figure(value)


def count(number: int) -> str:
    """A small count in words, as people say it."""
    return _COUNTS[number] if 0 <= number < len(_COUNTS) else f"{number:,}".replace(",", "\u202f")


def counted(number: int, one: str, many: str | None = None) -> str:
    """A count with its noun: "one kite", "three kites"."""
    return f"{count(number)} {one if number == 1 else many or one + 's'}"


def listed(names: list[str], joint: str = "and") -> str:
    """Names as a sentence lists them: "Knot, Turnstone and Plover"."""
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} {joint} {names[-1]}" if names else ""


def stopped(sentence: str) -> str:
    """The sentence with its stop: one alone where it ends in an abbreviation.

    >>> stopped("Records by Mirte K."), stopped("Records by Jo")
    ('Records by Mirte K.', 'Records by Jo.')
    """
    return sentence if sentence.endswith((".", "!", "?", "…")) else f"{sentence}."


def capital(sentence: str) -> str:
    """The sentence with its first letter raised and the rest left alone."""
    return sentence[:1].upper() + sentence[1:]


def _kept(text: str) -> str:
    return text.replace(" ", "\u00a0")


def rough(value: float) -> float:
    """The value to two figures, for what is known no better, or need not be."""
    return float(f"{value:.2g}")
