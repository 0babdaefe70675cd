"""The JSON Schema of a maker's files, made from the same shapes that the reader checks with."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Final, Literal

from bowbook.book.unit_tables import SPELLED
from bowbook.format import book_schema, common_fields, fields, schema

SchemaName = Literal["kite", "book", "rods", "skins", "strips", "session"]

_TREES: Final[Mapping[str, tuple[fields.Record | fields.Table, str, str]]] = {
    "kite": (
        schema.KITE,
        "A kite",
        "The front matter of content/kites/NAME.md; everything but the name may be missing.",
    ),
    "book": (book_schema.BOOK, "A book of kites", "content/book.yaml; everything may be missing."),
    "rods": (book_schema.RODS, "Rods in stock", "content/stock/rods.yaml: each rod under a key of your own."),
    "skins": (book_schema.SKINS, "Skins in stock", "content/stock/skins.yaml: each skin under a key of your own."),
    "strips": (
        book_schema.STRIPS,
        "Loose strips",
        "content/stock/strips.yaml: bows measured before they belong to a kite.",
    ),
}

# Every pattern keeps to what the regular expressions of ECMA-262 know in their Unicode mode, as the standard asks.
_FRACTIONS = "½¼¾⅓⅔⅛⅜⅝⅞"
_NUMBER = (
    rf"[+]?(?:(?:[0-9]+[ \-]+)?[0-9]+/[0-9]+|[0-9]*\s?[{_FRACTIONS}]"
    r"|(?:[0-9]+[.,]?[0-9]*|\.[0-9]+)(?:[eE][+\-]?[0-9]+)?)"
)
_SYNTAX = re.compile(r"[\^$\\.*+?()\[\]{}|/]")


def _escaped(text: str) -> str:
    """A text as a pattern for itself: only what ECMA-262 has a meaning for may be escaped there."""
    return _SYNTAX.sub(lambda found: "\\" + found[0], text)


def _any_case(unit: str) -> str:
    """The pattern of a unit in any case, with blanks and dots between its parts, as the reader takes it."""
    if unit == "MPa":
        return "[Mm][Pp][Aa]"
    out = []
    for char in unit:
        if char.isalpha() and char.isascii():
            out.append(f"[{char.upper()}{char.lower()}]")
        elif char in "23":
            out.append(f"\\^?[{char}{'²³'['23'.index(char)]}]")
        else:
            out.append(char)
    return "".join(out)


def _cased(*words: str) -> str:
    """A pattern for any of these words in any case."""
    return "(?:" + "|".join(r"\s+".join(_any_case(part) for part in word.split()) for word in words) + ")"


def json_schema(name: SchemaName) -> dict[str, Any]:
    """The schema of one kind of file (JSON Schema draft 2020-12), with a description and an example for every key.

    Raises KeyError for a name that is none of "kite", "book", "rods", "skins", "strips", "session".

    >>> json_schema("kite")["required"]
    ['name']
    """
    if name == "session":
        from bowbook.format.session_file import session_schema

        return session_schema()
    tree, title, says = _TREES[name]
    body = _schema(tree)
    body["type"] = "object" if isinstance(tree, fields.Record) else ["object", "null"]
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": title, "description": says} | body


def _schema(shape: fields.Shape) -> dict[str, Any]:
    return _MAKERS[type(shape)](shape)


_GUESSED = ("about", "around", "roughly", "approximately", "approx", "circa", "ca", "etwa", "ungefähr", "ongeveer")
_ABOUT = rf"(?:{_cased(*_GUESSED)}\.?\s*|[~≈]\s*)?"
_BETWEEN = rf"(?:-|–|—|\.\.+|…|{_cased('to', 'tot', 'bis')})"


def _text(shape: fields.Text) -> dict[str, Any]:
    made: dict[str, Any] = {"type": ["string", "number", "boolean", "null"], "maxLength": shape.most}
    return made | ({"pattern": f"^\\s*(?:{shape.pattern})?\\s*$"} if shape.pattern else {})


def _name(_shape: fields.Name) -> dict[str, Any]:
    return {"type": ["string", "number", "null"]}


def _choice(shape: fields.Choice) -> dict[str, Any]:
    yes_or_no = [True, False] if "on" in shape.words else []  # as some readers of YAML take on and off
    return {"enum": [*shape.words, *yes_or_no, None]}


def _flag(_shape: fields.Flag) -> dict[str, Any]:
    return {"enum": [True, False, "yes", "no", "on", "off"]}


def _date(_shape: fields.Date) -> dict[str, Any]:
    year = "(?:1[89]|2[0-9])[0-9]{2}"
    day = f"{year}-(?:0[1-9]|1[0-2])(?:-(?:0[1-9]|[12][0-9]|3[01]))?"
    named = f"(?:[A-Za-z]{{3,9}}\\.? {year}|{year} [A-Za-z]{{3,9}})"
    return {"type": ["string", "integer", "null"], "pattern": f"^(?:{day}|{year}|{named})$", "minimum": 1800} | {
        "maximum": 2999
    }


def _whole(shape: fields.Whole) -> dict[str, Any]:
    return {"type": ["integer", "null"], "minimum": shape.low, "maximum": shape.high}


def _units(kind: str) -> str:
    """A pattern for every spelling of the kind's units, longest first."""
    spellings = {_escaped(unit) for unit in SPELLED[kind]} | {_escaped(u).replace("μ", "[µμ]") for u in SPELLED[kind]}
    letters = sorted(spellings, key=lambda unit: (-len(unit), unit))
    return "(?:" + "|".join(_any_case(unit) for unit in letters) + r")\.?"


def _one(kind: str) -> str:
    units = _units(kind)
    return rf"\s*{_ABOUT}{_NUMBER}\s*(?:(?:{units}|['’′])[,\s]*{_NUMBER}\s*)?(?:{units})?\s*"


def _quantity(shape: fields.Quantity) -> dict[str, Any]:
    made: dict[str, Any] = {"type": ["string", "number", "null"], "pattern": f"^{_signed(shape)}{_one(shape.kind)}$"}
    return made | _least(shape)


def _signed(shape: fields.Quantity | fields.Quantities) -> str:
    return r"\s*[-−]?" if shape.low < 0 else ""


def _least(shape: fields.Quantity | fields.Quantities) -> dict[str, Any]:
    if shape.low < 0:
        return {}
    return {"minimum": 0} if shape.zero else {"exclusiveMinimum": 0}


def _quantities(shape: fields.Quantities) -> dict[str, Any]:
    one = _one(shape.kind)
    item = _quantity(fields.Quantity(shape.kind, shape.low, shape.high, shape.zero))
    made: dict[str, Any] = {
        "type": ["string", "number", "array", "null"],
        "pattern": f"^{one}(?:[,;]{one})*[,;]?\\s*$",
        "items": item,
        "maxItems": shape.most,
    } | _least(shape)
    return made | ({"minItems": shape.exactly, "maxItems": shape.exactly} if shape.exactly else {})


def _wind(_shape: fields.WindSpan) -> dict[str, Any]:
    units = _units("wind")
    dash = rf"\s*(?:{_BETWEEN}|/)\s*"
    beaufort = rf"{_cased('bft', 'bf', 'beaufort', 'force', 'f')}\.?"
    forces = rf"[0-9]{{1,2}}(?:{dash}(?:{beaufort}\s*)?[0-9]{{1,2}})?"
    measured = rf"{_NUMBER}\s*(?:{units})?(?:{dash}{_NUMBER}\s*(?:{units})?)?"
    below = rf"(?:{_cased('up to', 'to', 'tot', 'bis', 'until', 'at most', 'from', 'at least')}\s+|[<>≤≥]\s*)?"
    up = rf"(?:{_cased('and', 'en', 'und')}\s+)?{_cased('up', 'upward', 'upwards', 'more', 'over')}"
    above = rf"(?:\s*(?:\+|{up})\s*(?:{units})?)?"
    pattern = rf"^\s*{_ABOUT}{below}(?:{measured}|{beaufort}\s*{forces}|{forces}\s*{beaufort}){above}\s*$"
    item = {"type": ["string", "number"], "pattern": f"^{_one('wind')}$", "minimum": 0}
    return {
        "type": ["string", "number", "array", "null"],
        "pattern": pattern,
        "minimum": 0,
        "items": item,
        "maxItems": 2,
    }


def _taps(shape: fields.Taps) -> dict[str, Any]:
    number = r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)"
    one = rf"\s*{number}\s*{_units('wind')}\s+(?:too\s+)?(?:little|liked|much)\s*"
    return {
        "type": ["string", "array", "null"],
        "pattern": f"^(?:{one}(?:[,;]{one})*[,;]?|\\s*)$",
        "items": {"type": "string", "pattern": f"^{one}$"},
        "maxItems": shape.most,
    }


def _share(_shape: fields.Share) -> dict[str, Any]:
    return {"type": ["string", "number", "null"], "pattern": f"^{_one('ratio')}$", "exclusiveMinimum": 0, "maximum": 50}


def _hold(shape: fields.HeldEnd) -> dict[str, Any]:
    return {
        "type": ["string", "number", "null"],
        "pattern": "^(?:pinned|clamped|hinge)$",
        "minimum": shape.low,
        "maximum": shape.high,
    }


def _stretch(_shape: fields.Stretch) -> dict[str, Any]:
    names = "|".join(name.replace(" ", r"\s+") for name in common_fields.ZONES)
    one = _one("length")
    return {"type": ["string", "null"], "pattern": rf"^\s*(?:{names}|{one}{_BETWEEN}{one})\s*$"}


def _list(shape: fields.ListOf) -> dict[str, Any]:
    item = _schema(shape.item)
    if shape.single:
        kinds = [kind for kind in item["type"] if kind != "array"]
        return item | {"type": [*kinds, "array"], "items": item, "maxItems": shape.most}
    least = {"minItems": shape.least} if shape.least else {}
    return {"type": ["array", "null"], "items": item, "maxItems": shape.most} | least


def _record(shape: fields.Record) -> dict[str, Any]:
    properties = {}
    for name, key in shape.keys.items():
        example = {} if key.example is None else {"examples": [key.example]}
        properties[name] = {"description": key.says} | _schema(key.shape) | example
    made: dict[str, Any] = {"type": ["object", "null"], "properties": properties, "additionalProperties": False}
    needed = [name for name, key in shape.keys.items() if key.needed]
    if needed:
        made["required"] = needed
        for name in needed:
            kinds = properties[name].get("type")
            if isinstance(kinds, list):
                properties[name]["type"] = [kind for kind in kinds if kind != "null"]
    if len(shape.one_of) > 1:
        pairs = [(a, b) for i, a in enumerate(shape.one_of) for b in shape.one_of[i + 1 :]]
        made["not"] = {"anyOf": [{"type": "object", "required": [a, b]} for a, b in pairs]}
    if shape.short is not None:
        short = _schema(shape.short)
        kinds = [kind for kind in short["type"] if kind not in made["type"]]
        made = short | made | {"type": [*kinds, *made["type"]]}
    return made


def _table(shape: fields.Table) -> dict[str, Any]:
    return {"type": ["object", "null"], "additionalProperties": _record(shape.item)}


_MAKERS: dict[type, Callable[[Any], dict[str, Any]]] = {
    fields.Text: _text,
    fields.Name: _name,
    fields.Choice: _choice,
    fields.Flag: _flag,
    fields.Date: _date,
    fields.Whole: _whole,
    fields.Quantity: _quantity,
    fields.Quantities: _quantities,
    fields.WindSpan: _wind,
    fields.Taps: _taps,
    fields.Share: _share,
    fields.HeldEnd: _hold,
    fields.Stretch: _stretch,
    fields.ListOf: _list,
    fields.Record: _record,
    fields.Table: _table,
}
