"""Quantities as makers write them: text to SI, and a clear sentence where it cannot be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple, Protocol

from bowbook.book.suggest import nearest
from bowbook.book.unit_tables import BEAUFORT_M_S, CALLED, FACTORS, SPELLED, WRITTEN, find_unit, scaled


class HasUnits(Protocol):
    """What names the unit of a bare number, kind by kind: the book's units."""

    @property
    def length(self) -> str: ...
    @property
    def force(self) -> str: ...
    @property
    def mass(self) -> str: ...
    @property
    def wind(self) -> str: ...
    @property
    def altitude(self) -> str: ...


class QuantityError(ValueError):
    """A quantity that cannot be read: what is wrong, and what to write instead."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint


class WindRange(NamedTuple):
    """Two edges of a wind, m/s, and whether it was written in Beaufort (a wind at 10 m)."""

    low: float
    high: float
    at_10m: bool


_HALVES = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_PLAIN = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]{1,9})?"
# Patterns are compiled when a text needs them: checking a small book should not wait for all of them.
_NUMBER = (
    rf"(?s)\s*(?P<sign>[+\-−]?)\s*(?:(?:(?P<whole>[0-9]{{1,9}})[ -]+)?(?P<top>[0-9]{{1,9}})/(?P<under>[0-9]{{1,9}})"
    rf"|(?P<plain>{_PLAIN}))(?![0-9.,:_/])\s*(?P<unit>.*)$"
)
_SIMPLE = re.compile(r"([0-9]+(?:\.[0-9]+)?)(?: ?([a-zA-Z%/][a-zA-Z%/0-9]*))?$")
_RANGE = (
    r"\s*(?P<low>[0-9./ ½¼¾]+?)\s*(?P<unit>[^0-9\s./½¼¾–—-][^0-9–—-]*)?\s*(?:-|–|—|\bto\b)\s*(?P<high>[0-9.½¼¾].*)$"
)
_BEAUFORT = r"(?i)\s*(?:bft|bf|beaufort)\.?\s*([0-9]{1,2})(?:\s*(?:-|–|—|to)\s*([0-9]{1,2}))?\s*$"
_BEAUFORT_LAST = r"(?i)\s*([0-9]{1,2})(?:\s*(?:-|–|—|to)\s*([0-9]{1,2}))?\s*(?:bft|bf|beaufort)\.?\s*$"
_UNSEPARATED = r"\s*[0-9.]+(?:\s+(?:[/|&]\s+)?[0-9.]+)+(?![0-9/])"
_WORDS = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null", "none", "~"})
_DATE = r"[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}"
_LONGEST = 2000


def parse_quantity(text: str | float, kind: str, units: HasUnits) -> float:
    """One quantity in SI: `19 1/2 in` → 0.4953 for kind "length". A bare number is in the book's unit.

    Raises QuantityError, whose `what` and `instead` are sentences for the maker.

    >>> from bowbook.book.records import Units
    >>> round(parse_quantity("19 1/2 in", "length", Units()), 4)
    0.4953
    """
    number, unit = split_quantity(text if isinstance(text, str) else repr(text), kind)
    return _to_si(number, unit, kind, units)


def parse_quantities(text: str | Sequence[str], kind: str, units: HasUnits) -> tuple[float, ...]:
    """Several quantities in SI; one unit at the end is shared: `214, 213, 215 g`.

    Raises QuantityError.

    >>> from bowbook.book.records import Units
    >>> [round(v, 3) for v in parse_quantities("214, 213, 215 g", "force", Units())]
    [2.099, 2.089, 2.108]
    """
    parts = _listed(text) if isinstance(text, str) else [str(t) for t in text]
    split = [split_quantity(part, kind) for part in parts]
    written = [unit for _, unit in split]
    if written and written[-1] and not any(written[:-1]):
        written = [written[-1]] * len(written)
    named = {unit for unit in written if unit}
    if named and not all(written) and named != {home_unit(kind, units)}:
        raise QuantityError(
            f"some of these have a unit and some have none: {', '.join(parts)}",
            "Write the unit once, after the last one, or after each.",
        )
    return tuple(_to_si(number, unit, kind, units) for (number, _), unit in zip(split, written, strict=True))


def parse_wind(text: str | Sequence[str], units: HasUnits) -> WindRange:
    """A wind or a range of winds in m/s: `4-7 mph`, `3 m/s`, `Bft 3-4`. Raises QuantityError.

    >>> from bowbook.book.records import Units
    >>> parse_wind("Bft 3", Units())
    WindRange(low=3.4, high=5.5, at_10m=True)
    """
    if not isinstance(text, str):
        low_high = parse_quantities(text, "wind", units)
        if len(low_high) not in (1, 2):
            raise QuantityError("a wind has two edges", "Write the weakest and the strongest, such as 4-7 mph.")
        return _ordered(low_high[0], low_high[-1])
    if len(text) > _LONGEST:
        raise QuantityError("this is too long to be a wind", f"Write {WRITTEN['wind']}.")
    text = _squeezed(text)
    force = "b" in text.lower() and (re.match(_BEAUFORT, text) or re.match(_BEAUFORT_LAST, text))
    if force:
        return _beaufort(int(force[1]), int(force[2] or force[1]))
    spread = None if re.match(_DATE, text.strip()) else re.match(_RANGE, text)
    if spread is None:
        value = parse_quantity(text, "wind", units)
        return WindRange(value, value, False)
    low, low_unit = split_quantity(f"{spread['low']} {spread['unit'] or ''}".strip(), "wind")
    high, high_unit = split_quantity(spread["high"], "wind")
    return _ordered(
        _to_si(low, low_unit or high_unit, "wind", units), _to_si(high, high_unit or low_unit, "wind", units)
    )


def split_quantity(text: str, kind: str) -> tuple[float, str]:
    """The number and the unit of one quantity; the unit is "" where none is written. Raises QuantityError."""
    simple = _SIMPLE.match(text)
    if simple and len(text) < 20:  # by far the most common form
        unit = find_unit(simple[2], kind) if simple[2] else ""
        if unit is not None:
            return float(simple[1]), unit
    if len(text) > _LONGEST:
        raise QuantityError("this is too long to be a number", f"Write {WRITTEN[kind]}.")
    text = _squeezed(text)
    _refuse_traps(text, kind)
    plain = text
    for sign, fraction in _HALVES.items():
        plain = plain.replace(sign, " " + fraction)
    found = re.match(_NUMBER, plain)
    if not found:
        raise QuantityError(f"`{_short(text)}` is not {CALLED[kind]}", f"Write a number and its unit: {WRITTEN[kind]}.")
    return _number(found, text), _unit(found["unit"].strip(), kind, text)


def home_unit(kind: str, units: HasUnits) -> str:
    """The unit of a bare number of this kind; "" where a unit must be written."""
    if kind in ("length", "thin"):
        return units.length
    if kind in ("strain", "ratio"):
        return ""
    return str(getattr(units, kind, ""))


def _squeezed(text: str) -> str:
    """The text with single blanks: a pattern may try every way to share out a thousand of them."""
    return " ".join(text.split())


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "…"


def _number(found: re.Match[str], text: str) -> float:
    if found["plain"]:
        value = float(found["plain"])
    elif int(found["under"]) == 0:
        raise QuantityError(
            f"`{_short(text)}` divides by nothing", "Write the fraction with a number below the stroke."
        )
    else:
        value = int(found["whole"] or 0) + int(found["top"]) / int(found["under"])
    if value == float("inf"):
        raise QuantityError(f"`{_short(text)}` is too large to be a number", "Write the number as you measured it.")
    return -value if found["sign"] in ("-", "−") else value


def _unit(written: str, kind: str, text: str) -> str:
    if not written:
        return ""
    unit = find_unit(written, kind)
    if unit is not None:
        return unit
    if written[0] in "'’′":
        raise QuantityError(f"`{_short(text)}` has a mark for its unit", "Write ft for feet and in for inches.")
    for other, called in CALLED.items():
        if find_unit(written, other) is not None:
            raise QuantityError(
                f"`{_short(text)}` is {called}, but this should be {CALLED[kind]}", f"Write it as {WRITTEN[kind]}."
            )
    near = nearest(written.lower(), SPELLED[kind], alike=0.5)
    known = ", ".join(FACTORS[kind])
    hint = f"Did you mean {SPELLED[kind][near[0]]}? " if near else ""
    raise QuantityError(f"`{_short(written)}` is not a unit of {CALLED[kind]}", f"{hint}Known here: {known}.")


def _to_si(number: float, unit: str, kind: str, units: HasUnits) -> float:
    unit = unit or home_unit(kind, units)
    if unit:
        factors = FACTORS[kind]
        value = scaled(number, factors[unit] if unit in factors else factors[find_unit(unit, kind) or ""])
    elif kind in ("strain", "ratio") or number == 0:
        value = number
    else:
        raise QuantityError(f"{number:g} has no unit", f"Write the unit too: {WRITTEN[kind]}.")
    if abs(value) == float("inf"):
        raise QuantityError("this number is too large", "Write the number as you measured it.")
    return value


def _ordered(low: float, high: float) -> WindRange:
    if low > high * (1 + 1e-12):
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: 4-7 mph.")
    return WindRange(low, high, False)


def _beaufort(low: int, high: int) -> WindRange:
    if low > high:
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: Bft 3-4.")
    if high + 1 >= len(BEAUFORT_M_S):
        raise QuantityError(f"Beaufort {high} is no wind to fly in", "Write a force from 0 to 11, such as Bft 3.")
    return WindRange(BEAUFORT_M_S[low], BEAUFORT_M_S[high + 1], True)


def _listed(text: str) -> list[str]:
    """The parts of a list written in one line; a comma that may stand for a decimal point is refused."""
    if len(text) > _LONGEST:
        raise QuantityError("this line is too long", "Write a few readings, such as 214, 213, 215 g.")
    if ";" in text:
        return [part.strip() for part in text.strip().rstrip(";").split(";")]
    if "," not in text and re.match(_UNSEPARATED, text):
        raise QuantityError("there are no commas between these", "Write them with commas, such as 214, 213, 215 g.")
    inside = re.findall(r"[0-9],[0-9]", text)
    if inside:
        groups = [re.sub(r"[^0-9.]", "", part) for part in text.split(",")]
        spaced = ", " in text
        alike = {len(g) for g in groups} <= {3, 4, 5} and len({len(g) for g in groups}) == 1
        if spaced or not (len(groups) > 2 or alike):
            whole = re.sub(r"([0-9]),([0-9])", r"\1.\2", text)
            raise QuantityError(
                f"a comma between two figures may be a decimal point or two readings: {_short(text)}",
                f"Write {whole} with a point, or a blank after the comma for two readings.",
            )
    return [part.strip() for part in text.strip().rstrip(",").split(",")]


_LETTER_FOR_ONE = r"(?:(?<=[0-9])[lI](?=[0-9.]|\s|$)|(?<![0-9a-zA-Z])[lI](?=[0-9]))"
_LETTER_FOR_NOUGHT = r"(?:(?<=[0-9])(?:[oO](?=[0-9.])|O(?=\s|$))|(?<![0-9a-zA-Z])O(?=[0-9]))"


def _refuse_traps(text: str, kind: str) -> None:
    """Raises QuantityError for what looks like something else than a number: a date, a time, yes, 0x1F, 1_000."""
    called, written = CALLED[kind], WRITTEN[kind]
    if not text:
        raise QuantityError("there is no number here", f"Write {written}.")
    if text.lower() in _WORDS:
        raise QuantityError(f"`{text}` is a yes-or-no word, but this should be {called}", f"Write {written}.")
    if re.match(_DATE, text):
        raise QuantityError(f"`{_short(text)}` is a date, but this should be {called}", f"Write {written}.")
    if re.match(r"[0-9]+:[0-9]", text):
        raise QuantityError(f"`{_short(text)}` is a time of day, but this should be {called}", f"Write {written}.")
    if re.match(r"[+-]?0[xXoObB]", text):
        raise QuantityError(f"`{_short(text)}` is not a plain number", "Write it in ordinary figures, such as 31.")
    if re.search(r"[0-9]_[0-9]", text):
        raise QuantityError(f"`{_short(text)}` has a _ in its figures", f"Write {_short(text.replace('_', ''))}.")
    if text.lower().lstrip("+-.").split(" ")[0] in ("nan", "inf", "infinity"):
        raise QuantityError(f"`{_short(text)}` is not a number that can be measured", f"Write {written}.")
    if re.match(rf"[0-9.]*({_LETTER_FOR_ONE}|{_LETTER_FOR_NOUGHT})", text):
        figures = re.sub(_LETTER_FOR_NOUGHT, "0", re.sub(_LETTER_FOR_ONE, "1", text))
        raise QuantityError(f"`{_short(text)}` has a letter among its figures", f"Write {_short(figures)}.")
    if re.search(r"[0-9],[0-9]", text):
        point = re.sub(r"([0-9]),([0-9])", r"\1.\2", text)
        raise QuantityError(f"`{_short(text)}` has a comma in its figures", f"Write {_short(point)}, with a point.")
    if re.match(r"[0-9]+[  '’][0-9]{3}(?![0-9/])", text):
        joined = re.sub(r"(?<=[0-9])[  '’](?=[0-9])", "", text)
        raise QuantityError(f"`{_short(text)}` has a gap in its figures", f"Write {_short(joined)}.")
