"""YAML nodes checked against shapes: plain values in SI, a place for every path, a problem for everything else."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterator
from typing import Any

import yaml

from bowbook.book.problems import Location
from bowbook.book.suggest import nearest
from bowbook.book.unseen import UNSEEN_IN_VALUE
from bowbook.format import fields
from bowbook.format.validate_values import ABSENT, VALUES, Walk, is_empty

_PLAIN_TAGS = ("tag:yaml.org,2002:str", "tag:yaml.org,2002:map", "tag:yaml.org,2002:seq", None, "!")


def walk(node: yaml.Node, shape: fields.Shape, at: Walk, path: str = "") -> Any:
    """The value of a node by its shape, in SI, or ABSENT with a problem noted. Never raises for bad input."""
    if node.tag not in _PLAIN_TAGS:
        return at.problem(node, f"`{node.tag[:40]}` is a YAML tag, which no book needs", "Write the value without it.")
    if isinstance(node, yaml.ScalarNode) and (unseen := UNSEEN_IN_VALUE.search(node.value)):
        what = f"a character that cannot be seen stands in this value (U+{ord(unseen[0]):04X})"
        return at.problem(node, what, "Leave it out, or write what it should be.")
    if path:
        at.places[path] = at.location(node)
    return _WALKS[type(shape)](node, shape, at, path)


def _list(node: yaml.Node, shape: fields.ListOf, at: Walk, path: str) -> Any:
    if not isinstance(node, yaml.SequenceNode):
        if shape.single:
            value = walk(node, shape.item, at, f"{path}.0")
            return ABSENT if value is ABSENT else [value]
        found = "a text" if isinstance(node, yaml.ScalarNode) else "keys and values"
        return at.problem(node, f"{found} where a list belongs", "Begin each entry with - on a line of its own.")
    if not node.value:
        return ABSENT
    if not shape.least <= len(node.value) <= shape.most:
        what = f"this list has {len(node.value)} {'entries' if len(node.value) > 1 else 'entry'}"
        return at.problem(node, what, shape.why or f"It should have from {shape.least} to {shape.most}.")
    values = [_item(item, shape, at, f"{path}.{i}") for i, item in enumerate(node.value)]
    if isinstance(shape.item, fields.Record):
        return values  # an entry keeps its number, by which its place is known
    return [value for value in values if value is not ABSENT] or ABSENT


def _item(node: yaml.Node, shape: fields.ListOf, at: Walk, path: str) -> Any:
    if is_empty(node):
        if isinstance(shape.item, fields.Record):
            return {}  # an entry begun and not yet filled in
        return at.problem(node, "an empty entry", "Fill it in or delete it.")
    return walk(node, shape.item, at, path)


def _record(node: yaml.Node, shape: fields.Record, at: Walk, path: str) -> Any:
    if not isinstance(node, yaml.MappingNode):
        if shape.short is not None:
            value = walk(node, shape.short, at, path)
            return ABSENT if value is ABSENT else {shape.stands_for: value}
        found = "a list" if isinstance(node, yaml.SequenceNode) else "a text"
        return at.problem(node, f"{found} where {shape.called} should stand", f"Write {shape.called}.")
    values: dict[str, Any] = {}
    seen: dict[str, yaml.Node] = {}
    for name, key_node, value_node in pairs(node, at, shape.keys):
        key = shape.keys.get(name)
        if key is None:
            if node.flow_style and is_empty(value_node) and name[:1].isdigit():
                before = next((key for key in reversed(values)), "")
                _cut_by_comma(key_node, before, name, at)
            else:
                _unknown(key_node, name, shape, at)
            continue
        seen[name] = key_node
        if is_empty(value_node) and not isinstance(key.shape, fields.Flag):
            continue  # a flag that says neither yes nor no is asked about: what it stands by may be private
        value = walk(value_node, key.shape, at, f"{path}.{name}" if path else name)
        if value is not ABSENT:
            values[name] = value
    _needed(node, shape, seen, at)
    several = [name for name in shape.one_of if name in values]
    if len(several) > 1:
        at.problem(
            seen[several[1]], f"{' and '.join(several)} in one reading", f"Keep only one of {', '.join(shape.one_of)}."
        )
    return values


def _needed(node: yaml.Node, shape: fields.Record, seen: dict[str, yaml.Node], at: Walk) -> None:
    for name, key in shape.keys.items():
        if key.needed and (name not in seen or is_empty_at(node, name)):
            where = seen.get(name, node)
            place = at.location(where)
            if where is node and node.start_mark.line != node.end_mark.line:
                place = Location(place.file, place.line, place.column, place.column + 1)
            at.source.problem(place, key.needed[0].lower() + key.needed[1:].rstrip("."), _example(name, key))


def _example(name: str, key: fields.Key) -> str:
    """What to write for a key that is wanting."""
    example = f"[{', '.join(key.example)}]" if isinstance(key.example, list) else key.example
    return f"Write {name}: {example}"


def is_empty_at(node: yaml.Node, name: str) -> bool:
    """Whether the key `name` of a mapping is there and empty."""
    return any(key.value == name and is_empty(value) for key, value in node.value)


def _unknown(node: yaml.Node, name: str, shape: fields.Record, at: Walk) -> None:
    if at.source.full:
        return
    deeper = [outer for outer, key in shape.keys.items() if name in _keys_in(key.shape)]
    near = nearest(name.lower(), shape.keys)
    known = ", ".join(shape.keys)
    hint = f"It belongs inside {' or '.join(deeper)}. " if deeper else f"Did you mean {near[0]}? " if near else ""
    at.problem(node, f"`{name[:60]}` is not a key known here", f"{hint}Known here: {known}.")


def _keys_in(shape: fields.Shape) -> Collection[str]:
    """The keys of a record, or of each in a list of them."""
    one = shape.item if isinstance(shape, fields.ListOf) else shape
    return one.keys if isinstance(one, fields.Record) else ()


def _cut_by_comma(node: yaml.Node, before: str, rest: str, at: Walk) -> None:
    """Notes a value that YAML ends at a decimal comma: `{length: 24,5 in}`."""
    start = at.source.lines[at.location(node).line - 1][: node.start_mark.column]
    found = re.search(r"([0-9]+),\s*$", start)
    instead = f"Write {found[1]}.{rest[:20]}, with a point." if found else "Write decimals with a point."
    what = f"inside {{ }} a comma ends the value, so `{rest[:20]}` is no part of {before or 'it'} any more"
    at.problem(node, what, instead)


def pairs(node: yaml.MappingNode, at: Walk, known: Any = ()) -> Iterator[tuple[str, yaml.Node, yaml.Node]]:
    """The keys and values of a mapping; a key that stands twice is a problem, merged ones (<<) come last."""
    seen: set[str] = set()
    merged: list[tuple[yaml.Node, yaml.Node]] = []
    for name, key_node, value_node in _own_pairs(node, at):
        if _is_merge(key_node):
            merged += [(key_node, other) for other in _merged_in(value_node)]
        else:
            seen.add(name)
            yield name, key_node, value_node
    done: set[int] = set()  # what was merged once brings nothing new
    merged.reverse()
    while merged:
        where, other = merged.pop()
        if not isinstance(other, yaml.MappingNode):
            at.problem(other, "<< needs keys and values", "Write << and the name of an anchor, such as <<: *first.")
            continue
        if id(other) in done:
            continue
        done.add(id(other))
        deeper: list[tuple[yaml.Node, yaml.Node]] = []
        for name, key_node, value_node in _own_pairs(other, at):
            if _is_merge(key_node):
                deeper += [(where, one) for one in _merged_in(value_node)]
            elif known and name not in known:
                what = f"<< brings `{name[:60]}`, which is not a key known here"
                at.problem(where, what, "Write out the keys that belong here.")
            elif name not in seen:
                seen.add(name)
                yield name, key_node, value_node
        merged += reversed(deeper)


def _own_pairs(node: yaml.MappingNode, at: Walk) -> Iterator[tuple[str, yaml.Node, yaml.Node]]:
    """The keys and values that stand in a mapping itself, << among them."""
    seen: dict[str, int] = {}
    for key_node, value_node in node.value:
        if not isinstance(key_node, yaml.ScalarNode):
            at.problem(key_node, "a list or keys and values where a key belongs", "Write a word, a colon and a value.")
            continue
        name = key_node.value
        if name in seen and not _is_merge(key_node):
            at.problem(
                key_node,
                f"`{name[:60]}` stands here a second time",
                f"Delete one of them; the first is on line {seen[name]}.",
            )
            continue
        seen[name] = key_node.start_mark.line + at.offset + 1
        yield name, key_node, value_node


def _is_merge(key: yaml.Node) -> bool:
    return isinstance(key, yaml.ScalarNode) and key.value == "<<" and not key.style


def _merged_in(value: yaml.Node) -> list[yaml.Node]:
    return list(value.value) if isinstance(value, yaml.SequenceNode) else [value]


def _table(node: yaml.Node, shape: fields.Table, at: Walk, path: str) -> Any:
    if not isinstance(node, yaml.MappingNode):
        found = "a list" if isinstance(node, yaml.SequenceNode) else "a text"
        return at.problem(node, f"{found} where {shape.called} belong", f"Begin with a key, then {shape.item.called}.")
    entries: dict[str, Any] = {}
    for name, key_node, value_node in pairs(node, at):
        if not name.strip() or len(name) > 100 or "\n" in name or UNSEEN_IN_VALUE.search(name):
            at.problem(key_node, "this key cannot be used", "Write a short word, such as carbon-1.5.")
            continue
        entries[name] = (
            {} if is_empty(value_node) else walk(value_node, shape.item, at, f"{path}.{name}" if path else name)
        )
    return entries


_WALKS: dict[type, Callable[..., Any]] = VALUES | {
    fields.ListOf: _list,
    fields.Record: _record,
    fields.Table: _table,
}
