"""A maker's kite file made ready to give away: private flights out, every figure with its unit, credit and stock in.

The copy reads the same in any book. Figures written bare mean the maker's own units, so each gets its unit written
behind it, where it stands; a key that named the units for the whole file would make the friend's own bare figures,
added later, mean something else. Flights say how high the wind was read. Photos stay at home: the friend has not got
them. The maker is credited under `after`, and the rods and skin stand as comments, ready to paste into the friend's
stock. Everything else, comments and story too, stays as the maker wrote it, to the byte.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import yaml
from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.quantities import QuantityError, home_unit, parse_quantities, parse_quantity
from bowbook.book.records import Book, Flight, Kite, Origin, Round, Units
from bowbook.book.written_numbers import zone_ends
from bowbook.book.written_winds import parse_wind
from bowbook.format import fields
from bowbook.format.kite_lines import kite_lines, quoted, stock_lines
from bowbook.format.read_book import read_kite
from bowbook.format.schema import KITE
from bowbook.format.source_file import Source, front_matter, read_text
from bowbook.format.yaml_nodes import compose

_OTHER = Units(length="yd", force="lb", mass="lb", wind="kn", altitude="ft")
_THIRD = Units(length="um", force="cN", mass="mg", wind="m/s", altitude="km")
_STOCK = re.compile(r"^#   content/stock/(rods|skins)\.yaml$|^#   (.+)$")
_TRUE = frozenset({"true", "yes", "on"})


class _Edit(Struct, frozen=True):
    """Replace what stands from (line, column) up to (line, column), counted from 0, by `text`."""

    start: tuple[int, int]
    end: tuple[int, int]
    text: str


def copy_for_sharing(text: str, book: Book, key: str) -> str:
    """The file of the kite `key` as a friend may have it: nothing private, and the same kite whatever their units.

    `text` is the maker's own file. Where it is written in a way that cannot be edited safely (anchors that reach
    from one place to another, say), a plain file with the kite's dimensions and its story is given in its stead.
    """
    file = f"content/kites/{key}.md"
    settings = book.settings
    source = read_text(text.encode(), file)
    spot = front_matter(source)
    kite = book.kites[key]
    if spot is not None and not source.problems:
        shared = _edited(source, spot, kite, book)
        read = shared and read_kite(shared.encode(), file, _OTHER).kite
        if shared and read and _as_shared(read) == _as_shared(_credited(kite, book), settings.height_m):
            return _line_ends_of(text, shared)
    return _line_ends_of(text, _plain(kite, book))


def stock_to_add(text: str) -> tuple[dict[str, str], dict[str, str]]:
    """The rods and the skins that a shared file brings along: key to a line for rods.yaml or skins.yaml."""
    found: dict[str, dict[str, str]] = {"rods": {}, "skins": {}}
    into: dict[str, str] | None = None
    for line in text.split("\n"):
        match = _STOCK.match(line.rstrip())
        if match and match[1]:
            into = found[match[1]]
        elif match and into is not None:
            try:
                entry = yaml.safe_load(match[2])
            except (yaml.YAMLError, ValueError, RecursionError):  # a friend's line may hold anything
                continue
            if isinstance(entry, dict) and len(entry) == 1:
                into[str(next(iter(entry)))] = match[2]
        else:
            into = None
    return found["rods"], found["skins"]


def _line_ends_of(text: str, shared: str) -> str:
    return shared.replace("\n", "\r\n") if "\r\n" in text else shared


def _credited(kite: Kite, book: Book) -> Kite:
    return kite if kite.origin or not book.settings.maker else replace(kite, origin=_credit(kite, book))


def _credit(kite: Kite, book: Book) -> Origin:
    from urllib.parse import quote

    address = book.settings.address
    page = f"{address.rstrip('/')}/kites/{quote(kite.key)}/index.html" if address else None
    return Origin(kite.name, book.settings.maker, page)


def _as_shared(kite: Kite, height_m: float | None = None) -> Kite:
    """The kite as it must come out of the copy; with `height_m`, flights that do not say get that height."""

    def flight(f: Flight) -> Flight:
        return replace(f, height_m=height_m) if height_m and f.height_m is None and (f.wind or f.best) else f

    def bench(r: Round) -> Round:
        zone = r.shave.zone if r.shave else None
        if r.shave is None or zone is None or zone.unit != "m":
            return r
        return replace(r, shave=replace(r.shave, zone=replace(zone, label="")))  # as written; its unit came behind it

    flights, rounds = tuple(flight(f) for f in kite.flights), tuple(bench(r) for r in kite.bench)
    return replace(kite, photos=(), story_line=0, flights=flights, bench=rounds)


def _edited(source: Source, spot: tuple[int, int], kite: Kite, book: Book) -> str | None:
    """The file with its edits made, or None where its front matter cannot be taken apart."""
    first, last = spot
    root = compose(Source(source.file, source.lines), first, last)
    if not isinstance(root, yaml.MappingNode) or root.flow_style:
        return None
    lines = source.lines[first:last]
    edits = {(e.start, e.end): e for e in _units_named(root, KITE, book.settings.units)}
    for name, node in _entries(root):
        if name == "flights" and isinstance(node, yaml.SequenceNode):
            edits |= {(e.start, e.end): e for e in _flights(node, book.settings.height_m)}
    gone = _lines_gone(root, lines)
    kept = [line for n, line in enumerate(_applied(lines, edits.values())) if n not in gone]
    credit = _credited(kite, book).origin
    head = [] if kite.origin or credit is None else [_credit_line(credit)]
    return "\n".join([*source.lines[:first], *kept, *head, *_stock_comment(book, kite), *source.lines[last:]])


def _credit_line(origin: Origin) -> str:
    pairs = (("kite", origin.kite), ("maker", origin.maker), ("address", origin.address))
    return "after: {" + ", ".join(f"{name}: {quoted(value)}" for name, value in pairs if value) + "}"


def _stock_comment(book: Book, kite: Kite) -> list[str]:
    rods, skins = stock_lines(book, kite)
    if not rods and not skins:
        return []
    lines = ["# What it is made of, to paste into your own stock where you have not got it:"]
    for name, entries in (("rods", rods), ("skins", skins)):
        lines += [f"#   content/stock/{name}.yaml", *(f"#   {entry}" for entry in entries)] if entries else []
    return lines


def _plain(kite: Kite, book: Book) -> str:
    """A file with the kite's dimensions and story, for want of an editable one."""
    credit = _credited(kite, book).origin
    lines = ["---", *kite_lines(kite), *([_credit_line(credit)] if credit else []), *_stock_comment(book, kite), "---"]
    return "\n".join([*lines, *([kite.story] if kite.story else [])]) + "\n"


def _entries(node: yaml.MappingNode) -> Iterator[tuple[str, yaml.Node]]:
    for key, value in node.value:
        if isinstance(key, yaml.ScalarNode):
            yield key.value, value


def _units_named(node: yaml.Node, shape: fields.Shape | None, units: Units) -> Iterator[_Edit]:
    """An edit for every figure whose meaning hangs on the book's units: its unit, written behind it."""
    if isinstance(shape, fields.Record):
        if not isinstance(node, yaml.MappingNode):
            yield from _units_named(node, shape.short, units)
            return
        for name, value in _entries(node):
            key = shape.keys.get(name)
            yield from _units_named(value, key.shape if key else None, units)
    elif isinstance(shape, fields.ListOf):
        items = node.value if isinstance(node, yaml.SequenceNode) else [node] if shape.single else []
        for item in items:
            yield from _units_named(item, shape.item, units)
    elif isinstance(shape, fields.Quantity | fields.Quantities | fields.WindSpan | fields.Stretch):
        kind = _kind(shape)
        items = node.value if isinstance(node, yaml.SequenceNode) else [node]
        scalars = [n for n in items if isinstance(n, yaml.ScalarNode)]
        if len(scalars) == len(items) and _hangs(scalars, shape, kind):
            for n in scalars:
                if _hangs([n], shape, kind):
                    yield _behind(n, f" {home_unit(kind, units)}")


def _kind(shape: fields.Quantity | fields.Quantities | fields.WindSpan | fields.Stretch) -> str:
    if isinstance(shape, fields.WindSpan):
        return "wind"
    return "length" if isinstance(shape, fields.Stretch) else shape.kind


def _hangs(nodes: list[yaml.ScalarNode], shape: fields.Shape, kind: str) -> bool:
    """Whether these figures mean one thing in one book and another in a book with other units."""
    texts = [n.value for n in nodes]
    if isinstance(shape, fields.Stretch):
        ends = zone_ends(texts[0])
        if ends is None:
            return False
        texts = [*ends]
    try:
        if isinstance(shape, fields.WindSpan):
            given = texts if len(texts) > 1 else texts[0]
            return parse_wind(given, _OTHER) != parse_wind(given, _THIRD)
        if isinstance(shape, fields.Quantity):
            return parse_quantity(texts[0], kind, _OTHER) != parse_quantity(texts[0], kind, _THIRD)
        several = texts if len(texts) > 1 else texts[0]
        return parse_quantities(several, kind, _OTHER) != parse_quantities(several, kind, _THIRD)
    except QuantityError:
        # Some with their unit and some without: each is looked at alone.
        return len(nodes) > 1


def _behind(node: yaml.ScalarNode, text: str) -> _Edit:
    line, column = node.end_mark.line, node.end_mark.column - (1 if node.style in ("'", '"') else 0)
    return _Edit((line, column), (line, column), text)


def _private(node: yaml.Node) -> bool:
    return isinstance(node, yaml.MappingNode) and any(
        name == "private" and isinstance(value, yaml.ScalarNode) and value.value.strip().lower() in _TRUE
        for name, value in _entries(node)
    )


def _flights(node: yaml.SequenceNode, height_m: float) -> Iterator[_Edit]:
    """Private flights of a list in brackets taken out; the height of the meter put in where a flight does not say."""
    for n, item in enumerate(node.value):
        if _private(item):
            if node.flow_style:
                after = node.value[n + 1].start_mark if n + 1 < len(node.value) else node.end_mark
                stop = (after.line, after.column - (0 if n + 1 < len(node.value) else 1))
                yield _Edit((item.start_mark.line, item.start_mark.column), stop, "")
        elif isinstance(item, yaml.MappingNode):
            names = {name for name, _ in _entries(item)}
            if "height" not in names and names & {"wind", "best"}:
                line, column = item.start_mark.line, item.start_mark.column
                here = (line, column + 1) if item.flow_style else (line, column)
                yield _Edit(here, here, f"height: {height_m!r} m" + (", " if item.flow_style else "\n" + " " * column))


def _lines_gone(root: yaml.MappingNode, lines: list[str]) -> set[int]:
    """Numbers of the lines that do not go out: photos, private flights with the comments over and inside them."""
    gone: set[int] = set()
    for key, value in root.value:
        if key.value == "photos":
            gone |= set(range(key.start_mark.line, _last_line(value) + 1))
        if key.value != "flights" or not isinstance(value, yaml.SequenceNode):
            continue
        if value.value and all(_private(item) for item in value.value):
            start = key.start_mark.line
            gone |= set(range(start, _inner_end(lines, _last_line(value), value.start_mark.column) + 1))
        elif not value.flow_style:
            for item in value.value:
                if _private(item):
                    gone |= _item_lines(item, value.start_mark.column, lines)
    return gone


def _item_lines(item: yaml.Node, dash: int, lines: list[str]) -> set[int]:
    """The lines of one entry of a list, from the comments right over it to the last that is set in under it."""
    start: int = item.start_mark.line
    while start > 0 and lines[start][dash : dash + 1] != "-":
        start -= 1
    while start > 0 and lines[start - 1].lstrip().startswith("#"):
        start -= 1
    return set(range(start, _inner_end(lines, _last_line(item), dash) + 1))


def _inner_end(lines: list[str], last: int, column: int) -> int:
    """The last of the comment lines that follow and are set in deeper than `column`."""
    while last + 1 < len(lines):
        line = lines[last + 1]
        if not (line.lstrip().startswith("#") and len(line) - len(line.lstrip()) > column):
            break
        last += 1
    return last


def _last_line(node: yaml.Node) -> int:
    """The line on which a node's last letter stands; a block's own end mark is already at what follows it."""
    if isinstance(node, yaml.ScalarNode):
        end = node.end_mark
        return int(end.line if end.column > 0 or node.style not in ("|", ">") else end.line - 1)
    if not isinstance(node, yaml.CollectionNode) or node.flow_style or not node.value:
        return int(node.end_mark.line)
    tail = node.value[-1]
    return _last_line(tail[1] if isinstance(tail, tuple) else tail)


def _applied(lines: list[str], edits: Iterable[_Edit]) -> list[str]:
    """The lines with the edits made, last first; what an edit breaks in two still counts as one line."""
    changed = list(lines)
    for e in sorted(edits, key=lambda e: e.start, reverse=True):
        (first, a), (last, b) = e.start, e.end
        changed[first] = changed[first][:a] + e.text + changed[last][b:]
        for n in range(first + 1, last + 1):
            changed[n] = "\0"
    return [line for line in changed if line != "\0"] if "\0" in changed else changed
