"""Single values of a maker's file checked against their shapes: texts, days, quantities, winds, zones."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import yaml

from bowbook.book.days import DayError, parse_day
from bowbook.book.problems import Location
from bowbook.book.quantities import HasUnits, home_unit, parse_quantities, parse_quantity
from bowbook.book.records import Tap, Zone
from bowbook.book.suggest import nearest
from bowbook.book.unit_tables import FACTORS, NAMED
from bowbook.book.units import from_unit, show, show_range
from bowbook.book.written_numbers import QuantityError, is_about, zone_ends
from bowbook.book.written_winds import parse_wind
from bowbook.format import fields
from bowbook.format.common_fields import ZONES
from bowbook.format.source_file import Source

Absent = type("Absent", (), {"__repr__": lambda _: "ABSENT"})
ABSENT: Any = Absent()  # the value of a key that is empty or problemy: as if it were not there

EMPTY = frozenset({"", "~", "null", "Null", "NULL"})
_YES = frozenset({"true", "yes", "on"})
_NO = frozenset({"false", "no", "off"})


class Walk:
    """One walk over one file: where it is, in which units bare numbers are, and the places of values found."""

    __slots__ = ("about", "offset", "places", "source", "units")

    def __init__(self, source: Source, units: HasUnits, offset: int) -> None:
        self.source, self.units = source, units
        self.offset = offset  # lines before the YAML text
        self.places: dict[str, Location] = {}
        self.about: set[str] = set()  # the paths of the quantities that are written as a guess

    def location(self, node: yaml.Node) -> Location:
        """Where a node stands, on one line."""
        start, end = node.start_mark, node.end_mark
        line = start.line + self.offset + 1
        if end.line == start.line:
            return Location(self.source.file, line, start.column + 1, max(end.column, start.column + 1) + 1)
        lines = self.source.lines
        stop = len(lines[line - 1].rstrip()) if line <= len(lines) else start.column + 1
        return Location(self.source.file, line, start.column + 1, max(stop, start.column + 1) + 1)

    def problem(self, node: yaml.Node, what: str, instead: str) -> Any:
        """Notes a problem at a node and gives ABSENT."""
        self.source.problem(self.location(node), what, instead)
        return ABSENT


def is_empty(node: yaml.Node) -> bool:
    """Whether a key with this value is as if it were not there."""
    return isinstance(node, yaml.ScalarNode) and not node.style and node.value in EMPTY


def _scalar(node: yaml.Node, at: Walk, wanted: str, example: str) -> str | None:
    if isinstance(node, yaml.ScalarNode):
        return str(node.value)
    found = "a list" if isinstance(node, yaml.SequenceNode) else "keys and values"
    at.problem(node, f"{found} where {wanted} belongs", f"Write {example} on the same line.")
    return None


def _text(node: yaml.Node, shape: fields.Text, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a text", "a text")
    if text is None:
        return ABSENT
    text = text.strip()
    if shape.pattern and not re.fullmatch(shape.pattern, text[: shape.most + 1]):
        return at.problem(node, f"`{text[:60]}` is not {shape.like}", f"Write {shape.like}.")
    if len(text) > shape.most:
        return at.problem(node, f"this text has {len(text)} letters", f"Keep it under {shape.most}.")
    return text or ABSENT


def _name(node: yaml.Node, shape: fields.Name, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, f"the key of a {shape.of}", "its key")
    return ABSENT if text is None else text.strip()[:200] or ABSENT


def _choice(node: yaml.Node, shape: fields.Choice, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a word", "one word")
    if text is None or text in shape.words:
        return ABSENT if text is None else text
    known = ", ".join(shape.words[:-1]) + " or " + shape.words[-1]
    near = nearest(text.lower(), shape.words, alike=0.5)
    hint = f"Did you mean {near[0]}? " if near else ""
    return at.problem(node, f"`{text[:60]}` is none of the words known here", f"{hint}Write {known}.")


def _flag(node: yaml.Node, _shape: fields.Flag, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "true or false", "true or false")
    if text is None:
        return ABSENT
    word = text.strip().lower()
    if word in _YES or word in _NO:
        return word in _YES
    what = "this says neither true nor false" if is_empty(node) else f"`{text[:60]}` is neither true nor false"
    return at.problem(node, what, "Write true or false.")


def _date(node: yaml.Node, _shape: fields.Date, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a day", "a day such as 2026-05-03")
    if text is None:
        return ABSENT
    try:
        return parse_day(text)
    except DayError as wrong:
        return at.problem(node, wrong.message, wrong.hint)


def _whole(node: yaml.Node, shape: fields.Whole, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a whole number", "one number")
    if text is None:
        return ABSENT
    if not re.fullmatch(r"[0-9]{1,9}", text.strip()):
        return at.problem(
            node, f"`{text[:60]}` is not a whole number", f"Write a number from {shape.low} to {shape.high}."
        )
    if not shape.low <= int(text) <= shape.high:
        return at.problem(node, f"{int(text)} is out of range", f"Write a number from {shape.low} to {shape.high}.")
    return int(text)


def _guarded(node: yaml.Node, at: Walk, read: Callable[[], Any]) -> Any:
    try:
        return read()
    except QuantityError as error:
        return at.problem(node, error.message, error.hint)


def _within(node: yaml.Node, value: float, shape: fields.Quantity | fields.Quantities, at: Walk) -> bool:
    """Whether a value is within its sane limits; a problem is noted where it is not."""
    if shape.low <= value <= shape.high and (value != 0 or shape.zero):
        return True
    said = show(value, shape.kind, at.units)
    limits = show_range(shape.low, shape.high, shape.kind, at.units)
    if value < 0 <= shape.low:
        at.problem(node, f"{said} is below zero, which cannot be here", "Write it without the minus.")
    elif value == 0:
        at.problem(node, "zero makes no sense here", "Write what you measured, or leave it empty until you have.")
    else:
        much = "less" if value < shape.low else "more"
        home = home_unit(shape.kind, at.units)
        bare = home and isinstance(node, yaml.ScalarNode) and not re.search(r"[^0-9.,;\s-]", node.value)
        instead = _in_which_unit(node.value, home, shape) if bare else "Look at the figure and its unit."
        at.problem(node, f"{said} is {much} than can be here (it should be {limits})", instead)
    return False


def _in_which_unit(figure: str, home: str, shape: fields.Quantity | fields.Quantities) -> str:
    """In which unit a bare number was taken, and how it is written in one that would fit."""
    counted = f"A bare number here counts in {NAMED.get(home, home)}: write its unit too"
    try:
        number = float(figure)
    except ValueError:
        return counted + "."
    fitting = [
        unit
        for unit in ("mm", "cm", "m", "in", "g", "kg", "oz")
        if unit != home
        and unit in FACTORS[shape.kind]
        and shape.low < from_unit(number, unit, shape.kind) <= shape.high
    ]
    return f"{counted}, such as {figure} {fitting[0]}." if fitting else counted + "."


def _quantity(node: yaml.Node, shape: fields.Quantity, at: Walk, path: str) -> Any:
    text = _scalar(node, at, "one number", "one number and its unit")
    if text is None:
        return ABSENT
    if is_about(text):
        at.about.add(path)
    value = _guarded(node, at, lambda: parse_quantity(text, shape.kind, at.units))
    return value if value is not ABSENT and _within(node, value, shape, at) else ABSENT


_PAIR = "[300 mm, 190 mm]"
_APART = r"\s*([0-9][0-9.]*(?:\s*[a-z]+)?)\s+([0-9][0-9.]*(?:\s*[a-z]+)?)\s*"


def _scalars(node: yaml.SequenceNode, at: Walk, most: int) -> list[str] | None:
    if len(node.value) > most:
        at.problem(node, f"this list has {len(node.value)} values", f"Keep it to {most}.")
        return None
    texts = [_scalar(item, at, "a number", "numbers") for item in node.value]
    return None if None in texts else [text for text in texts if text is not None]


def _quantities(node: yaml.Node, shape: fields.Quantities, at: Walk, path: str) -> Any:
    if isinstance(node, yaml.MappingNode):
        if shape.exactly:
            return at.problem(node, "keys and values where two numbers belong", f"Write them as {_PAIR}.")
        return at.problem(node, "keys and values where numbers belong", "Write numbers, such as 214, 213, 215 g.")
    texts = _scalars(node, at, shape.most) if isinstance(node, yaml.SequenceNode) else node.value
    if texts is None:
        return ABSENT
    if shape.exactly and isinstance(texts, str) and (apart := re.fullmatch(_APART, texts)):
        mended = f"[{', '.join(part for part in apart.groups() if part)}]"
        return at.problem(node, "there is no comma between these two numbers", f"Write {mended}.")
    if is_about(texts) if isinstance(texts, str) else any(is_about(text) for text in texts):
        at.about.add(path)
    values = _guarded(node, at, lambda: parse_quantities(texts, shape.kind, at.units))
    if values is ABSENT:
        return ABSENT
    if shape.exactly and len(values) != shape.exactly:
        points = ", decimals with a point" if len(values) > shape.exactly else ""
        return at.problem(
            node, f"there should be {shape.exactly} numbers here, not {len(values)}", f"Write them as {_PAIR}{points}."
        )
    if not values:
        return ABSENT
    if len(values) > shape.most:
        return at.problem(node, f"this list has {len(values)} values", f"Keep it to {shape.most}.")
    items = node.value if isinstance(node, yaml.SequenceNode) else [node] * len(values)
    good = [_within(item, value, shape, at) for item, value in zip(items, values, strict=True)]
    return values if all(good) else ABSENT


def _wind(node: yaml.Node, shape: fields.WindSpan, at: Walk, _path: str) -> Any:
    if isinstance(node, yaml.MappingNode):
        return at.problem(node, "keys and values where a wind belongs", "Write it on one line, such as 4-7 mph.")
    texts = _scalars(node, at, 2) if isinstance(node, yaml.SequenceNode) else node.value
    wind = ABSENT if texts is None else _guarded(node, at, lambda: parse_wind(texts, at.units))
    if wind is ABSENT:
        return ABSENT
    limits = fields.Quantity("wind", 0.0, shape.high, zero=True)
    edges = [edge for edge in (wind.low_m_s, wind.high_m_s) if edge is not None]
    if len(edges) < 2 and shape.closed:
        return at.problem(node, "only one edge of this wind is known here", "Write both, such as 4-7 mph.")
    return wind if all(_within(node, edge, limits, at) for edge in edges) else ABSENT


_TAP = re.compile(r"(.{1,40}?)\s+(?:too\s+)?(little|liked|much)")


def _taps(node: yaml.Node, shape: fields.Taps, at: Walk, _path: str) -> Any:
    if isinstance(node, yaml.SequenceNode):
        texts = _scalars(node, at, shape.most)
    else:
        text = _scalar(node, at, "taps", "5 mph little, 6 mph liked, 9 mph much")
        texts = None if text is None else [part for part in re.split(r"[,;]", text) if part.strip()]
    if texts is None:
        return ABSENT
    if len(texts) > shape.most:
        return at.problem(node, f"these are {len(texts)} taps", f"Keep it to {shape.most}.")
    found = [_tap(node, text, shape, at) for text in texts]
    return ABSENT if ABSENT in found else tuple(found)


def _tap(node: yaml.Node, text: str, shape: fields.Taps, at: Walk) -> Any:
    tap = _TAP.fullmatch(text[:100].strip())
    bare = tap and re.fullmatch(r"[0-9.]+", tap[1])
    if not tap or bare:
        instead = "Write each wind with its unit and little, liked or much, such as 6 mph liked, 9 mph much."
        return at.problem(node, f"`{text.strip()[:60]}` is no tap", instead)
    wind_m_s = _guarded(node, at, lambda: parse_quantity(tap[1], "wind", at.units))
    limits = fields.Quantity("wind", 0.0, shape.high, zero=True)
    return Tap(wind_m_s, tap[2]) if wind_m_s is not ABSENT and _within(node, wind_m_s, limits, at) else ABSENT  # type: ignore[arg-type] # one of the three words


def _share(node: yaml.Node, shape: fields.Share, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a percentage", "3 %")
    if text is None:
        return ABSENT
    value = _guarded(node, at, lambda: parse_quantity(text, "ratio", at.units))
    if value is ABSENT:
        return ABSENT
    if re.fullmatch(r"[0-9.\s]+", text) and value >= 0.5:
        value /= 100
    return value if _within(node, value, fields.Quantity("ratio", shape.low, shape.high), at) else ABSENT


def _hold(node: yaml.Node, shape: fields.HeldEnd, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a hold", "hinge, pinned or clamped")
    if text is None or text in ("pinned", "clamped", "hinge"):
        return ABSENT if text is None else text
    instead = f"Write hinge, pinned, clamped, or an effective-length factor from {shape.low:g} to {shape.high:g}."
    if not re.fullmatch(r"[0-9]{0,6}\.?[0-9]{0,6}", text) or not re.search(r"[0-9]", text):
        return at.problem(node, f"`{text[:60]}` is not a way to hold a rod", instead)
    if not shape.low <= float(text) <= shape.high:
        return at.problem(node, f"a hold factor of {float(text):g} is not possible", instead)
    return float(text)


def _stretch(node: yaml.Node, _shape: fields.Stretch, at: Walk, _path: str) -> Any:
    text = _scalar(node, at, "a zone", "a zone such as middle third")
    if text is None:
        return ABSENT
    name = " ".join(text.split())
    if name in ZONES:
        return Zone(name, *ZONES[name])
    instead = f"Write {', '.join(ZONES)}, or a range from the centre mark such as 100-200 mm."
    span = zone_ends(name)
    if not span:
        near = nearest(name.lower(), ZONES, alike=0.5)
        return at.problem(
            node, f"`{name[:60]}` is not a zone of a half", (f"Did you mean {near[0]}? " if near else "") + instead
        )
    ends = _guarded(node, at, lambda: parse_quantities([*span], "length", at.units))
    if ends is ABSENT:
        return ABSENT
    if not 0 <= ends[0] < ends[1]:
        return at.problem(node, f"the zone {name[:60]} has no length", "Write the end nearer to the centre mark first.")
    return Zone(name, ends[0], ends[1], "m")


VALUES: dict[type, Callable[..., Any]] = {
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
}
