"""Records back to plain values under the keys of the schema, in SI: the other way round from `build_records`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bowbook.book.records import (
    Bow,
    Change,
    Covered,
    Droop,
    Flight,
    Kite,
    Origin,
    Press,
    Reading,
    Rod,
    Round,
    Sag,
    Section,
    Shave,
    Skin,
    Station,
    Target,
)
from bowbook.book.sail import Corner, Panels

Values = dict[str, Any]


def of_kite(kite: Kite) -> Values:
    """All of a kite that goes into a file: not its photos, which lie beside it."""
    bow, bridle, spine, origin = kite.bow, kite.bridle, kite.spine, kite.origin
    return {
        "name": kite.name,
        "made": kite.made,
        "stage": kite.stage,
        "summary": kite.summary,
        "sail": {
            "skin": kite.sail.skin,
            "outline": [_point(corner) for corner in kite.sail.corners],
            "colours": kite.sail.colours,
            "panels": _panels(kite.sail.panels),
        },
        "mass": kite.mass_kg,
        "spine": {"rod": spine.rod, "length": spine.length_m, "mass": spine.mass_kg},
        "bow": _bow(bow),
        "bows": {name: _bow(other) for name, other in kite.bows.items()},
        "changes": [_change(change) for change in kite.changes],
        "target": of_target(kite.target) if kite.target else None,
        "to": kite.to,
        "tags": kite.tags,
        "batch": kite.batch,
        "example": kite.example or None,
        "bench": [of_round(one) for one in kite.bench],
        "covered": of_covered(kite.covered) if kite.covered else None,
        "bridle": {
            "upper": bridle.upper_m,
            "lower": bridle.lower_m,
            "upper_at": bridle.upper_at_m,
            "lower_at": bridle.lower_at_m,
        },
        "flights": [of_flight(flight) for flight in kite.flights],
        "after": [_origin(one) for one in (origin, *kite.ancestors)] if origin else None,
    }


def _origin(origin: Origin) -> Values:
    return {"kite": origin.kite, "maker": origin.maker, "address": origin.address}


def _bow(bow: Bow) -> Values:
    return {
        "rod": bow.rod,
        "length": bow.length_m,
        "span": bow.span_m,
        "mass": bow.mass_kg,
        "crosses": bow.crosses_m,
        "mark": bow.mark,
        "sections": {"left": _stations(bow.left), "right": _stations(bow.right)},
    }


def _change(change: Change) -> Values:
    return {
        "on": change.on,
        "skin": change.skin,
        "bow": _bow(change.bow) if change.bow else None,
        "span": change.span_m,
        "mass": change.mass_kg,
        "note": change.note,
    }


def of_target(target: Target) -> Values:
    """What a bow is to read."""
    return {
        "left": _reading(target.left),
        "right": _reading(target.right),
        "whole": _reading(target.whole),
        "like": target.like,
    }


def of_round(one: Round) -> Values:
    """A round at the bench."""
    return {
        "on": one.on,
        "left": _reading(one.left),
        "right": _reading(one.right),
        "whole": _reading(one.whole),
        "tips": {"both": one.tips.values_N, "back": (one.tips.back_m,)} if one.tips else None,
        "skin": "on" if one.skin_on else None,
        "bow": one.bow,
        "shave": [_shave(shave) for shave in one.shaves],
        "note": one.note,
    }


def _shave(shave: Shave) -> Values:
    return {
        "side": shave.side,
        "zone": shave.zone,
        "strokes": shave.strokes,
        "taken": shave.taken_m,
        "tool": shave.tool,
        "note": shave.note,
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
        "pull": flight.pull,
        "turn": flight.turn,
        "track": flight.track,
        "bow": flight.bow,
        "line": flight.line_m,
        "place": flight.place,
        "gusts": flight.gusts,
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
    bows = (kite.bow, *kite.bows.values(), *(change.bow for change in kite.changes if change.bow))
    return [key for key in dict.fromkeys((kite.bow.rod, kite.spine.rod, *(bow.rod for bow in bows))) if key]


def skins_of(kite: Kite) -> list[str]:
    """The keys of the skins a kite is made from."""
    skins = (kite.sail.skin, *(change.skin for change in kite.changes))
    return [key for key in dict.fromkeys(skins) if key]


def _reading(reading: Reading | None) -> Values | None:
    match reading:
        case Press(values, length, hold, rise):
            return {"press": values, "length": length, "hold": hold, "rise": rise}
        case Sag(load, span, drops, at):
            return {"sag": {"load": load, "span": span, "drop": drops, "at": at}}
        case Droop(load, length, drops):
            return {"droop": {"load": load, "length": length, "drop": drops}}
    return None


def _point(corner: Corner) -> Values:
    return {"at": (corner.out_m, corner.down_m), "curve": corner.curve_m or None}


def _panels(panels: Panels | None) -> Values | None:
    return {"lay": panels.lay, "colours": panels.colours, "count": panels.count} if panels else None


def _stations(stations: Sequence[Station]) -> list[Values]:
    return [{"at": station.at_m, **_section(station.section)} for station in stations]


def _section(section: Section) -> Values:
    if section.kind == "round":
        return {"round": section.thick_m}
    if section.kind == "tube":
        return {"tube": (section.thick_m, section.inner_m)}
    return {"wide": section.wide_m, "thick": section.thick_m}
