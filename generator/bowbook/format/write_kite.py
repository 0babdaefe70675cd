"""A kite's record written out as a new kite file, in the maker's units."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence

from bowbook.book.records import (
    Bow,
    Bridle,
    Covered,
    Flight,
    Kite,
    Press,
    Round,
    Section,
    Shave,
    Station,
    Tap,
    Units,
    Wind,
)
from bowbook.book.unit_tables import BEAUFORT_M_S
from bowbook.book.units import to_unit, unit_of

SCHEMA_LINE = "# $schema: ../../output/data/schema/kite.json"
_SAFE = re.compile(r"[^\W\d_]{4,}(?: [^\W\d_][\w]*)*")  # at least four letters first: no yes, no, on, off, null
_SAFE_KEY = re.compile(r"[^\W\d_][\w.-]*")
# A day, a quantity, quantities, a wind: what reads the same with and without quotes.
_PLAIN = re.compile(r"\d{4}-\d\d-\d\d|[\d.]+(?:[-,] ?[\d.]+)* [a-zA-Z/µ]+|Bft \d+(?:-\d+)?")
_TRUE = frozenset({"true", "false", "null"})


def quoted(text: str) -> str:
    """The text as one YAML value, quoted wherever YAML might read something else into it.

    >>> quoted("Turnstone"), quoted("no"), quoted("a: b")
    ('Turnstone', '"no"', '"a: b"')
    """
    if _SAFE.fullmatch(text) and text.split()[0].lower() not in _TRUE:
        return text
    escaped = json.dumps(text, ensure_ascii=False)
    return "".join(c if c.isprintable() or c == "\ufeff" else json.dumps(c)[1:-1] for c in escaped)


def exact(value_si: float, kind: str, units: Units | str) -> str:
    """A quantity with its unit, in all its figures; a length that comes out even only in mm or inches stays in these.

    >>> exact(0.64, "length", "mm"), exact(0.4953, "length", "in"), exact(0.215, "length", "in")
    ('640 mm', '19.5 in', '215 mm')
    """
    unit = units if isinstance(units, str) else unit_of(kind, units)
    others = ("mm", "in") if kind in ("length", "thin") else ()
    ways = [f"{to_unit(value_si, u, kind):.12g} {u}" for u in (unit, *others)]
    shortest = min(ways, key=len)
    return ways[0] if len(ways[0]) <= len(shortest) + 3 else shortest


def several(values_si: Sequence[float], kind: str, units: Units | str) -> str:
    """Repeats of one quantity with the unit written once: "214, 213, 215 g"; finer than any scale shows."""
    unit = units if isinstance(units, str) else unit_of(kind, units)
    return ", ".join(f"{to_unit(v, unit, kind):.5g}" for v in values_si) + f" {unit}"


def wind_text(wind: Wind, units: Units | str) -> str:
    """A wind as a maker writes it: "4-7 mph", "Bft 3".

    >>> wind_text(Wind(3.4, 5.5, at_10m=True), "mph")
    'Bft 3'
    """
    if wind.at_10m:
        unit = ""
        first, last = _force(wind.low_m_s, 0), _force(wind.high_m_s, 1)
    else:
        unit = units if isinstance(units, str) else unit_of("wind", units)
        first, last = _wind_number(wind.low_m_s, unit), _wind_number(wind.high_m_s, unit)
    known = first if first == last else "-".join(edge for edge in (first, last) if edge)
    said = f"{known} {unit}" if unit else f"Bft {known}"
    if not first:
        return f"to {said}"
    return said if last else f"{said} up"


def _force(wind_m_s: float | None, above: int) -> str:
    """The Beaufort force of which a wind is the lower limit, or the upper (`above` is 1); "" for None."""
    return "" if wind_m_s is None else str(min(range(12), key=lambda f: abs(BEAUFORT_M_S[f + above] - wind_m_s)))


def _wind_number(wind_m_s: float | None, unit: str) -> str:
    """A wind as a number of a unit; "" for None."""
    return "" if wind_m_s is None else f"{to_unit(wind_m_s, unit, 'wind'):.7g}"


def taps_text(taps: Sequence[Tap], units: Units) -> str:
    """Taps as a maker writes them, each with its unit.

    >>> taps_text((Tap(2.68224, "liked"), Tap(4.02336, "much")), Units(wind="mph"))
    '6 mph liked, 9 mph much'
    """
    unit = unit_of("wind", units)
    return ", ".join(f"{to_unit(tap.wind_m_s, unit, 'wind'):.6g} {unit} {tap.said}" for tap in taps)


def kite_text(kite: Kite, units: Units) -> str:
    """The whole file: front matter with what is known of the kite, then its story."""
    lines = ["---", SCHEMA_LINE, f"name: {quoted(kite.name)}"]
    lines += [f"{key}: {value}" for key, value in (("made", kite.made), ("stage", kite.stage)) if value]
    if kite.summary:
        lines.append(f"summary: {quoted(kite.summary)}")
    if kite.origin:
        origin = (("kite", kite.origin.kite), ("maker", kite.origin.maker), ("address", kite.origin.address))
        lines.append(f"after: {_flow(*((key, quoted(value)) for key, value in origin if value))}")
    lines += _sail(kite, units)
    if kite.mass_kg is not None:
        lines.append(f"mass: {exact(kite.mass_kg, 'mass', units)}")
    lines += _spine(kite, units)
    lines += _bow(kite.bow, units)
    if kite.bench:
        lines += ["bench:", *(line for one in kite.bench for line in _round(one, units))]
    if kite.covered:
        covered = covered_entry(kite.covered, units)
        lines += ["covered:", *(f"  {key}: {_yaml(value)}" for key, value in covered.items())]
    lines += _bridle(kite.bridle, units)
    if kite.flights:
        flights = (flight_entry(one, units) for one in kite.flights)
        lines += ["flights:", *(f"  - {_flow(*((k, _yaml(v)) for k, v in one.items()))}" for one in flights)]
    return "\n".join([*lines, "---", *([kite.story] if kite.story else [])]) + "\n"


def flight_entry(flight: Flight, units: Units, private: bool = False) -> dict[str, object]:
    """A flight as a maker writes it, key by key; what is not known is left out."""
    pairs = {
        "on": flight.on,
        "flyer": flight.flyer,
        "wind": wind_text(flight.wind, units) if flight.wind else None,
        "best": wind_text(flight.best, units) if flight.best else None,
        "height": exact(flight.height_m, "length", "m") if flight.height_m is not None else None,
        "control": flight.control,
        "speed": flight.speed,
        "note": flight.note,
        "taps": taps_text(flight.taps, units) if flight.taps else None,
        "session": flight.session,
        "private": True if private else None,
    }
    return {key: value for key, value in pairs.items() if value is not None}


def round_entry(one: Round, units: Units) -> dict[str, object]:
    """A round of press readings as a maker writes it, its shave left for later."""
    readings = (("left", one.left), ("right", one.right), ("whole", one.whole))
    pressed = {key: several(r.values_N, "force", units) for key, r in readings if isinstance(r, Press)}
    return {**({"on": one.on} if one.on else {}), **pressed, **({"note": one.note} if one.note else {})}


def covered_entry(covered: Covered, units: Units) -> dict[str, object]:
    """Covered readings as a maker writes them."""
    return round_entry(Round(covered.on, covered.left, covered.right), units)


def shave_entry(shave: Shave, units: Units) -> dict[str, object]:
    """A shaving as a maker writes it."""
    pairs = {
        "side": shave.side,
        "zone": shave.zone.label if shave.zone else None,
        "strokes": shave.strokes,
        "taken": exact(shave.taken_m, "thin", units) if shave.taken_m is not None else None,
        "note": shave.note,
    }
    return {key: value for key, value in pairs.items() if value is not None}


def _yaml(value: object) -> str:
    """A value of an entry as YAML: texts quoted where they need it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) or (isinstance(value, str) and _PLAIN.fullmatch(value)):
        return str(value)
    return quoted(str(value))


def _flow(*pairs: tuple[str, str]) -> str:
    """Keys and values on one line in braces; a value that holds a comma is quoted."""
    return "{" + ", ".join(f"{key}: {_inside(value)}" for key, value in pairs) + "}"


def _inside(value: str) -> str:
    return f'"{value}"' if "," in value and value[0] not in '"[{' else value


def _key(key: str) -> str:
    """A key of stock as a value."""
    return key if _SAFE_KEY.fullmatch(key) and key.lower() not in _TRUE and len(key) > 3 else quoted(key)


def _sail(kite: Kite, units: Units) -> Iterator[str]:
    if not kite.sail.skin and not kite.sail.outline:
        return
    yield "sail:"
    if kite.sail.skin:
        yield f"  skin: {_key(kite.sail.skin)}"
    if kite.sail.outline:
        yield "  outline:  # the right half, nose to tail: [out from the centreline, down from the nose]"
        for out, down in kite.sail.outline:
            yield f"    - [{exact(out, 'length', units)}, {exact(down, 'length', units)}]"


def _spine(kite: Kite, units: Units) -> Iterator[str]:
    pairs = [("rod", _key(kite.spine.rod))] if kite.spine.rod else []
    if kite.spine.length_m is not None:
        pairs.append(("length", exact(kite.spine.length_m, "length", units)))
    if kite.spine.mass_kg is not None:
        pairs.append(("mass", exact(kite.spine.mass_kg, "mass", units)))
    if pairs:
        yield f"spine: {_flow(*pairs)}"


def _bow(bow: Bow, units: Units) -> Iterator[str]:
    pairs = [("rod", _key(bow.rod))] if bow.rod else []
    lengths = (("length", bow.length_m), ("span", bow.span_m), ("crosses", bow.crosses_m))
    pairs += [(key, exact(value, "length", units)) for key, value in lengths if value is not None]
    if bow.mass_kg is not None:
        pairs.append(("mass", exact(bow.mass_kg, "mass", units)))
    if pairs or bow.left or bow.right:
        yield "bow:"
    for key, value in pairs:
        yield f"  {key}: {value}"
    if bow.left or bow.right:
        yield "  sections:"
        for side, stations in (("left", bow.left), ("right", bow.right)):
            if stations:
                yield f"    {side}: [{', '.join(_station(s, units) for s in stations)}]"


def _station(station: Station, units: Units) -> str:
    return _flow(("at", exact(station.at_m, "length", units)), *_section(station.section, units))


def _section(section: Section, units: Units) -> list[tuple[str, str]]:
    thick = exact(section.thick_m, "thin", units)
    if section.kind == "round":
        return [("round", thick)]
    if section.kind == "tube":
        return [("tube", f"[{thick}, {exact(section.inner_m or 0.0, 'thin', units)}]")]
    return [("wide", exact(section.wide_m or 0.0, "thin", units)), ("thick", thick)]


def _round(one: Round, units: Units) -> Iterator[str]:
    lines = (f"{key}: {_yaml(value)}" for key, value in round_entry(one, units).items())
    for n, line in enumerate(lines):
        yield f"  - {line}" if n == 0 else f"    {line}"


def _bridle(bridle: Bridle, units: Units) -> Iterator[str]:
    lengths = (
        ("upper", bridle.upper_m),
        ("lower", bridle.lower_m),
        ("upper_at", bridle.upper_at_m),
        ("lower_at", bridle.lower_at_m),
    )
    pairs = [(key, exact(value, "length", units)) for key, value in lengths if value is not None]
    if pairs:
        yield f"bridle: {_flow(*pairs)}"
