"""Checked plain values to records."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping, Sequence, Set
from functools import cache
from typing import Any, TypeVar

from msgspec import Struct

from bowbook.book.problems import Location, Places
from bowbook.book.records import (
    Band,
    Bow,
    BowTarget,
    Bridle,
    Change,
    Covered,
    Droop,
    Flight,
    Kite,
    Origin,
    Photo,
    Press,
    Reading,
    Rod,
    Round,
    Sag,
    Section,
    Settings,
    Shave,
    Skin,
    Spine,
    Station,
    Strip,
    Sureness,
    Tips,
    Units,
)
from bowbook.book.sail import Corner, Panels, Sail
from bowbook.book.unit_tables import BEAUFORT_M_S

Values = Mapping[str, Any]

_NAMES = ("light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze")
BEAUFORT_BANDS = tuple(
    Band(name.replace(" ", "-"), name, BEAUFORT_M_S[force], BEAUFORT_M_S[force + 1])
    for force, name in enumerate(_NAMES, 1)
)

_STEPS = 16  # straight pieces of a curved edge: a curve of 60 mm is followed to 0.2 mm
_UNIT = re.compile(r"_(?:m|kg|N|Pa|kg_m2|kg_m3)$")
R = TypeVar("R", bound=Struct)


@cache
def keys_of(kind: type[Struct]) -> Mapping[str, str]:
    """The key in a maker's file of each field of a record: the field's name without its unit.

    >>> keys_of(Spine)
    {'rod': 'rod', 'length_m': 'length', 'mass_kg': 'mass'}
    """
    return {field: _UNIT.sub("", field) for field in kind.__struct_fields__}


def _built(kind: type[R], values: Values, **made: Any) -> R:
    """A record from the values under its fields' keys; `made` are the fields that are more than the value of a key."""
    given = {field: values[key] for field, key in keys_of(kind).items() if key in values and field not in made}
    return kind(**{field: tuple(v) if isinstance(v, list) else v for field, v in given.items()}, **made)


def records_in(found: Any) -> list[Values]:
    """The entries of a list that are keys and values; others have their own sentence already."""
    return [item for item in found if isinstance(item, dict)]


def section(values: Values) -> Section | None:
    """The cross-section that `round`, `tube` or `wide` and `thick` describe, or None where they are not complete."""
    if "round" in values:
        return Section("round", values["round"])
    if "tube" in values:
        return Section("tube", values["tube"][0], inner_m=values["tube"][1])
    if "wide" in values and "thick" in values:
        return Section("flat", values["thick"], wide_m=values["wide"])
    return None


def rod(key: str, values: Values) -> Rod:
    """A rod of the stock."""
    return _built(Rod, values, key=key, section=section(values))


def skin(key: str, values: Values) -> Skin:
    """A skin of the stock."""
    return _built(Skin, values, key=key)


def strip(key: str, values: Values) -> Strip:
    """A bow in stock that belongs to no kite yet."""
    rounds = tuple(_round(one, _NO_GUESSES, "") for one in records_in(values.get("bench", ())))
    return _built(Strip, values, key=key, bench=rounds)


def settings(values: Values) -> Settings:
    """The settings of the book; what is not given keeps its default."""
    bands = [
        Band(slug(band["name"]), band["name"], band["wind"].low_m_s, band["wind"].high_m_s)
        for band in records_in(values.get("bands", ()))
        if "name" in band and "wind" in band
    ]
    return _built(
        Settings,
        values,
        units=Units(**values.get("units", {})),
        bands=tuple(bands) or BEAUFORT_BANDS,
        compare=tuple(tuple(row) for row in values.get("compare", ()) if isinstance(row, list)),
        sure=_built(Sureness, values.get("sure", {})),
    )


def slug(name: str) -> str:
    """A name as it stands in an address: small letters, figures and hyphens; "" where nothing usable is left.

    >>> slug("Light  Breeze!"), slug("Åland"), slug("凧")
    ('light-breeze', 'åland', '凧')
    """
    plain = unicodedata.normalize("NFC", name).lower()
    return re.sub(r"[^\w]+|_+", "-", plain).strip("-")


_NO_GUESSES: Set[str] = frozenset()


def kite(key: str, values: Values, places: Places, file: str, about: Set[str] = _NO_GUESSES) -> tuple[Kite, Places]:
    """A kite, as far as its file says, and where its values stand. Private flights are left out.

    `about` are the paths of the quantities that are written as a guess.
    """
    after = tuple(_built(Origin, one) for one in records_in(values.get("after", ())) if one)
    flights, places = _public(values.get("flights", ()), places)
    readings = ("bench.", "covered.", "target.", "flights.")
    record = _built(
        Kite,
        values,
        key=key,
        name=values.get("name", key),
        sail=_sail(values.get("sail", {})),
        spine=_built(Spine, values.get("spine", {})),
        bow=_bow(values.get("bow", {})),
        bows={name: _bow(bow) for name, bow in values.get("bows", {}).items() if isinstance(bow, dict)},
        bench=tuple(
            _round(one, about, f"bench.{i}") for i, one in enumerate(values.get("bench", ())) if isinstance(one, dict)
        ),
        covered=_covered(values.get("covered"), about),
        changes=tuple(_change(one) for one in records_in(values.get("changes", ())) if "on" in one),
        target=_target(values.get("target"), about),
        bridle=_built(Bridle, values.get("bridle", {})),
        flights=flights,
        photos=tuple(
            _built(Photo, one) for one in records_in(values.get("photos", ())) if "file" in one and "alt" in one
        ),
        origin=after[0] if after else None,
        ancestors=after[1:],
        file=file,
        tags=tuple(tag for tag in values.get("tags", ()) if isinstance(tag, str)),
        about=tuple(sorted(path for path in about if not path.startswith(readings))),
    )
    return record, places


def _sail(values: Values) -> Sail:
    """The sail as its keys say; its drawing is read later, from the kite's folder."""
    corners = tuple(
        Corner(point["at"][0], point["at"][1], point.get("curve", 0.0))
        for point in records_in(values.get("outline", ()))
        if "at" in point
    )
    panels = values.get("panels", {})
    whole = _built(Panels, panels) if {"lay", "colours"} <= panels.keys() else None
    return _built(Sail, values, outline=edge_points(corners), corners=corners, panels=whole)


def edge_points(corners: Sequence[Corner]) -> tuple[tuple[float, float], ...]:
    """The corners, with points along every curved edge: a parabola that stands off by `curve_m` at its middle.

    >>> edge_points([Corner(0.0, 0.0), Corner(0.3, 0.2)])
    ((0.0, 0.0), (0.3, 0.2))
    >>> points = edge_points([Corner(0.0, 0.0, 0.01), Corner(0.0, 0.2)])
    >>> len(points), points[8]
    (17, (0.01, 0.1))
    """
    points: list[tuple[float, float]] = []
    for i, a in enumerate(corners):
        points.append((a.out_m, a.down_m))
        if not a.curve_m or i + 1 == len(corners):
            continue
        out, down = corners[i + 1].out_m - a.out_m, corners[i + 1].down_m - a.down_m
        rise = a.curve_m / (math.hypot(out, down) or 1.0)
        for step in range(1, _STEPS):
            t = step / _STEPS
            bulge = 4 * t * (1 - t) * rise  # away from the sail, at right angles to the straight edge
            points.append((a.out_m + t * out + bulge * down, a.down_m + t * down - bulge * out))
    return tuple(points)


def _change(values: Values) -> Change:
    look = {key: values[key] for key in ("colours", "panels", "decoration") if key in values}
    bow, sail = _bow(values["bow"]) if values.get("bow") else None, _sail(look) if look else None
    return _built(Change, values, bow=bow, sail=sail)


def _target(values: Values | None, about: Set[str]) -> BowTarget | None:
    return (
        _built(BowTarget, values, **_presses(values, "target", ("left", "right", "whole"), about)) if values else None
    )


def _presses(values: Values, path: str, sides: Sequence[str], about: Set[str]) -> dict[str, Press | None]:
    """The press readings under some keys."""
    return {side: _press(values.get(side), about, f"{path}.{side}") for side in sides}


def _public(found: Any, places: Places) -> tuple[tuple[Flight, ...], Places]:
    """The flights that may be shown, and the places with those flights' own numbers."""
    numbers: dict[str, str] = {}
    flights: list[Flight] = []
    for i, values in enumerate(found):
        if isinstance(values, dict) and not values.get("private"):
            numbers[str(i)] = str(len(flights))
            flights.append(flight(values))
    if len(numbers) == len(found):
        return tuple(flights), places
    moved: dict[str, Location] = {}
    for path, place in places.items():
        head, _, rest = path.partition(".")
        if head != "flights" or not rest:
            moved[path] = place
            continue
        number, dot, tail = rest.partition(".")
        if number in numbers:
            moved[f"flights.{numbers[number]}{dot}{tail}"] = place
    return tuple(flights), moved


def _bow(values: Values) -> Bow:
    sections = values.get("sections", {})
    return _built(Bow, values, **{side: _stations(sections.get(side, ())) for side in ("left", "right")})


def _stations(found: Any) -> tuple[Station, ...]:
    measured = [(one.get("at"), section(one)) for one in records_in(found)]
    return tuple(Station(at, shape) for at, shape in measured if at is not None and shape is not None)


def _round(values: Values, about: Set[str], path: str) -> Round:
    return _built(
        Round,
        values,
        left=_reading(values.get("left"), about, f"{path}.left"),
        right=_reading(values.get("right"), about, f"{path}.right"),
        whole=_press(values.get("whole"), about, f"{path}.whole"),
        shaves=tuple(_built(Shave, one) for one in records_in(values.get("shave", ())) if "side" in one),
        tips=_tips(values.get("tips"), about, f"{path}.tips"),
        skin_on=values.get("skin") == "on",
    )


def _reading(values: Values | None, about: Set[str], path: str) -> Reading | None:
    """A reading, if it holds any value."""
    if not values:
        return None
    sag, droop = values.get("sag"), values.get("droop")
    if sag and {"load", "span", "drop"} <= sag.keys():
        return _built(Sag, sag, drops_m=sag["drop"], about=f"{path}.sag.drop" in about)
    if droop and {"load", "length", "drop"} <= droop.keys():
        return _built(Droop, droop, drops_m=droop["drop"], about=f"{path}.droop.drop" in about)
    if "press" in values:
        return _built(Press, values, values_N=values["press"], about=not about.isdisjoint((path, f"{path}.press")))
    return None


def _press(values: Values | None, about: Set[str], path: str) -> Press | None:
    """A press reading, and nothing else."""
    found = _reading(values, about, path)
    return found if isinstance(found, Press) else None


def _tips(values: Values | None, about: Set[str], path: str) -> Tips | None:
    if not values or not {"both", "back"} <= values.keys():
        return None
    back = values["back"]
    return Tips(values["both"], sum(back) / len(back), f"{path}.both" in about)


def _covered(values: Values | None, about: Set[str]) -> Covered | None:
    presses = _presses(values or {}, "covered", ("left", "right"), about)
    return _built(Covered, values, **presses) if values and any(presses.values()) else None


def flight(values: Values) -> Flight:
    """A flight, private or not."""
    return _built(Flight, values, taps=tuple(sorted(values.get("taps", ()), key=lambda tap: tap.wind_m_s)))
