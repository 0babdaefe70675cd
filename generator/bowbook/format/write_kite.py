"""Records written as makers write them: a kite's file, a line of one, the stock it is made from.

What a record holds is put under the keys of the schema, and the schema's shapes say how each value is written. A new
key takes one line in the functions of `record_values`; what they leave out is never written anywhere.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from msgspec import Struct

from bowbook.book.records import Book, Flight, Kite, Tap, Units, Wind, Zone
from bowbook.book.unit_tables import BEAUFORT_M_S, FACTORS
from bowbook.book.units import to_unit, unit_of
from bowbook.format import fields
from bowbook.format.book_schema import RODS, SKINS
from bowbook.format.record_values import rod_keys, skin_keys, values_of
from bowbook.format.schema import KITE
from bowbook.format.yaml_text import in_flow, laid_out, quoted

SCHEMA_LINE = "# $schema: ../../.bowbook/schema/kite.json"
_TYPED_BACK = ("name", "sail", "mass", "spine", "bow", "bridle")  # what builds the same kite
_TYPED = str.maketrans("²³", "23")  # as a keyboard has it
_LARGEST_KITE_M = 20.0  # what may be longer is a height or a distance
_MANY = 7  # figures, where a number was surely written in another unit


def kite_text(kite: Kite, units: Units, more: Sequence[str] = (SCHEMA_LINE,)) -> str:
    """The whole file: front matter with what is known of the kite, `more` lines as they are, then its story."""
    return file_text(entry(kite, KITE, units), kite.story, more)


def file_text(values: Mapping[str, Any], story: str, more: Sequence[str] = (SCHEMA_LINE,)) -> str:
    """The whole file of a kite from its values as a maker writes them, and its story."""
    return "\n".join(["---", *more, *laid_out(values), "---", *([story] if story else [])]) + "\n"


def kite_lines(kite: Kite, units: Units) -> tuple[str, ...]:
    """The lines of a kite file that builds the same kite, short enough to print small and type back."""
    known = entry(kite, KITE, units)
    return tuple(f"{key}: {in_flow(known[key])}" for key in _TYPED_BACK if key in known)


def stock_lines(book: Book, kite: Kite) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Lines for rods.yaml and for skins.yaml: the stock that this kite is made from, as far as the book has it."""
    units = book.settings.units
    rods = {key: book.rods[key] for key in rod_keys(kite) if key in book.rods}
    skins = {key: book.skins[key] for key in skin_keys(kite) if key in book.skins}
    return tuple(
        tuple(f"{quoted(key, False)}: {in_flow(entry(known, table.item, units))}" for key, known in stock.items())
        for stock, table in ((rods, RODS), (skins, SKINS))
    )  # type: ignore[return-value] # two of them, as the loop goes over two


def flight_entry(flight: Flight, units: Units) -> dict[str, Any]:
    """A flight as a maker writes it, key by key; what is not known is left out."""
    written: dict[str, list[dict[str, Any]]] = entry({"flights": [flight]}, KITE, units)
    return written["flights"][0]


def entry(record: Struct | Mapping[str, Any], shape: fields.Record, units: Units) -> dict[str, Any]:
    """A record, or its values by key, as texts in the order of the schema; what is not known is left out."""
    known = values_of(record) if isinstance(record, Struct) else record
    written = {key: _written(known[key], at.shape, units) for key, at in shape.keys.items() if key in known}
    return {key: value for key, value in written.items() if value not in (None, "", {}, [])}


def _written(value: Any, shape: fields.Shape, units: Units) -> Any:
    """A value in SI as the text, list or record that reads back as the same; None where nothing is known."""
    if value is None:
        return None
    match shape:
        case fields.Record():
            known = entry(value, shape, units)
            return known[shape.stands_for] if shape.short and list(known) == [shape.stands_for] else known
        case fields.Table():
            return {name: _written(item, shape.item, units) for name, item in value.items()}
        case fields.ListOf():
            items = [_written(item, shape.item, units) for item in value]
            alone = shape.single and len(items) == 1 and isinstance(shape.item, fields.Record)
            return items[0] if alone else items
        case fields.Quantity(kind=kind, high=high):
            return in_all_figures(value, kind, "m" if kind == "length" and high > _LARGEST_KITE_M else units)
        case fields.Quantities(kind=kind, exactly=exactly):
            return [in_all_figures(one, kind, units) for one in value] if exactly else several(value, kind, units)
        case fields.WindSpan():
            return wind_text(value, units)
        case fields.Taps():
            return taps_text(value, units)
        case fields.Stretch():
            return _zone_text(value, units)
        case fields.Flag():
            return "true" if value else None
    return f"{value:g}" if isinstance(value, float) else str(value)


def in_all_figures(value_si: float, kind: str, units: Units | str) -> str:
    """A quantity with its unit, in all its figures: in the maker's unit, or in another in which it was surely written.

    >>> [in_all_figures(m, "length", unit) for m, unit in ((0.64, "mm"), (0.4953, "in"), (0.215, "in"))]
    ['640 mm', '19.5 in', '215 mm']
    """
    return several((value_si,), kind, units)


def several(values_si: Sequence[float], kind: str, units: Units | str) -> str:
    """Repeats of one quantity with the unit written once: "214, 213, 215 g". Else as `in_all_figures`."""
    numbers, unit = _in_unit(values_si, kind, units)
    return f"{', '.join(numbers)} {unit}"


def wind_text(wind: Wind, units: Units | str) -> str:
    """A wind as a maker writes it: "4-7 mph", "Bft 3", "to 6 mph" where its low edge is not known.

    >>> wind_text(Wind(3.4, 5.5, at_10m=True), "mph"), wind_text(Wind(None, 6.0), "m/s")
    ('Bft 3', 'to 6 m/s')
    """
    if wind.at_10m:
        edges = [_force(wind.low_m_s, 0), _force(wind.high_m_s, 1)]
        said = f"Bft {_joined(edges)}"
    else:
        known = [edge for edge in (wind.low_m_s, wind.high_m_s) if edge is not None]
        edges, unit = _in_unit(known, "wind", units)
        said = f"{_joined(edges)} {unit}"
    if wind.low_m_s is None:
        return f"to {said}"
    return said if wind.high_m_s is not None else f"{said} up"


def taps_text(taps: Sequence[Tap], units: Units) -> str:
    """Taps as a maker writes them, each with its unit.

    >>> taps_text((Tap(2.68224, "liked"), Tap(4.02336, "much")), Units(wind="mph"))
    '6 mph liked, 9 mph much'
    """
    numbers, unit = _in_unit([tap.wind_m_s for tap in taps], "wind", units)
    return ", ".join(f"{number} {unit} {tap.said}" for number, tap in zip(numbers, taps, strict=True))


def _force(wind_m_s: float | None, above: int) -> str:
    """The Beaufort force of which a wind is the lower limit, or the upper (`above` is 1); "" for None."""
    return "" if wind_m_s is None else str(min(range(12), key=lambda f: abs(BEAUFORT_M_S[f + above] - wind_m_s)))


def _joined(edges: Sequence[str]) -> str:
    return "-".join(dict.fromkeys(edge for edge in edges if edge))


def _zone_text(zone: Zone, units: Units) -> str:
    if zone.unit == "half":
        return zone.label
    edges, unit = _in_unit((zone.start, zone.end), "length", units)
    return f"{_joined(edges)} {unit}"


def _in_unit(values_si: Sequence[float], kind: str, units: Units | str) -> tuple[list[str], str]:
    """The numbers and their unit: the maker's, or the first in which they come out in few figures where it is long."""
    home = units if isinstance(units, str) else unit_of(kind, units)
    for unit in (home, *FACTORS[kind]):
        numbers = [_number(to_unit(value, unit, kind)) for value in values_si]
        if all(len(number.replace(".", "").lstrip("0")) < _MANY and "e" not in number for number in numbers):
            return numbers, unit.translate(_TYPED)
    return [_number(to_unit(value, home, kind)) for value in values_si], home.translate(_TYPED)


def _number(value: float) -> str:
    """A number in up to twelve figures, which no tool in a kite maker's hand can tell from the whole of it."""
    text = f"{value:.12g}"
    return f"{value:.20f}".rstrip("0") if "e-" in text else text
