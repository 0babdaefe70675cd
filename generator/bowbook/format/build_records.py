"""Checked plain values to records."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Set
from typing import Any

from bowbook.book.problems import Location, Places
from bowbook.book.records import (
    Band,
    Bow,
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
    Tap,
    Target,
    Tips,
    Units,
    Wind,
    Zone,
)
from bowbook.book.unit_tables import BEAUFORT_M_S
from bowbook.format.build_sail import sail

Values = Mapping[str, Any]

_NAMES = ("light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze")
BEAUFORT_BANDS = tuple(
    Band(name.replace(" ", "-"), name, BEAUFORT_M_S[force], BEAUFORT_M_S[force + 1])
    for force, name in enumerate(_NAMES, 1)
)


_AS_WRITTEN = (
    *("title", "maker", "about", "demonstration", "tolerance", "address"),
    *("theme", "accent", "language", "direction", "flyer", "paper", "mark", "places"),
)


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
    return Rod(
        key,
        values.get("material"),
        section(values),
        values.get("modulus"),
        values.get("density"),
        values.get("strain_limit"),
        values.get("note"),
    )


def skin(key: str, values: Values) -> Skin:
    """A skin of the stock."""
    return Skin(
        key,
        values.get("material"),
        values.get("areal"),
        values.get("thick"),
        values.get("modulus"),
        values.get("bending_length"),
        values.get("overhang"),
        tuple(values.get("colours", ())),
        values.get("note"),
    )


def strip(key: str, values: Values) -> Strip:
    """A bow in stock that belongs to no kite yet."""
    rounds = tuple(_round(r, _NO_GUESSES, "") for r in values.get("bench", ()) if isinstance(r, dict))
    return Strip(key, values.get("rod"), values.get("length"), values.get("mass"), rounds, values.get("note"))


def settings(values: Values) -> Settings:
    """The settings of the book; what is not given keeps its default."""
    plain = {key: values[key] for key in _AS_WRITTEN if key in values}
    names = {"scale": "scale_N", "ruler": "ruler_m", "height": "height_m", "altitude": "altitude_m", "seam": "seam_m"}
    plain |= {field: values[key] for key, field in names.items() if key in values}
    bands = [
        Band(slug(band["name"]), band["name"], band["wind"].low, band["wind"].high)
        for band in values.get("bands", ())
        if isinstance(band, dict) and "name" in band and "wind" in band
    ]
    compare = tuple(tuple(row) for row in values.get("compare", ()) if isinstance(row, list))
    return Settings(
        **plain,
        units=Units(**values.get("units", {})),
        bands=tuple(bands) or BEAUFORT_BANDS,
        compare=compare,
        sure=Sureness(**{"pivot_m" if key == "pivot" else key: of for key, of in values.get("sure", {}).items()}),
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
    """A kite, as far as its file says, and where its values stand. Private flights are left out here for good.

    `about` are the paths of the quantities that are written as a guess.
    """
    spine, bridle = values.get("spine", {}), values.get("bridle", {})
    after = tuple(
        Origin(one.get("kite"), one.get("maker"), one.get("address"))
        for one in values.get("after", ())
        if isinstance(one, dict) and one
    )
    flights, places = _public(values.get("flights", ()), places)
    readings = ("bench.", "covered.", "target.", "flights.")
    record = Kite(
        key=key,
        name=values.get("name", key),
        made=values.get("made"),
        stage=values.get("stage"),
        summary=values.get("summary"),
        sail=sail(values.get("sail", {})),
        mass_kg=values.get("mass"),
        spine=Spine(spine.get("rod"), spine.get("length"), spine.get("mass")),
        bow=_bow(values.get("bow", {})),
        bows={name: _bow(bow) for name, bow in values.get("bows", {}).items() if isinstance(bow, dict)},
        bench=tuple(
            _round(r, about, f"bench.{i}") for i, r in enumerate(values.get("bench", ())) if isinstance(r, dict)
        ),
        covered=_covered(values.get("covered"), about),
        changes=tuple(_change(c) for c in values.get("changes", ()) if isinstance(c, dict) and "on" in c),
        target=_target(values.get("target"), about),
        bridle=Bridle(bridle.get("upper"), bridle.get("lower"), bridle.get("upper_at"), bridle.get("lower_at")),
        flights=flights,
        photos=tuple(
            Photo(p["file"], p["alt"], p.get("caption"), p.get("on"))
            for p in values.get("photos", ())
            if isinstance(p, dict) and "file" in p and "alt" in p
        ),
        origin=after[0] if after else None,
        ancestors=after[1:],
        file=file,
        to=values.get("to"),
        tags=tuple(tag for tag in values.get("tags", ()) if isinstance(tag, str)),
        batch=values.get("batch"),
        example=bool(values.get("example")),
        about=tuple(sorted(path for path in about if not path.startswith(readings))),
    )
    return record, places


def _change(values: Values) -> Change:
    return Change(
        values["on"],
        values.get("skin"),
        _bow(values["bow"]) if values.get("bow") else None,
        values.get("span"),
        values.get("mass"),
        values.get("note"),
    )


def _target(values: Values | None, about: Set[str]) -> Target | None:
    if not values:
        return None
    left, right, whole = (_press(values.get(side), about, f"target.{side}") for side in ("left", "right", "whole"))
    return Target(left, right, whole, values.get("like"))


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
    return Bow(
        values.get("rod"),
        values.get("length"),
        values.get("span"),
        values.get("mass"),
        values.get("crosses"),
        _stations(sections.get("left", ())),
        _stations(sections.get("right", ())),
        values.get("mark"),
    )


def _stations(found: Any) -> tuple[Station, ...]:
    stations = []
    for values in found:
        shape = section(values) if isinstance(values, dict) else None
        if shape is not None and "at" in values:
            stations.append(Station(values["at"], shape))
    return tuple(stations)


def _round(values: Values, about: Set[str], path: str) -> Round:
    return Round(
        values.get("on"),
        _reading(values.get("left"), about, f"{path}.left"),
        _reading(values.get("right"), about, f"{path}.right"),
        _press(values.get("whole"), about, f"{path}.whole"),
        tuple(found for one in values.get("shave", ()) if isinstance(one, dict) and (found := _shave(one))),
        values.get("note"),
        _tips(values.get("tips"), about, f"{path}.tips"),
        values.get("skin") == "on",
        values.get("bow"),
    )


def _reading(values: Values | None, about: Set[str], path: str) -> Reading | None:
    """A reading, if it holds any value."""
    if not values:
        return None
    sag, droop = values.get("sag"), values.get("droop")
    if sag and {"load", "span", "drop"} <= sag.keys():
        return Sag(sag["load"], sag["span"], sag["drop"], sag.get("at"), f"{path}.sag.drop" in about)
    if droop and {"load", "length", "drop"} <= droop.keys():
        return Droop(droop["load"], droop["length"], droop["drop"], f"{path}.droop.drop" in about)
    if "press" in values:
        guessed = path in about or f"{path}.press" in about
        return Press(values["press"], values.get("length"), values.get("hold"), values.get("rise"), guessed)
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


def _shave(values: Values | None) -> Shave | None:
    if not values or "side" not in values:
        return None
    zone = Zone(*values["zone"]) if "zone" in values else None
    return Shave(
        values["side"], zone, values.get("strokes"), values.get("taken"), values.get("note"), values.get("tool")
    )


def _covered(values: Values | None, about: Set[str]) -> Covered | None:
    if not values:
        return None
    left, right = (_press(values.get(side), about, f"covered.{side}") for side in ("left", "right"))
    return None if left is None and right is None else Covered(left, right, values.get("on"))


def _wind(values: Any) -> Wind | None:
    return None if values is None else Wind(values.low, values.high, values.at_10m)


def flight(values: Values) -> Flight:
    """A flight, private or not."""
    return Flight(
        on=values.get("on"),
        flyer=values.get("flyer"),
        wind=_wind(values.get("wind")),
        best=_wind(values.get("best")),
        height_m=values.get("height"),
        control=values.get("control"),
        speed=values.get("speed"),
        note=values.get("note"),
        bow=values.get("bow"),
        line_m=values.get("line"),
        place=values.get("place"),
        gusts=_wind(values.get("gusts")),
        pull=values.get("pull"),
        turn=values.get("turn"),
        track=values.get("track"),
        taps=tuple(sorted((Tap(*tap) for tap in values.get("taps") or ()), key=lambda tap: tap.wind_m_s)),
        session=values.get("session"),
    )
