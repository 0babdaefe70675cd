"""Quantities as makers write them: text to SI, and a clear sentence where it cannot be."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Protocol

from bowbook.book.suggest import nearest
from bowbook.book.unit_tables import CALLED, FACTORS, SPELLED, WRITTEN, find_unit, scaled
from bowbook.book.written_numbers import (
    LONGEST,
    QuantityError,
    number_and_unit,
    short,
    squeezed_blanks,
    with_points,
    without_about,
)


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


_SIMPLE = re.compile(r"([0-9]+(?:\.[0-9]+)?)(?: ?([a-zA-Z%/][a-zA-Z%/0-9]*))?$")
_REPEATS_WITHIN = 1.5  # readings of one thing that differ by more than this factor are no repeats


def parse_quantity(text: str | float, kind: str, units: HasUnits) -> float:
    """One quantity in SI: `19 1/2 in` → 0.4953 for kind "length". A bare number is in the book's unit.

    Raises QuantityError, whose `message` and `hint` are sentences for the maker.

    >>> from bowbook.book.records import Units
    >>> round(parse_quantity("19 1/2 in", "length", Units()), 4)
    0.4953
    """
    number, unit = split_quantity(text if isinstance(text, str) else repr(text), kind)
    return to_si(number, unit, kind, units)


def parse_quantities(text: str | Sequence[str], kind: str, units: HasUnits) -> tuple[float, ...]:
    """Several quantities in SI; one unit at the end is shared: `214, 213, 215 g`.

    Raises QuantityError.

    >>> from bowbook.book.records import Units
    >>> [round(v, 3) for v in parse_quantities("214, 213, 215 g", "force", Units())]
    [2.099, 2.089, 2.108]
    """
    return tuple(to_si(number, unit, kind, units) for number, unit, _ in split_quantities(text, kind, units))


def split_quantities(text: str | Sequence[str], kind: str, units: HasUnits) -> list[tuple[float, str, str]]:
    """Several quantities, each as its number, its unit ("" for the book's own) and its own text as it was typed.

    Raises QuantityError.
    """
    parts = parts_of_list(text) if isinstance(text, str) else [str(t) for t in text]
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
    return [(number, unit, part) for (number, _), unit, part in zip(split, written, parts, strict=True)]


def split_quantity(text: str, kind: str) -> tuple[float, str]:
    """The number and the unit of one quantity; the unit is "" where none is written. Raises QuantityError."""
    simple = _SIMPLE.match(text)
    if simple and len(text) < 20:  # by far the most common form
        unit = find_unit(simple[2], kind) if simple[2] else ""
        if unit is not None:
            return float(simple[1]), unit
    if len(text) > LONGEST:
        raise QuantityError("this is too long to be a number", f"Write {WRITTEN[kind]}.")
    text = squeezed_blanks(text)
    number, unit_written = number_and_unit(without_about(text), kind)
    return number, _unit(unit_written, kind, text)


def home_unit(kind: str, units: HasUnits) -> str:
    """The unit of a bare number of this kind; "" where a unit must be written."""
    if kind in ("length", "thin"):
        return units.length
    if kind in ("strain", "ratio"):
        return ""
    return str(getattr(units, kind, ""))


def _unit(written: str, kind: str, text: str) -> str:
    if not written:
        return ""
    unit = find_unit(written, kind)
    if unit is not None:
        return unit
    if written[0] in "'’′":
        raise QuantityError(f"`{short(text)}` has a mark for its unit", "Write ft for feet and in for inches.")
    for other, called in CALLED.items():
        if find_unit(written, other) is not None:
            raise QuantityError(
                f"`{short(text)}` is {called}, but this should be {CALLED[kind]}", f"Write it as {WRITTEN[kind]}."
            )
    near = nearest(written.lower(), SPELLED[kind], alike=0.5)
    known = ", ".join(FACTORS[kind])
    hint = f"Did you mean {SPELLED[kind][near[0]]}? " if near else ""
    raise QuantityError(f"`{short(written)}` is not a unit of {CALLED[kind]}", f"{hint}Known here: {known}.")


def to_si(number: float, unit: str, kind: str, units: HasUnits) -> float:
    """A number of a unit, "" for the book's own, in SI. Raises QuantityError where it has none, or is too large."""
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


def parts_of_list(text: str) -> list[str]:
    """The parts of a list written in one line; what may stand for a decimal point is refused. Raises QuantityError."""
    if len(text) > LONGEST:
        raise QuantityError("this line is too long", "Write a few readings, such as 214, 213, 215 g.")
    text = squeezed_blanks(text)
    if ";" in text:
        return [part.strip() for part in text.rstrip("; ").split(";")]
    if "," not in text and re.match(r"\s*[0-9.]+(?:\s+(?:[/|&]\s+)?[0-9.]+)+(?![0-9/])", text):
        raise QuantityError("there are no commas between these", "Write them with commas, such as 214, 213, 215 g.")
    _refuse_gaps_and_ranges(text)
    if re.search(r"[0-9],[0-9]", text):
        return _with_tight_commas(text)
    return [part.strip() for part in text.rstrip(", ").split(",")]


def _refuse_gaps_and_ranges(text: str) -> None:
    """Raises QuantityError for a reading that is two, or the two ends of a range."""
    apart = re.search(r"(?:^|, ?)([0-9]+(?:\.[0-9]+)?) ([0-9]+(?:\.[0-9]+)?)(?![0-9./])", text)
    if apart and not (len(apart[1]) < 3 and re.fullmatch(r"[0-9]{3}", apart[2])):
        mended = text[: apart.end(1)] + "," + text[apart.end(1) :]
        raise QuantityError(f"there is no comma between {apart[1]} and {apart[2]}", f"Write {short(mended)}.")
    word = re.search(r"([0-9][0-9.,]*) ?(?:to|tot|bis|\.\.+|…|–|—) ?([0-9][0-9.,]*)", text)
    if word:
        raise QuantityError(
            f"`{short(word[0])}` is a range, but here each reading stands by itself",
            f"Write {short(text.replace(word[0], f'{word[1]}, {word[2]}'))}.",
        )


def _with_tight_commas(text: str) -> list[str]:
    """The parts of a list in which a comma stands between two figures without a blank. Raises QuantityError.

    Readings of one thing are alike: what would make them differ by half again is no comma between two of them.
    """
    apart = [part.strip() for part in text.rstrip(", ").split(",")]
    joined = [part.strip() for part in re.split(r",(?![0-9])", text.rstrip(", "))]
    groups = [re.sub(r"[^0-9.]", "", part) for part in apart]
    alike = {len(g) for g in groups} <= {3, 4, 5} and len({len(g) for g in groups}) == 1
    as_list = _are_repeats(groups)
    once = all(part.count(",") <= 1 for part in joined)
    as_decimals = once and _are_repeats([re.sub(r"[^0-9.]", "", part.replace(",", ".")) for part in joined])
    if as_list and not (as_decimals and (", " in text or not (len(groups) > 2 or alike))):
        return apart
    if as_decimals and not as_list and not re.search(r"[1-9][0-9]{0,2},[0-9]{3}(?![0-9])", text):
        return [part.replace(",", ".") for part in joined]
    if re.search(r"[0-9]\.[0-9]{3},[0-9]", text):
        with_points(text)
    whole = re.sub(r"([0-9]),([0-9])", r"\1.\2", text)
    raise QuantityError(
        f"a comma between two figures may be a decimal point or two readings: {short(text)}",
        f"Write {short(whole)} with a point, or a blank after the comma for two readings.",
    )


def _are_repeats(figures: Sequence[str]) -> bool:
    """Whether these may be readings of one thing."""
    try:
        numbers = [float(text) for text in figures]
    except ValueError:
        return False
    return min(numbers) > 0 and max(numbers) <= _REPEATS_WITHIN * min(numbers)
