"""YAML text to nodes that know their place, with a sentence for every way the text can be broken."""

from __future__ import annotations

import re
from typing import Any

import yaml

from bowbook.book.problems import Location
from bowbook.format.source_file import Source

Loader: type[Any] = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # the C one where libyaml is; same nodes, slower

_ALIAS = r"(?:^|[\s\[{,:])\*[^\s*]"
_MOST_NODES = 20_000
_MOST_TRIES = 20
_MOST_TRIED = 400_000  # characters in all these tries: a large file is mended less often
_LARGEST = 200_000  # characters; each may be a value of its own, and those take far more room and time than text


def compose(source: Source, first: int, last: int) -> yaml.Node | None:
    """The root node of lines `first` to `last` (from 0, last excluded), or None.

    Broken lines that can be stepped over (a missing colon, a tab) are noted and the rest is still read, so that
    one slip does not hide the others. Line numbers of the nodes count from `first`.
    """
    lines = source.lines[first:last]
    size = sum(map(len, lines)) + len(lines)
    if size > _LARGEST:
        what = f"there are {size} letters of keys and values here"
        source.problem(source.at(first + 1), what, f"Keep them under {_LARGEST}.")
        return None
    for _ in range(max(1, min(_MOST_TRIES, _MOST_TRIED // (size + 1)))):
        text = "\n".join(lines) + "\n"
        try:
            node: yaml.Node | None = yaml.compose(text, Loader)
        except yaml.YAMLError as error:
            mended = _mend(source, lines, first, error)
            if mended is None:
                return None
            lines[mended[0]] = mended[1]
            continue
        except RecursionError:
            source.problem(source.at(first + 1), _TOO_DEEP, "Lists and keys of a book are never more than a few deep.")
            return None
        if node is not None and "*" in text and re.search(_ALIAS, text) and not _modest(node, {}):
            source.problem(
                _first_alias(source, lines, first),
                "the aliases (*name) in this file multiply beyond reason",
                "Write the values out where they are needed.",
            )
            return None
        return node
    return None


_TOO_DEEP = "lists or keys are nested too deep"


def _first_alias(source: Source, lines: list[str], first: int) -> Location:
    for row, line in enumerate(lines):
        found = re.search(_ALIAS, line)
        if found:
            return source.at(first + row + 1, found.end() - 1, found.end() + 1)
    return source.at(first + 1)


def _modest(node: yaml.Node, sizes: dict[int, int]) -> bool:
    """Whether the nodes, aliases written out, are not too many; also False where one holds itself."""
    return 0 < _size(node, sizes, 0) <= _MOST_NODES


def _size(node: yaml.Node, sizes: dict[int, int], depth: int) -> int:
    if isinstance(node, yaml.ScalarNode):
        return 1
    known = sizes.get(id(node))
    if known is not None:
        return known
    sizes[id(node)] = _MOST_NODES * 10  # while it is being counted: a node that holds itself is endless
    if depth > 100:
        return _MOST_NODES * 10
    children = [child for pair in node.value for child in pair] if isinstance(node, yaml.MappingNode) else node.value
    sizes[id(node)] = 1 + sum(_size(child, sizes, depth + 1) for child in children)
    return sizes[id(node)]


def _mend(source: Source, lines: list[str], first: int, error: yaml.YAMLError) -> tuple[int, str] | None:
    """Notes the problem; a line's number and what to read in its stead, if the rest can still be read."""
    problem = str(getattr(error, "problem", None) or error)
    context = str(getattr(error, "context", None) or "")
    mark = getattr(error, "problem_mark", None)
    opened = getattr(error, "context_mark", None)
    row = min(mark.line, len(lines) - 1) if mark is not None and lines else 0
    column = mark.column if mark is not None else 0
    for near in (row, row - 1):
        if 0 <= near < len(lines) and "\t" in _indent(lines[near]):
            where = source.at(first + near + 1, _indent(lines[near]).index("\t") + 1)
            source.problem(where, "a tab stands where only blanks may", "Put two blanks in place of the tab.")
            return near, lines[near].replace("\t", " ")  # one for one: columns stay what they are
    if "could not find expected ':'" in problem and opened is not None and 0 <= opened.line < len(lines):
        line = lines[opened.line]
        return opened.line, _no_colon(source, line, first + opened.line + 1, opened.column)
    if "mapping values are not allowed" in problem:
        if _set_in(lines, row, column):
            where = source.at(first + row + 1, 1, len(_indent(lines[row])) + 1)
            source.problem(where, "this line is set further in than the one above it", "Give both as many blanks.")
            return row, _indent(lines[row - 1]) + lines[row].lstrip()
        before = _keyless(lines, row)
        if before is not None:
            return before, _no_colon(source, lines[before], first + before + 1, len(_indent(lines[before])))
    what, instead = _sentence(problem, context)
    if opened is not None and what in (_UNCLOSED_QUOTE, _UNCLOSED_LIST):
        row, column = min(opened.line, len(lines) - 1), opened.column
    length = len(lines[row]) if lines else 0
    source.problem(source.at(first + row + 1, min(column, length) + 1), what, instead)
    return None


def _set_in(lines: list[str], row: int, column: int) -> bool:
    """Whether a line is a key set further in than the line before it, which has a value of its own already."""
    if row < 1 or not re.fullmatch(r"\s*[\w.-]+", lines[row][:column]):
        return False
    return len(_indent(lines[row])) > len(_indent(lines[row - 1])) and bool(re.search(r":\s+\S", lines[row - 1]))


def _keyless(lines: list[str], row: int) -> int | None:
    """The line before `row` if it stands in one column with it and has no colon, so that YAML took both for one key."""
    if row < 1 or not lines[row].strip():
        return None
    before = lines[row - 1]
    alike = _indent(before) == _indent(lines[row]) and before.strip()[:1] not in ("", "#", "-", "[", "{", "]", "}")
    return row - 1 if alike and ":" not in before else None


def _no_colon(source: Source, line: str, number: int, column: int) -> str:
    """Notes that a key has no colon; the line with one, or a comment in its stead, so that the rest can be read."""
    words = line[column:].strip().split(None, 1)
    mended = f"{words[0]}: {words[1]}" if len(words) == 2 else ""
    hint = f"Write {mended}." if mended else "Write a colon and a blank after the key."
    place = source.at(number, column + 1, len(line.rstrip()) + 1)
    source.problem(place, "there is no colon after the key", hint)
    return line[:column] + mended if mended else "#"


def _indent(line: str) -> str:
    return line[: len(line) - len(line.lstrip())]


_UNCLOSED_QUOTE = "a quotation mark is opened here and never closed"
_UNCLOSED_LIST = "a bracket is opened here and not closed, or a comma is missing"


def _sentence(problem: str, context: str) -> tuple[str, str]:
    """What is wrong and what to write instead, for a complaint of the YAML parser."""
    if "mapping values are not allowed" in problem:
        return (
            "a second colon on one line",
            "Put quotation marks around the text, or the second key on its own line.",
        )
    if "nesting depth" in problem:
        return _TOO_DEEP, "Lists and keys of a book are never more than a few deep."
    if "quoted scalar" in context:
        if "escape" in problem:
            return "a backslash means something else between double quotation marks", "Use single quotation marks: '…'."
        return _UNCLOSED_QUOTE, "Close it on the same line."
    if "flow" in context:
        return _UNCLOSED_LIST, "Close every [ with ] and every { with }, with commas between."
    if "undefined alias" in problem:
        return (
            "a * names an anchor that is not there",
            "Put quotation marks around the text.",
        )
    if "cannot start any token" in problem:
        return "a value cannot begin with this character", "Put quotation marks around the text."
    if "another document" in problem:
        return "a line --- stands in the middle", "Delete it: everything belongs between two lines ---."
    if "block collection" in context or "block mapping" in context or "document start" in problem:
        return "this line is not indented like those above it", "Give it as many blanks as its neighbours."
    return f"this cannot be read as YAML: {problem}", "Compare it with a kite that reads well."
