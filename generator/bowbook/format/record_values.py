"""Records back to plain values under the keys of the schema, in SI: the other way round from `build_records`."""

from __future__ import annotations

from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Bow, Change, Droop, Kite, Press, Rod, Round, Sag, Section, Skin, Station, Tips
from bowbook.book.sail import Corner, Sail
from bowbook.format.build_records import keys_of

Values = dict[str, Any]


def values_of(record: Struct) -> Values:
    """All of a record that goes into a file; records in it stay records. Photos and drawings lie beside the file."""
    values = {key: getattr(record, field) for field, key in keys_of(type(record)).items()}
    match record:
        case Press():
            return values | {"press": record.values_N}
        case Sag():
            return {"sag": values | {"drop": record.drops_m}}
        case Droop():
            return {"droop": values | {"drop": record.drops_m}}
        case Tips():
            return {"both": record.values_N, "back": (record.back_m,)}
        case Round():
            return values | {"skin": "on" if record.skin_on else None, "shave": record.shaves}
        case Corner():
            return {"at": (record.out_m, record.down_m), "curve": record.curve_m or None}
        case Change(sail=sail):
            look = {} if sail is None else {"colours": sail.colours, "panels": sail.panels}
            return {key: value for key, value in values.items() if key != "sail"} | look
        case Sail():
            return values | {"outline": record.corners, "decoration": None}
        case Station():
            return {"at": record.at_m, **_dimensions(record.section)}
        case Bow():
            return values | {"sections": {"left": record.left, "right": record.right}}
        case Rod():  # without the maker's note, as a skin
            return values | (_dimensions(record.section) if record.section else {}) | {"note": None}
        case Skin():
            return values | {"colours": None, "note": None}
        case Kite():
            after = (record.origin, *record.ancestors) if record.origin else None
            changes = tuple(change for change in record.changes if _is_told(change))
            return values | {"example": record.example or None, "after": after, "photos": None, "changes": changes}
    return values


def _is_told(change: Change) -> bool:
    """Whether more of a change goes into a file than its day: a drawing stays beside the file it was laid by."""
    look = change.sail
    return look is None or bool(look.colours or look.panels) or replace(change, sail=None) != Change(change.on)


def rod_keys(kite: Kite) -> list[str]:
    """The keys of the rods that a kite is, or ever was, made from."""
    bows = (kite.bow, *kite.bows.values(), *(change.bow for change in kite.changes if change.bow))
    return [key for key in dict.fromkeys((kite.bow.rod, kite.spine.rod, *(bow.rod for bow in bows))) if key]


def skin_keys(kite: Kite) -> list[str]:
    """The keys of the skins that a kite wears, or ever wore."""
    skins = (kite.sail.skin, *(change.skin for change in kite.changes))
    return [key for key in dict.fromkeys(skins) if key]


def _dimensions(section: Section) -> Values:
    if section.kind == "round":
        return {"round": section.thick_m}
    if section.kind == "tube":
        return {"tube": (section.thick_m, section.inner_m)}
    return {"wide": section.wide_m, "thick": section.thick_m}
