"""Winds as makers write them: ranges, Beaufort forces, and edges that are only known from one side."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from bowbook.book.quantities import HasUnits, QuantityError, parse_quantities, split_quantity, to_si
from bowbook.book.unit_tables import BEAUFORT_M_S, WRITTEN
from bowbook.book.written_numbers import BETWEEN, DATE, LONGEST, short, squeezed_blanks, without_about


class WindRange(NamedTuple):
    """Two edges of a wind, m/s, and whether it was written in Beaufort (a wind at 10 m).

    An edge that is not known is None: "to 6 mph" has no low one, "6 mph up" no high one, and the other bounds it.
    """

    low: float | None
    high: float | None
    at_10m: bool = False


_NUMBER = r"[0-9.,/ ½¼¾⅓⅔⅛⅜⅝⅞]+?"
_RANGE = rf"(?i)\s*(?P<low>{_NUMBER})\s*(?P<unit>[^0-9\s.,/½¼¾–—-][^0-9–—-]*?)?\s*{BETWEEN}\s*(?P<high>[0-9.½¼¾].*)$"
_SLASHED = r"(?i)\s*(?P<low>[0-9]{1,3})\s*/\s*(?P<high>[0-9]{1,3}(?![0-9.,/])\s*(?:[a-z].*)?)$"
_TO = r"(?i)\s*(?:up\s+to|to|tot|bis|until|at\s+most|<|≤)\s*(?P<edge>[0-9.½¼¾bf].*)$"
_UP = (
    r"(?i)\s*(?P<edge>(?:[0-9.½¼¾]|bft|bf|beaufort|force|f).*?)\s*"
    r"(?:(?:and|en|und)\s+)?(?:up|upwards?|more|over)\s*(?P<unit>[a-z/]*)$"
)
_FROM = r"(?i)\s*(?:from|at\s+least|>|≥)\s*(?P<edge>[0-9.½¼¾bf].*)$"
_PLUS = r"(?i)\s*(?P<number>[0-9.,]+)\s*\+\s*(?P<unit>.*)$"
_FORCE = r"(?:bft|bf|beaufort|force|f)\.?"
_FORCES = rf"(?i)\s*{_FORCE}\s*([0-9]{{1,2}})(?:\s*(?:{BETWEEN}|/)\s*(?:{_FORCE}\s*)?([0-9]{{1,2}}))?\s*$"
_FORCES_LAST = rf"(?i)\s*([0-9]{{1,2}})(?:\s*(?:{BETWEEN}|/)\s*([0-9]{{1,2}}))?\s*(?:bft|bf|beaufort)\.?\s*$"
_EXAMPLE = "Write the weakest and the strongest, such as 4-7 mph."


def parse_wind(text: str | Sequence[str], units: HasUnits) -> WindRange:
    """A wind or a range of winds in m/s: `4-7 mph`, `3 m/s`, `Bft 3-4`, `to 6 mph`. Raises QuantityError.

    >>> from bowbook.book.records import Units
    >>> parse_wind("Bft 3", Units())
    WindRange(low=3.4, high=5.5, at_10m=True)
    >>> parse_wind("to 6 m/s", Units())
    WindRange(low=None, high=6.0, at_10m=False)
    """
    if not isinstance(text, str):
        low_high = parse_quantities(text, "wind", units)
        if len(low_high) not in (1, 2):
            raise QuantityError("a wind has two edges", _EXAMPLE)
        return _ordered(low_high[0], low_high[-1])
    if len(text) > LONGEST:
        raise QuantityError("this is too long to be a wind", f"Write {WRITTEN['wind']}.")
    text = without_about(squeezed_blanks(text))
    below, above, up = re.match(_TO, text), re.match(_FROM, text), re.match(_UP, text)
    if below:
        edge = _closed(below["edge"], units)
        return WindRange(None, edge.high, edge.at_10m)
    if above or up:
        edge = _closed(above["edge"] if above else f"{up['edge']} {up['unit']}".strip() if up else "", units)
        return WindRange(edge.low, None, edge.at_10m)
    plus = re.match(_PLUS, text)
    if plus:
        return WindRange(_closed(f"{plus['number']} {plus['unit']}".strip(), units).low, None)
    return _closed(text, units)


def _closed(text: str, units: HasUnits) -> WindRange:
    """A wind of which both edges are known."""
    force = re.match(_FORCES, text) or re.match(_FORCES_LAST, text)
    if force:
        return _beaufort(int(force[1]), int(force[2] or force[1]))
    spread = None if re.match(DATE, text) else re.match(_SLASHED, text) or re.match(_RANGE, text)
    if spread is None:
        _refuse_two_in_one(text)
        number, unit = split_quantity(text, "wind")
        value = to_si(number, unit, "wind", units)
        return WindRange(value, value)
    own = spread.groupdict().get("unit") or ""
    low, low_unit = split_quantity(f"{spread['low']} {own}".strip(), "wind")
    high, high_unit = split_quantity(without_about(spread["high"]), "wind")
    return _ordered(to_si(low, low_unit or high_unit, "wind", units), to_si(high, high_unit or low_unit, "wind", units))


def _refuse_two_in_one(text: str) -> None:
    """Raises QuantityError for `4,7 mph`, which may be 4.7 mph or 4 to 7."""
    found = re.match(r"([1-9][0-9]?),([1-9][0-9]?)(?![0-9])(.*)$", text)
    if found and int(found[1]) < int(found[2]):
        raise QuantityError(
            f"`{short(text)}` may be one wind or two edges",
            f"Write {found[1]}.{short(found[2] + found[3])} or {found[1]}-{short(found[2] + found[3])}.",
        )


def _ordered(low: float, high: float) -> WindRange:
    if low > high * (1 + 1e-12):
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: 4-7 mph.")
    return WindRange(low, high)


def _beaufort(low: int, high: int) -> WindRange:
    if low > high:
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: Bft 3-4.")
    if high + 1 >= len(BEAUFORT_M_S):
        raise QuantityError(f"Beaufort {high} is no wind to fly in", "Write a force from 0 to 11, such as Bft 3.")
    return WindRange(BEAUFORT_M_S[low], BEAUFORT_M_S[high + 1], True)
