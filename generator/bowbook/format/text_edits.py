"""Changes in the text of a maker's YAML: one more entry, one value, one key less, everything else as it stands."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Iterator, Mapping
from typing import Any

from bowbook.format.edit_positions import EditError, TextNode, as_data, as_plain, comes_merged, yaml_root
from bowbook.format.yaml_text import in_block, in_flow, quoted

_LINE = re.compile(r"[^\r\n]*(?:\r\n|\n|\r|$)")


def lines_of(text: str) -> list[str]:
    """The lines of a text, each with its own line end."""
    return [line for line in _LINE.findall(text) if line]


def with_item(text: str, trail: tuple[str, ...], key: str, entry: Mapping[str, Any]) -> str:
    """The text with one more item at the end of the list under a key of the root, or of what the trail leads to."""
    if not entry:
        raise EditError("there is nothing to write", "Give at least one reading.")
    root = holder = _root(text)
    for step in trail:
        _refuse_merged(root, holder, step)
        holder = holder.get(step) if holder is not None and holder.kind == "record" else None
    _refuse_merged(root, holder, key)
    spot = holder.get(key) if holder is not None and holder.kind == "record" else None
    if trail and (spot is None or spot.empty):
        return with_value(text, (*trail, key), [entry])
    if spot is not None and not spot.empty and spot.kind != "list":
        raise EditError(f"{key} is not a plain list", f"Write its entries below {key}:, each beginning with -.")
    items = [] if spot is None or spot.empty else as_data(spot)
    wanted = _put(as_data(root) if root else [], trail, key, [*items, as_plain(entry)])
    return _first_good(text, wanted, _item_candidates(text, holder, spot, key, entry))


def with_value(text: str, steps: tuple[str | int, ...], value: Any) -> str:
    """The text with one value set; keys on the way that are not there are written too."""
    root = holder = _root(text)
    for i, step in enumerate(steps[:-1]):
        if holder is None:
            break
        _refuse_merged(root, holder, step)
        below = _below(holder, step, steps[: i + 1])
        if isinstance(step, str) and (below is None or (below.empty and not below.flow)):
            break
        holder = below
    else:
        i = len(steps) - 1
    if any(isinstance(step, int) for step in steps[i:]):
        raise EditError(f"there is no {'.'.join(map(str, steps[:-1]))} in the file", "Look at it, then try again.")
    if holder is not None and holder.kind != "record":
        raise EditError(f"{steps[i]} has no place in what stands there", "Write it into the file by hand.")
    for name in reversed(steps[i + 1 :]):
        value = {name: value}
    key = str(steps[i])
    wanted = _put(as_data(root) if root else [], steps[:i], key, as_plain(value))
    return _first_good(text, wanted, _value_candidates(text, holder, key, value))


def without(text: str, steps: tuple[str | int, ...]) -> str:
    """The text without one key and its value, or one item of a list; as it was where the key is not there."""
    if isinstance(steps[-1], int):
        return _without_item(text, steps[:-1], steps[-1])
    root = holder = _root(text)
    for i, step in enumerate(steps[:-1]):
        holder = _below(holder, step, steps[: i + 1]) if holder is not None else None
    key = str(steps[-1])
    spot = holder.get(key) if holder is not None and holder.kind == "record" else None
    if root is None or holder is None or spot is None:
        return text
    lines = lines_of(text)
    at = holder.items.index(spot)
    name = holder.keys[at]
    wanted = _put(as_data(root), steps[:-1], key, None)
    return _first_good(text, wanted, _removals(lines, holder, name, spot, at))


def _without_item(text: str, trail: tuple[str | int, ...], number: int) -> str:
    """The text without one item of the list that the trail leads to; without its key where it was the only one."""
    root = spot = _root(text)
    for i, step in enumerate(trail):
        spot = _below(spot, step, trail[: i + 1]) if spot is not None else None
    if spot is None or spot.kind != "list" or not 0 <= number < len(spot.items):
        raise EditError(
            f"there is no {'.'.join(map(str, (*trail, number)))} in the file", "Look at it, then try again."
        )
    if len(spot.items) == 1:
        return without(text, trail)
    left = [value for i, value in enumerate(as_data(spot)) if i != number]
    wanted = _put(as_data(root), trail[:-1], str(trail[-1]), left)
    return _first_good(text, wanted, _item_removals(lines_of(text), spot, number))


def _item_removals(lines: list[str], spot: TextNode, number: int) -> Iterator[Candidate]:
    """What may be cut so that an item goes: its lines, or its part of a line in brackets."""
    one = spot.items[number]
    start, end = _offset(lines, one.start), _offset(lines, one.end)
    if spot.flow and number + 1 < len(spot.items):
        yield start, _offset(lines, spot.items[number + 1].start), ""
    elif spot.flow:
        yield _offset(lines, spot.items[number - 1].end), end, ""
    else:
        yield _offset(lines, (one.start[0], 0)), _offset(lines, (one.end[0] + (1 if one.end[1] > 0 else 0), 0)), ""


def _removals(lines: list[str], holder: TextNode, name: TextNode, spot: TextNode, at: int) -> Iterator[Candidate]:
    """What may be cut so that a key goes: its lines, or its part of a line in braces."""
    start, end = _offset(lines, name.start), max(_offset(lines, spot.end), _offset(lines, name.end) + 1)
    if holder.flow:
        if at + 1 < len(holder.keys):
            yield start, _offset(lines, holder.keys[at + 1].start), ""
        elif at > 0:
            yield max(_offset(lines, holder.items[at - 1].end), _offset(lines, holder.keys[at - 1].end)), end, ""
        else:
            yield start, end, ""
        return
    if at + 1 < len(holder.keys) and name.start[0] == holder.start[0]:  # on the line of the dash: the next moves up
        yield start, _offset(lines, holder.keys[at + 1].start), ""
    first = _offset(lines, (name.start[0], 0))
    yield first, _offset(lines, (spot.end[0] + (1 if spot.end[1] > 0 else 0), 0)), ""


def _below(spot: TextNode, step: str | int, path: tuple[str | int, ...]) -> TextNode | None:
    """What stands under a key or a number of a node, or None."""
    if isinstance(step, str):
        if spot.kind != "record":
            raise EditError(f"{step} has no place in what stands there", "Write it into the file by hand.")
        return spot.get(step)
    if spot.kind != "list" or not -len(spot.items) <= step < len(spot.items):
        raise EditError(f"there is no {'.'.join(str(s) for s in path)} in the file", "Look at it, then try again.")
    return spot.items[step]


def _refuse_merged(root: TextNode | None, holder: TextNode | None, step: str | int) -> None:
    """Raises EditError where what stands under a key comes from elsewhere: written anew here, it would be lost."""
    if root is None or holder is None or holder.kind != "record" or not isinstance(step, str):
        return
    if comes_merged(root, holder, step):
        raise EditError(f"{step} comes in by << from another place", "Write its entries out below it.")


def _put(data: Any, trail: tuple[str | int, ...], key: str, value: Any) -> Any:
    """Plain data with `value` under `key` of the record that the trail leads to; without the key where it is None."""
    if not trail:
        if value is None:
            return [(name, old) for name, old in data if name != key]
        if any(name == key for name, _ in data):
            return [(name, value if name == key else old) for name, old in data]
        return [*data, (key, value)]
    step = trail[0]
    if isinstance(step, int):
        index = step % len(data)
        return [_put(item, trail[1:], key, value) if i == index else item for i, item in enumerate(data)]
    return [(name, _put(old, trail[1:], key, value) if name == step else old) for name, old in data]


Candidate = tuple[int, int, str]  # replace text[start:end] by this


def _item_candidates(
    text: str, root: TextNode | None, spot: TextNode | None, key: str, entry: Mapping[str, Any]
) -> Iterator[Candidate]:
    lines = lines_of(text)
    if spot is None or spot.empty:
        if root is not None and root.flow:
            raise EditError("the front matter is written on one line", "Write each of its keys on a line of its own.")
        indent = " " * (root.start[1] if root is not None and root.items else 0)
        items = _item_lines(entry, indent + "  ")
        yield from _under_key(lines, root, spot, key, indent, items)
        return
    if spot.flow:
        at = _offset(lines, spot.items[-1].end)
        yield at, at, ", " + in_flow(entry)
        return
    if spot.items[0].start < spot.start or spot.kind != "list":
        raise EditError(f"{key} refers to another place of the file", "Write its entries out below it.")
    indent = _dash_indent(lines, spot)
    for row in _rows_after(lines, spot.end):
        yield _insertion(lines, row, _item_lines(entry, indent))


def _item_lines(entry: Mapping[str, Any], indent: str) -> list[str]:
    first, *others = in_block(entry, indent + "  ")
    return [f"{indent}- {first.lstrip()}", *others]


def _dash_indent(lines: list[str], spot: TextNode) -> str:
    """What stands before the - of a list's entries."""
    line = lines[spot.start[0]]
    before = line[: spot.start[1]]
    return before if not before.strip() else " " * spot.start[1]


def _value_candidates(text: str, holder: TextNode | None, key: str, value: Any) -> Iterator[Candidate]:
    lines = lines_of(text)
    spot = holder.get(key) if holder is not None else None
    if holder is not None and holder.flow:
        written = in_flow(value)
        if spot is not None:
            yield _span(lines, spot, written, holder, key)
        elif holder.items:
            at = _offset(lines, holder.items[-1].end)
            yield at, at, f", {key}: {written}"
        else:
            at = _offset(lines, holder.end) - 1
            yield at, at, f"{key}: {written}"
        return
    written = in_flow(value) if isinstance(value, (Mapping, list, tuple)) else quoted(str(value), flow=False)
    if (
        spot is not None
        and ((spot.kind == "scalar" and spot.style in (None, "", "'", '"')) or spot.flow)
        and not spot.anchor
    ):
        yield _span(lines, spot, written, holder, key)
        return
    if spot is not None:
        raise EditError(f"{key} is written over several lines", "Change it in the file by hand.")
    indent = " " * (holder.start[1] if holder is not None and holder.items else 0)
    block = in_block(value, indent + "  ") if isinstance(value, Mapping) and value else None
    new = [f"{indent}{key}:", *block] if block else [f"{indent}{key}: {written}"]
    yield from _under_key(lines, holder, None, key, indent, new[1:] if block else [], new[0])


def _span(lines: list[str], spot: TextNode, written: str, holder: TextNode | None, key: str) -> Candidate:
    """The replacement of a value on its line; where nothing stands yet, after the key's colon."""
    start, end = _offset(lines, spot.start), _offset(lines, spot.end)
    if start < end:
        return start, end, written
    name = next(k for k in (holder.keys if holder is not None else []) if k.value == key)
    after = "".join(lines).index(":", _offset(lines, name.end)) + 1
    return after, after, " " + written


def _under_key(
    lines: list[str],
    root: TextNode | None,
    spot: TextNode | None,
    key: str,
    indent: str,
    below: list[str],
    line: str = "",
) -> Iterator[Candidate]:
    """New lines under a key: below the empty key where it stands, else with the key after all others."""
    if spot is None:
        rows = _rows_after(lines, root.end) if root is not None and root.items else [len(lines)]
        for row in rows:
            yield _insertion(lines, row, [line or f"{indent}{key}:", *below])
        return
    start, end = _offset(lines, spot.start), _offset(lines, spot.end)
    name = next(k for k in (root.keys if root is not None else []) if k.value == key)
    row = (spot.end if start < end else name.end)[0]
    at, _, new = _insertion(lines, row + 1, below)
    if start == end:
        yield at, at, new
        return
    text = "".join(lines)
    blank = len(text[:start]) - len(text[:start].rstrip(" "))
    yield start - blank, at, text[end:at] + new


def _rows_after(lines: list[str], end: tuple[int, int]) -> list[int]:
    """Rows before which something new may go after a node: right after its text, or after the blank lines it keeps."""
    row = min(end[0] + (1 if end[1] > 0 else 0), len(lines))
    rows = [row]
    while row > 0 and not lines[row - 1].strip():
        row -= 1
        rows.insert(0, row)
    return rows


def _insertion(lines: list[str], row: int, new: list[str]) -> Candidate:
    """New lines before a row, with the line ends of their neighbours."""
    ends = [line[len(line.rstrip("\r\n")) :] for line in (*lines[max(row - 1, 0) : row], *lines[row : row + 1], *lines)]
    end = next((e for e in ends if e), "\n")
    at = sum(len(line) for line in lines[:row])
    return at, at, "".join(line + end for line in new)


def _offset(lines: list[str], place: tuple[int, int]) -> int:
    return sum(len(line) for line in lines[: place[0]]) + place[1]


def _root(text: str) -> TextNode | None:
    root = yaml_root(text)
    if root is None or root.empty:
        return None
    if root.kind != "record":
        raise EditError("the front matter is no list of keys", "Begin it with name: and a name.")
    return root


def _first_good(text: str, wanted: Any, candidates: Iterator[Candidate]) -> str:
    """The first edited text that reads as wished, everything else unchanged. Raises EditError if none does."""
    for start, end, new in candidates:
        edited = text[:start] + new + text[end:]
        with contextlib.suppress(EditError):
            if (as_data(yaml_root(edited)) or []) == wanted:  # a stock file may be left with nothing in it
                return edited
    raise EditError("the new lines would change something else in this file", "Write them into it by hand.")
