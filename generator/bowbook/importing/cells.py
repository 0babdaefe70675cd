"""One cell of old notes as a kite's file has it: what was typed stays typed, with its unit behind it."""

from __future__ import annotations

import contextlib
import re
from typing import Any, Final

from bowbook.book.quantities import home_unit, parse_quantities, split_quantities, split_quantity, to_si
from bowbook.book.records import Units
from bowbook.book.unit_tables import FACTORS
from bowbook.book.units import show
from bowbook.book.written_numbers import QuantityError, squeezed_blanks
from bowbook.book.written_winds import parse_wind
from bowbook.format import fields
from bowbook.format.schema import KITE
from bowbook.importing.columns import FIELDS

# Where each field's limits stand in a kite's file.
_PLACE: Final = {
    "left": "bench.left.press",
    "right": "bench.right.press",
    "whole": "bench.whole.press",
    "left/right": "bench.left.press",
    "reading": "bench.left.press",
    "covered.left": "covered.left.press",
    "covered.right": "covered.right.press",
    "meter height": "flights.height",
    "line": "flights.line",
    "gusts": "flights.gusts",
    "wind.low": "flights.wind",
    "wind.high": "flights.wind",
    "wind": "flights.wind",
    "best": "flights.best",
    "best.low": "flights.best",
    "best.high": "flights.best",
    "target": "target.left.press",
    "target.left": "target.left.press",
    "target.right": "target.right.press",
    "new bow length": "bow.length",
    "new span": "bow.span",
}
_SIDES: Final = {
    "left": ("left", "l", "lh", "links", "linke", "gauche", "izquierda"),
    "right": ("right", "r", "rh", "rechts", "rechte", "droite", "derecha"),
    "whole": ("whole", "whole bow", "both", "w", "ganz", "heel", "end to end"),
}
# Two books without a unit in common: a text that means two things in them has no unit of its own.
_ONE: Final = Units(length="mm", force="g", mass="g", wind="mph")
_OTHER: Final = Units(length="in", force="oz", mass="oz", wind="m/s")
_FIGURE: Final = r"[0-9]+(?:[.,][0-9]+)?"
_BETWEEN_READINGS: Final = re.compile(r"\s*(?:[|&+\n]|\b(?:and|und|en|et|y)\b)\s*")


class CellError(ValueError):
    """A cell that cannot stand in a kite's file as what its column is; the message says why."""


def quantity(text: str, field: str, kind: str, unit: str, units: Units) -> str:
    """One quantity as it was typed, with the column's unit, else the book's, where it has none. Raises CellError."""
    text = squeezed_blanks(text)
    try:
        number, own = split_quantity(text, kind)
        used = own or unit or home_unit(kind, units)
        value = to_si(number, used, kind, units)
        _check(value, text, field, kind)
    except QuantityError as wrong:
        raise CellError(wrong.message) from None
    if not own and not unit and not is_usual(value, field):
        raise CellError(f"its unit is not said, and {text} {used} would be unusual")
    return text if own else f"{text} {used}"


def is_usual(value: float, field: str) -> bool:
    """Whether a value in SI is one that is common for a field."""
    low, high = FIELDS[field].usual
    return not high or low <= value <= high


def has_unit(text: str, kind: str) -> bool:
    """Whether a cell has a unit of its own; one that cannot be read has none."""
    try:
        if kind == "wind":
            return parse_wind(text, _ONE) != parse_wind(text, _OTHER) or bool(re.search(r"[A-Za-z]", text))
        return parse_quantities(_parted(text), kind, _ONE) == parse_quantities(_parted(text), kind, _OTHER)
    except QuantityError:
        return bool(re.search(r"[A-Za-z]", text))


def readings(text: str, field: str, unit: str, units: Units) -> str:
    """The readings in a cell, however they are parted, on one line. Raises CellError."""
    if _fractions(text):
        with contextlib.suppress(CellError):
            return _readable(quantity(text, field, "force", unit, units), units)
    parted = _parted(text)
    try:
        found = split_quantities(parted, "force", units)
        used = next((own for _, own, _ in found if own), "") or unit or units.force
        for number, own, part in found:
            value = to_si(number, own or used, "force", units)
            _check(value, part, field, "force")
            if not own and not unit and not is_usual(value, field):
                raise CellError(f"its unit is not said, and {part} {used} would be unusual")
    except QuantityError as wrong:
        raise CellError(wrong.message) from None
    parts = [part for _, _, part in found]
    joined = ("; " if any("," in part for part in parts) else ", ").join(parts)
    bare = not any(own for _, own, _ in found)
    return _readable(f"{joined} {used}" if bare else joined, units)


def _readable(line: str, units: Units) -> str:
    """Readings that a kite's file takes as they stand. Raises CellError for others."""
    try:
        parse_quantities(line, "force", units)
    except QuantityError as wrong:
        raise CellError(wrong.message) from None
    return line


def both_halves(text: str, unit: str, units: Units) -> tuple[str, str]:
    """The left and the right half's readings from one cell, such as 214/198 g. Raises CellError."""
    found = re.fullmatch(
        rf"[Ll]?:?\s*({_FIGURE})\s*([a-zA-Z]*)\s*(?:/|\||–|—|-|:|;|,\s)\s*[Rr]?:?\s*({_FIGURE})\s*([a-zA-Z]*)",
        text.strip(),
    )
    if not found:
        raise CellError(f"`{text[:40]}` is not two readings, the left one first")
    first, second = f"{found[1]} {found[2] or found[4]}".strip(), f"{found[3]} {found[4] or found[2]}".strip()
    return readings(first, "left", unit, units), readings(second, "right", unit, units)


def wind(text: str, unit: str, units: Units) -> str:
    """A wind as it was typed, with the column's unit, else the book's, where it has none. Raises CellError."""
    text = squeezed_blanks(text)
    bare = re.fullmatch(
        r"(?:(?:up )?to |from |[<>≤≥] ?)?[0-9.,½¼¾/ –—-]+(?: ?(?:to|tot|bis|\+|up|and up) ?[0-9.,]*)?", text
    )
    if unit == "Bft":
        text = re.sub(r"(?=[0-9])", "Bft ", text, count=1).replace("+", " up") if bare else text
    elif bare:
        text = _before_up(text, unit or units.wind)
    try:
        found = parse_wind(text, units)
    except QuantityError as wrong:
        raise CellError(wrong.message) from None
    for edge in (found.low_m_s, found.high_m_s):
        if edge is not None and edge > _shape("wind").high:
            raise CellError(f"{text} is no wind to fly in")
    if found.high_m_s is not None and not found.high_m_s > 0:
        raise CellError(f"{text} is no wind")
    return text


def wind_of_edges(low: str, high: str, unit: str, units: Units) -> str:
    """A wind from its two edges, either "" where it is not known. Raises CellError."""
    ends = [quantity(edge, "wind", "wind", unit, units) if edge else "" for edge in (low, high)]
    if not ends[0]:
        return wind(f"to {ends[1]}", "", units)
    if not ends[1]:
        return wind(f"{ends[0]} up", "", units)
    first, second = (re.match(r"(.*?)\s*([^\d.,½¼¾\s].*)$", end) for end in ends)
    if first and second and first[2] == second[2]:
        return wind(f"{first[1]}-{second[1]} {second[2]}", "", units)
    return wind(f"{ends[0]} - {ends[1]}", "", units)


def mark(text: str) -> str:
    """A mark from 1 to 5, also written 4/5, 4 of 5 or 4.0. Raises CellError."""
    found = re.fullmatch(r"([1-5])(?:\.0)?(?:\s*(?:/|of|out of|von|van)\s*5)?", text.strip())
    if not found:
        raise CellError(f"`{text[:40]}` is no mark from 1 to 5")
    return found[1]


def side(text: str) -> str:
    """Which half: left, right or whole. Raises CellError."""
    plain = text.casefold().strip(" .:")
    for name, words in _SIDES.items():
        if plain in words or plain.removesuffix(" half").removesuffix(" side") in words:
            return name
    raise CellError(f"`{text[:40]}` is no half: left, right or whole")


def tags(text: str) -> str:
    """Tags, each once, parted by commas. Raises CellError for more or longer ones than a file may have."""
    found = list(dict.fromkeys(" ".join(tag.split()).strip("# ") for tag in re.split(r"[,;|\n]", text)))
    found = [tag for tag in found if tag]
    if not found or len(found) > 30 or any(len(tag) > 60 for tag in found):
        raise CellError("tags are up to thirty words of at most 60 letters")
    return ", ".join(found)


def bow_name(text: str) -> str:
    """The name of one of several bows. Raises CellError for what cannot be one."""
    name = squeezed_blanks(text)
    if len(name) > 60 or "." in name or not name.isprintable():
        raise CellError(f"{name[:40]} is no name of a bow: write a short one, such as strong")
    return name


def private(text: str) -> str:
    """ "true" for whatever is no plain no: what is not understood is not published either."""
    return (
        "" if text.casefold().strip(" .") in ("no", "n", "false", "0", "nee", "nein", "non", "-", "public") else "true"
    )


def stock(text: str, known: tuple[str, ...], what: str) -> str:
    """A key of stock, whatever its blanks, hyphens and a trailing mm. Raises CellError where it is not in stock."""
    same = [key for key in known if _bare(key) == _bare(text)]
    if len(same) != 1:
        raise CellError(
            f"{text[:60]} is not in your {what}; add it under content/stock, then name it in the kite's file"
        )
    return same[0]


def _bare(name: str) -> str:
    plain = re.sub(r"[\s_,-]+", "", name.casefold())
    return re.sub(r"(rod|mm)+$", "", plain)


def _before_up(text: str, unit: str) -> str:
    """The unit behind the last figure: "6 up" → "6 mph up"."""
    found = re.fullmatch(r"(.*?[0-9½¼¾])\s*((?:and )?up)", text)
    return f"{found[1]} {unit} {found[2]}" if found else f"{text} {unit}"


def _parted(text: str) -> str:
    """Readings parted by commas (or semicolons, where commas are decimal), ranges as their two ends."""
    text = squeezed_blanks(_BETWEEN_READINGS.sub(" ; ", text)).replace(" ;", ";")
    found = re.fullmatch(rf"({_FIGURE}) ?([a-zA-Z]*) ?(?:-|–|—|\.\.|to|bis|tot) ?({_FIGURE}) ?([a-zA-Z]*)", text)
    if found and (not found[2] or found[2] == found[4]):
        return f"{found[1]}; {found[3]} {found[4]}".strip()
    if re.fullmatch(rf"{_FIGURE} ?([a-zA-Z]+)(?: {_FIGURE} ?\1)+", text):
        text = re.sub(r"(?<=[a-zA-Z]) (?=[0-9])", "; ", text)
    if re.search(r"[0-9]/[0-9]", text) and not _fractions(text):
        text = re.sub(r"\s*/\s*", "; ", text)
    elif re.search(r"[0-9] ?/ [0-9]|[0-9] / ?[0-9]", text):
        text = re.sub(r"\s+/\s*|\s*/\s+", "; ", text)
    alone = re.fullmatch(rf"{_FIGURE}(?: {_FIGURE})+( ?[a-zA-Z]+)?", text)
    if alone and not re.search(r"(?:^| )[0-9]{1,2} [0-9]{3}(?:$| )", text):
        text = re.sub(r"(?<=[0-9]) (?=[0-9])", "; ", text)
    if re.fullmatch(rf"{_FIGURE}(?:; {_FIGURE})+( ?[a-zA-Z]+)?;?", text) and "," not in text:
        text = text.replace(";", ",")
    return text.rstrip(";, ")


def _fractions(text: str) -> bool:
    """Whether every stroke of the text stands in a fraction of an inch, an ounce and the like: 7 1/2, not 214/213."""
    pairs = re.findall(r"([0-9.,]+)/([0-9.]+)", text)
    return all(
        top.isdigit() and under.isdigit() and int(under) in (2, 3, 4, 8, 16, 32, 64) and int(top) < int(under)
        for top, under in pairs
    )


def _check(value: float, text: str, field: str, kind: str) -> None:
    """Raises CellError for a quantity that no kite's file may have."""
    shape = _shape(field)
    if isinstance(shape, fields.WindSpan):
        return
    if not shape.low <= value <= shape.high or (value == 0 and not getattr(shape, "zero", False)):
        unit = next(iter(FACTORS[kind]))
        raise CellError(
            f"{text} is {'more' if value > shape.high else 'less'} than any kite has ({show(value, kind, unit)})"
        )


def _shape(field: str) -> Any:
    """What a field's place in a kite's file takes."""
    shape: Any = KITE
    for step in _PLACE.get(field, f"flights.{field}" if field == "wind" else field).split("."):
        if isinstance(shape, fields.ListOf):
            shape = shape.item
        if isinstance(shape, fields.Record) and step in shape.keys:
            shape = shape.keys[step].shape
    return shape


def readings_joined(texts: list[str]) -> str:
    """Readings of several cells on one line, the unit once where they share it.

    >>> readings_joined(["214 g", "213, 212 g"]), readings_joined(["7,5 oz", "7,4 oz"])
    ('214, 213, 212 g', '7,5; 7,4 oz')
    """
    ends = [re.fullmatch(r"(.*[0-9.½¼¾⅓⅔⅛⅜⅝⅞])\s*([^0-9\s]+)", text) for text in texts]
    commas = any(re.search(r"[0-9],[0-9]|;", text) for text in texts)
    between = "; " if commas else ", "
    if commas:
        texts = [re.sub(r",\s", "; ", text) for text in texts]
    units = {end[2] for end in ends if end}
    if len(units) == 1 and all(ends):
        unit = units.pop()
        figures = [re.sub(rf"\s*{re.escape(unit)}(?=\s*[;,])", "", end[1]) for end in ends if end]
        return f"{between.join(figures)} {unit}"
    return between.join(texts)
