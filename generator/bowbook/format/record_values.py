"""Records back to plain values under the keys of the schema, in SI: the other way round from `build_records`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bowbook.book.records import Covered, Droop, Flight, Kite, Press, Reading, Rod, Round, Sag, Section, Skin, Station

Values = dict[str, Any]


def of_kite(kite: Kite) -> Values:
    """All of a kite that goes into a file: not its photos, which lie beside it."""
    bow, bridle, spine, origin = kite.bow, kite.bridle, kite.spine, kite.origin
    return {
        "name": kite.name,
        "made": kite.made,
        "stage": kite.stage,
        "summary": kite.summary,
        "sail": {"skin": kite.sail.skin, "outline": kite.sail.outline, "colours": kite.sail.colours},
        "mass": kite.mass_kg,
        "spine": {"rod": spine.rod, "length": spine.length_m, "mass": spine.mass_kg},
        "bow": {
            "rod": bow.rod,
            "length": bow.length_m,
            "span": bow.span_m,
            "mass": bow.mass_kg,
            "crosses": bow.crosses_m,
            "sections": {"left": _stations(bow.left), "right": _stations(bow.right)},
        },
        "bench": [of_round(one) for one in kite.bench],
        "covered": of_covered(kite.covered) if kite.covered else None,
        "bridle": {
            "upper": bridle.upper_m,
            "lower": bridle.lower_m,
            "upper_at": bridle.upper_at_m,
            "lower_at": bridle.lower_at_m,
        },
        "flights": [of_flight(flight) for flight in kite.flights],
        "after": {"kite": origin.kite, "maker": origin.maker, "address": origin.address} if origin else None,
    }


def of_round(one: Round) -> Values:
    """A round at the bench."""
    shave = one.shave
    return {
        "on": one.on,
        "left": _reading(one.left),
        "right": _reading(one.right),
        "whole": _reading(one.whole),
        "shave": {
            "side": shave.side,
            "zone": shave.zone,
            "strokes": shave.strokes,
            "taken": shave.taken_m,
            "note": shave.note,
        }
        if shave
        else None,
        "note": one.note,
    }


def of_covered(covered: Covered) -> Values:
    """The readings with the skin on."""
    return {"left": _reading(covered.left), "right": _reading(covered.right), "on": covered.on}


def of_flight(flight: Flight) -> Values:
    """A flight."""
    return {
        "on": flight.on,
        "flyer": flight.flyer,
        "wind": flight.wind,
        "best": flight.best,
        "height": flight.height_m,
        "control": flight.control,
        "speed": flight.speed,
        "note": flight.note,
        "taps": flight.taps,
        "session": flight.session,
    }


def of_rod(rod: Rod) -> Values:
    """A rod of the stock, without the maker's note."""
    return {
        "material": rod.material,
        **(_section(rod.section) if rod.section else {}),
        "modulus": rod.modulus_Pa,
        "density": rod.density_kg_m3,
        "strain_limit": rod.strain_limit,
    }


def of_skin(skin: Skin) -> Values:
    """A skin of the stock, without the maker's note."""
    return {
        "material": skin.material,
        "areal": skin.areal_kg_m2,
        "thick": skin.thick_m,
        "modulus": skin.modulus_Pa,
        "bending_length": skin.bending_length_m,
        "overhang": skin.overhang_m,
    }


def rods_of(kite: Kite) -> list[str]:
    """The keys of the rods a kite is made from."""
    return [key for key in dict.fromkeys((kite.bow.rod, kite.spine.rod)) if key]


def skins_of(kite: Kite) -> list[str]:
    """The keys of the skins a kite is made from."""
    return [kite.sail.skin] if kite.sail.skin else []


def _reading(reading: Reading | None) -> Values | None:
    match reading:
        case Press(values, length, hold, rise):
            return {"press": values, "length": length, "hold": None if hold == "pinned" else hold, "rise": rise}
        case Sag(load, span, drops):
            return {"sag": {"load": load, "span": span, "drop": drops}}
        case Droop(load, length, drops):
            return {"droop": {"load": load, "length": length, "drop": drops}}
    return None


def _stations(stations: Sequence[Station]) -> list[Values]:
    return [{"at": station.at_m, **_section(station.section)} for station in stations]


def _section(section: Section) -> Values:
    if section.kind == "round":
        return {"round": section.thick_m}
    if section.kind == "tube":
        return {"tube": (section.thick_m, section.inner_m)}
    return {"wide": section.wide_m, "thick": section.thick_m}
