"""Values as YAML text: quoted where YAML might read something else into them, on one line or on several.

Keys are those of the schema, which need no quotation marks.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from typing import Any

_BARE = re.compile(r"[^\W_][\w .,/%²³°½¼¾()+;–-]*")
_WORDS = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false", "null", "~", "none"})
_WIDE = 110  # characters of a line


def quoted(text: str, flow: bool) -> str:
    """A text as YAML: bare where that is safe, else between double quotation marks.

    >>> quoted("214, 213, 215 g", flow=False), quoted("214, 213 g", flow=True), quoted("no", flow=False)
    ('214, 213, 215 g', '"214, 213 g"', '"no"')
    """
    bare = _BARE.fullmatch(text) and text == text.strip() and text.lower() not in _WORDS
    if bare and not (flow and "," in text):
        return text
    written = json.dumps(text, ensure_ascii=False)
    return written if written.isprintable() else "".join(c if c.isprintable() else _escaped(c) for c in written)


def _escaped(char: str) -> str:
    return f"\\U{ord(char):08x}"


def in_flow(value: Any) -> str:
    """A value as YAML on one line: `{side: left, strokes: 20}`."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{key}: {in_flow(item)}" for key, item in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(in_flow(item) for item in value) + "]"
    return quoted(str(value), flow=True)


def in_block(values: Mapping[str, Any], indent: str) -> list[str]:
    """Keys and values as YAML, a line for each, after an indent."""
    return [f"{indent}{key}: {_beside(value)}" for key, value in values.items()]


def laid_out(values: Mapping[str, Any], indent: str = "") -> list[str]:
    """Keys and values as a maker lays them out: short records on one line, lists of records one below another.

    >>> laid_out({"mass": "21 g", "spine": {"rod": "oak", "length": "520 mm"}, "bench": [{"left": "214, 213 g"}]})
    ['mass: 21 g', 'spine: {rod: oak, length: 520 mm}', 'bench:', '  - left: 214, 213 g']
    """
    lines = []
    for key, value in values.items():
        line = f"{indent}{key}: {_beside(value)}"
        if not isinstance(value, (Mapping, list, tuple)) or (_is_short(value) and len(line) <= _WIDE):
            lines.append(line)
        else:
            lines += [f"{indent}{key}:", *_below(value, indent + "  ")]
    return lines


def _below(value: Any, indent: str) -> list[str]:
    """A record or a list, an entry a line or more."""
    if isinstance(value, Mapping):
        return laid_out(value, indent)
    lines = []
    for item in value:
        first, *others = [in_flow(item)]
        if isinstance(item, Mapping) and not (_is_short(item) and len(first) + len(indent) < _WIDE):
            first, *others = laid_out(item, indent + "  ")
        lines += [f"{indent}- {first.lstrip()}", *others]
    return lines


def _is_short(value: Any) -> bool:
    """Whether nothing in a value asks for lines of its own: a list of records, or readings parted by commas."""
    if isinstance(value, Mapping):
        return all(_is_short(item) and not (isinstance(item, str) and "," in item) for item in value.values())
    return not isinstance(value, Sequence) or isinstance(value, str) or not any(isinstance(i, Mapping) for i in value)


def _beside(value: Any) -> str:
    return in_flow(value) if isinstance(value, (Mapping, list, tuple)) else quoted(str(value), flow=False)
