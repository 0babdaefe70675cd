"""Winds as makers write them: ranges, Beaufort forces, and edges that are only known from one side."""

from __future__ import annotations

import re
from collections.abc import Sequence

from bowbook.book.quantities import HasUnits, parse_quantities, split_quantity, to_si
from bowbook.book.records import Wind
from bowbook.book.unit_tables import BEAUFORT_M_S, WRITTEN, find_unit
from bowbook.book.written_numbers import BETWEEN, DATE, LONGEST, QuantityError, short, squeezed_blanks, without_about

_SIMPLE = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,3})?)-([0-9]{1,3}(?:\.[0-9]{1,3})?)(?: ?([a-z/]{1,4}))?")
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


def parse_wind(text: str | Sequence[str], units: HasUnits) -> Wind:
    """A wind or a range of winds: `4-7 mph`, `3 m/s`, `Bft 3-4`, `to 6 mph`. Raises QuantityError.

    >>> from bowbook.book.records import Units
    >>> parse_wind("Bft 3", Units())
    Wind(low_m_s=3.4, high_m_s=5.5, at_10m=True)
    >>> parse_wind("to 6 m/s", Units())
    Wind(low_m_s=None, high_m_s=6.0, at_10m=False)
    """
    if not isinstance(text, str):
        low_high = parse_quantities(text, "wind", units)
        if len(low_high) not in (1, 2):
            raise QuantityError("a wind has two edges", _EXAMPLE)
        return _ordered(low_high[0], low_high[-1])
    simple = _SIMPLE.fullmatch(text)
    if simple and (unit := find_unit(simple[3], "wind") if simple[3] else "") is not None:  # the most common form
        return _ordered(*(to_si(float(edge), unit, "wind", units) for edge in simple.group(1, 2)))
    if len(text) > LONGEST:
        raise QuantityError("this is too long to be a wind", f"Write {WRITTEN['wind']}.")
    text = without_about(squeezed_blanks(text))
    below, above, up = re.match(_TO, text), re.match(_FROM, text), re.match(_UP, text)
    if below:
        edge = _closed(below["edge"], units)
        return Wind(None, edge.high_m_s, edge.at_10m)
    if above or up:
        edge = _closed(above["edge"] if above else f"{up['edge']} {up['unit']}".strip() if up else "", units)
        return Wind(edge.low_m_s, None, edge.at_10m)
    plus = re.match(_PLUS, text)
    if plus:
        return Wind(_closed(f"{plus['number']} {plus['unit']}".strip(), units).low_m_s, None)
    return _closed(text, units)


def _closed(text: str, units: HasUnits) -> Wind:
    """A wind of which both edges are known."""
    force = re.match(_FORCES, text) or re.match(_FORCES_LAST, text)
    if force:
        return _beaufort(int(force[1]), int(force[2] or force[1]))
    spread = None if re.match(DATE, text) else re.match(_SLASHED, text) or re.match(_RANGE, text)
    if spread is None:
        _refuse_two_in_one(text)
        number, unit = split_quantity(text, "wind")
        value = to_si(number, unit, "wind", units)
        return Wind(value, value)
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


def _ordered(low: float, high: float) -> Wind:
    if low > high * (1 + 1e-12):
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: 4-7 mph.")
    return Wind(low, high)


def _beaufort(low: int, high: int) -> Wind:
    if low > high:
        raise QuantityError("the stronger wind comes first", "Write the weaker one first: Bft 3-4.")
    if high + 1 >= len(BEAUFORT_M_S):
        raise QuantityError(f"Beaufort {high} is no wind to fly in", "Write a force from 0 to 11, such as Bft 3.")
    return Wind(BEAUFORT_M_S[low], BEAUFORT_M_S[high + 1], True)
