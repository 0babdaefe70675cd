"""What a maker typed, kept as it was typed, so that it can be written into a file in the unit in which it came."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from bowbook.book.quantities import HasUnits, home_unit, parse_quantity, split_quantities, to_si
from bowbook.book.records import Units
from bowbook.book.written_winds import parse_wind


class Typed(NamedTuple):
    """One reading: its value in SI, and its figure and its unit as they were typed."""

    si: float
    figure: str
    unit: str


# Two books without a unit in common: a text that means two things in them has no unit of its own.
_ONE = Units(length="mm", force="g", mass="g", wind="mph", altitude="m")
_OTHER = Units(length="in", force="oz", mass="oz", wind="m/s", altitude="ft")


def typed_quantities(text: str, kind: str, units: HasUnits) -> tuple[Typed, ...]:
    """Several quantities as they were typed; a bare one gets the book's unit. Raises QuantityError.

    >>> typed_quantities("7.5, 7.4 oz", "force", Units())[1][1:]
    ('7.4', 'oz')
    """
    found = []
    for number, unit, part in split_quantities(text, kind, units):
        figure = re.sub(r"(?<=[0-9.½¼¾⅓⅔⅛⅜⅝⅞])\s*[^0-9.½¼¾⅓⅔⅛⅜⅝⅞]*$", "", part)
        found.append(Typed(to_si(number, unit, kind, units), figure, unit or home_unit(kind, units)))
    return tuple(found)


def together(typed: Sequence[Typed]) -> str:
    """Several readings on one line, the unit once at the end where they share it.

    >>> together([Typed(0.0, "212", "g"), Typed(0.0, "214", "g")]), together([Typed(0.0, "10,5", "oz")])
    ('212, 214 g', '10,5 oz')
    """
    between = "; " if len(typed) > 1 and any("," in one.figure for one in typed) else ", "
    if len({one.unit for one in typed}) == 1:
        return between.join(one.figure for one in typed) + f" {typed[0].unit}"
    return between.join(f"{one.figure} {one.unit}" for one in typed)


def with_unit(text: str, kind: str, units: HasUnits) -> str:
    """A quantity or a wind as it was typed, with the book's unit behind it where it has none of its own.

    Raises QuantityError.

    >>> with_unit("4-6", "wind", Units()), with_unit("4-6 km/h", "wind", Units()), with_unit("to F3", "wind", Units())
    ('4-6 mph', '4-6 km/h', 'to F3')
    """
    text = " ".join(text.split())
    parse = parse_wind if kind == "wind" else (lambda t, u: parse_quantity(t, kind, u))
    return f"{text} {home_unit(kind, units)}" if parse(text, _ONE) != parse(text, _OTHER) else text
