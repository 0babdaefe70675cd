"""Where in a maker's YAML text something new belongs: nodes with exact places, and what to insert there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, Literal

import yaml
from msgspec import Struct, field

from bowbook.book.problems import HintedError
from bowbook.format.validate_values import EMPTY
from bowbook.format.yaml_nodes import Loader


class EditError(HintedError):
    """A file that cannot be edited as wished."""


class TextNode(Struct):
    """A node of the maker's text: its kind, and where its own text begins and ends (row, column; from 0)."""

    kind: Literal["scalar", "list", "record", "alias"]
    start: tuple[int, int]
    end: tuple[int, int]  # of the text itself, not of the comments after it
    flow: bool = False
    value: str = ""
    style: str | None = None
    anchor: str | None = None
    items: list[TextNode] = field(default_factory=list)
    keys: list[TextNode] = field(default_factory=list)  # of a record, beside items

    def get(self, key: str) -> TextNode | None:
        """The value under a key of a record, or None."""
        return next((item for name, item in zip(self.keys, self.items, strict=True) if name.value == key), None)

    @property
    def empty(self) -> bool:
        """Whether it is a key's value that is as if it were not there: nothing, ~, [] or {}."""
        if self.kind == "scalar":
            return self.style in (None, "") and self.value in EMPTY and self.anchor is None
        return self.kind in ("list", "record") and not self.items and self.anchor is None


def yaml_root(text: str) -> TextNode | None:
    """The root of a YAML text, or None where it holds nothing. Raises EditError where it cannot be read."""
    try:
        events = [
            e for e in yaml.parse(text, Loader) if not isinstance(e, (yaml.StreamStartEvent, yaml.StreamEndEvent))
        ]
    except yaml.YAMLError as error:
        raise EditError("the file cannot be read as it stands", "Run bowbook check and mend it first.") from error
    inner = [e for e in events if not isinstance(e, (yaml.DocumentStartEvent, yaml.DocumentEndEvent))]
    if not inner:
        return None
    root, _ = _spot(inner, 0)
    return root


def _spot(events: Sequence[Any], i: int) -> tuple[TextNode, int]:
    event = events[i]
    start = (event.start_mark.line, event.start_mark.column)
    end = (event.end_mark.line, event.end_mark.column)
    if isinstance(event, yaml.AliasEvent):
        return TextNode("alias", start, end, value=event.anchor or ""), i + 1
    if isinstance(event, yaml.ScalarEvent):
        return TextNode("scalar", start, end, value=event.value, style=event.style, anchor=event.anchor), i + 1
    is_list = isinstance(event, yaml.SequenceStartEvent)
    spot = TextNode("list" if is_list else "record", start, end, flow=bool(event.flow_style), anchor=event.anchor)
    i += 1
    while not isinstance(events[i], (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
        if not is_list:
            name, i = _spot(events, i)
            spot.keys.append(name)
        item, i = _spot(events, i)
        spot.items.append(item)
    closing = events[i].end_mark
    if spot.flow:
        spot.end = (closing.line, closing.column)
    elif spot.items:
        spot.end = max(spot.end, spot.items[-1].end, *(name.end for name in spot.keys[-1:]))
    return spot, i + 1


def comes_merged(root: TextNode, holder: TextNode, key: str) -> bool:
    """Whether a record has a key only by a merge (<<), of whatever depth."""
    anchors: dict[str, TextNode] = {}
    waiting = [root]
    while waiting:
        spot = waiting.pop()
        waiting += (*spot.keys, *spot.items)
        if spot.anchor is not None:
            anchors[spot.anchor] = spot
    if holder.get(key) is not None:
        return False
    done: set[int] = set()
    waiting = [holder]
    while waiting:
        spot = waiting.pop()
        spot = anchors.get(spot.value, spot) if spot.kind == "alias" else spot
        if id(spot) in done:
            continue
        done.add(id(spot))
        if spot.kind == "record":
            if spot.get(key) is not None:
                return True
            pairs = zip(spot.keys, spot.items, strict=True)
            waiting += [item for name, item in pairs if name.value == "<<" and not name.style]
        elif spot.kind == "list" and spot is not holder:
            waiting += spot.items
    return False


def as_data(spot: TextNode | None, anchors: dict[str, Any] | None = None) -> Any:
    """The node as plain data, texts as they stand: for telling whether only one thing has changed."""
    anchors = {} if anchors is None else anchors
    value: Any
    if spot is None:
        return None
    if spot.kind == "alias":
        return anchors.get(spot.value)
    if spot.kind == "scalar":
        value = spot.value
    elif spot.kind == "list":
        value = [as_data(item, anchors) for item in spot.items]
    else:
        value = [(as_data(k, anchors), as_data(v, anchors)) for k, v in zip(spot.keys, spot.items, strict=True)]
    if spot.anchor is not None:
        anchors[spot.anchor] = value
    return value


def as_plain(value: Any) -> Any:
    """A new value as `as_data` will give it back."""
    if isinstance(value, Mapping):
        return [(key, as_plain(item)) for key, item in value.items()]
    if isinstance(value, (list, tuple)):
        return [as_plain(item) for item in value]
    return str(value)
