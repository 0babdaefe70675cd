"""A book's folder to records: every file read, every fault collected, nothing raised for bad input."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import yaml

from bowbook.book import building, shapes, trees
from bowbook.book.asked import WhenAsked, at_hand
from bowbook.book.composing import compose
from bowbook.book.crossing import check_compare, check_photos, check_stock
from bowbook.book.faults import Fault, Place
from bowbook.book.folder import key_of, markdown_files, read_bytes
from bowbook.book.kitefile import KiteFile, read_kite, read_page
from bowbook.book.quantities import HasUnits
from bowbook.book.quick import dataclass
from bowbook.book.records import Book, Kite, Settings, Units
from bowbook.book.source import Source, read_text
from bowbook.book.trade import Say, check_section
from bowbook.book.walking import Walk, is_empty, pairs, walk

__all__ = ["Before", "KiteFile", "read_book", "read_kite", "read_page"]

KITES = "content/kites"
PAGES = "content/pages"


@dataclass(frozen=True, slots=True)
class Before:
    """A kite's file that was read before and found without fault, beside the settings and stock of today."""

    hidden: bool
    load: Callable[[], Kite]


def read_book(root: Path | str, known: Mapping[str, Before] | None = None) -> Book:
    """The whole book in a folder. Bad input never raises; everything wrong is in the book's faults, in file order.

    `known` are the kite files, by name, that are surely as they were when they were read before: they are not read
    again, and their kites are fetched only when somebody asks for them.
    """
    base = Path(root)
    if not (base / "content").is_dir():
        what = "there is no folder content here, so this is no book yet"
        fault = Fault(Place("content"), what, "Run bowbook begin to make one.")
        return Book(str(root), building.settings({}, {}), faults=(fault,))
    faults: list[Fault] = []
    settings = _settings(base, faults)
    rods, rod_keys = _stock(base, "rods", trees.RODS, settings.units, faults)
    skins, skin_keys = _stock(base, "skins", trees.SKINS, settings.units, faults)
    before = known or {}
    files: dict[str, KiteFile | Before] = {}
    for name in markdown_files(base, KITES, faults):
        if name in before:
            files[key_of(name)] = before[name]
        elif (data := read_bytes(base, name, faults)) is not None:
            files[key_of(name)] = read_kite(data, name, settings.units)
    kites = _assembled(files, base, rod_keys, skin_keys, faults)
    faults += check_compare(settings, {key: file.hidden for key, file in files.items()})
    pages = [
        read_page(data, name, faults)
        for name in markdown_files(base, PAGES, faults)
        if (data := read_bytes(base, name, faults)) is not None
    ]
    return Book(
        str(root),
        replace(settings, compare=tuple(row for row in settings.compare if all(key in kites for key in row))),
        {key: building.rod(key, values) for key, values in rods.items()},
        {key: building.skin(key, values) for key, values in skins.items()},
        kites,
        {page.key: page for page in pages if page is not None},
        _in_order([_with_source(fault, base) for fault in faults]),
    )


def _assembled(
    files: Mapping[str, KiteFile | Before],
    base: Path,
    rods: Collection[str],
    skins: Collection[str],
    faults: list[Fault],
) -> Mapping[str, Kite]:
    """The kites that are whole and not hidden, by key; every fault of a kite goes to `faults`."""
    kites: dict[str, Callable[[], Kite]] = {}
    for key, file in files.items():
        if isinstance(file, Before):
            if not file.hidden:
                kites[key] = file.load
            continue
        found = list(file.faults)
        if file.kite is not None:
            found += check_stock(file.kite, rods, skins) + check_photos(file.kite, base)
            if not found and not file.hidden:
                kites[key] = at_hand(file.kite)
        faults += found
    return WhenAsked({key: kites[key] for key in sorted(kites)})


def _in_order(faults: Sequence[Fault]) -> tuple[Fault, ...]:
    """The faults file by file, as the files were read, each from its top down."""
    files = {file: i for i, file in enumerate(dict.fromkeys(fault.place.file for fault in faults))}
    return tuple(sorted(faults, key=lambda fault: (files[fault.place.file], fault.place.line, fault.place.column)))


def _with_source(fault: Fault, base: Path) -> Fault:
    """The fault with the text of its line, where a check after reading did not have it at hand."""
    if fault.source or not fault.place.line:
        return fault
    try:
        lines = read_text((base / fault.place.file).read_bytes(), fault.place.file).lines
    except OSError:
        return fault
    return replace(fault, source=lines[fault.place.line - 1]) if fault.place.line <= len(lines) else fault


def _settings(base: Path, faults: list[Fault]) -> Settings:
    source, node = _yaml_file(base, "content/book.yaml", faults)
    if source is None or node is None:
        return building.settings({}, {})
    units = _units(source, node)
    at = Walk(source, units, 0)
    values = walk(node, trees.BOOK, at)
    settings = building.settings(values if isinstance(values, dict) else {}, at.places)
    keys: set[str] = set()
    for i, band in enumerate(settings.bands):
        where = at.places.get(f"bands.{i}", Place(source.file, 1))
        if not band.key or band.key in keys:
            source.fault(where, f"the band {band.name[:60]} has no name of its own", "Give every band another name.")
        elif not band.low_m_s < band.high_m_s:
            source.fault(where, f"the band {band.name[:60]} has no width", "Write its winds as 4-7 mph.")
        keys.add(band.key)
    faults += source.faults
    return settings


def _units(source: Source, node: yaml.Node) -> Units:
    """The book's units, read before everything that is written in them; faults are noted in the main walk."""
    scout = Walk(Source(source.file, source.lines), Units(), 0)
    if isinstance(node, yaml.MappingNode):
        for name, _, value in pairs(node, scout):
            if name == "units" and not is_empty(value):
                found = walk(value, trees.BOOK.keys["units"].shape, scout)
                return Units(**found) if isinstance(found, dict) else Units()
    return Units()


def _stock(
    base: Path, name: str, shape: shapes.Table, units: HasUnits, faults: list[Fault]
) -> tuple[Mapping[str, Any], frozenset[str]]:
    """The stock's good entries by key, and all keys that stand there, faulty ones too."""
    source, node = _yaml_file(base, f"content/stock/{name}.yaml", faults)
    if source is None or node is None:
        return {}, frozenset()
    at = Walk(source, units, 0)
    entries = walk(node, shape, at)
    good = {}
    if isinstance(entries, dict):
        good = {key: values for key, values in entries.items() if isinstance(values, dict)}
    for key, values in good.items():
        check_section(values, key, units, _sayer(at, key))
    faults += source.faults
    return good, frozenset(entries if isinstance(entries, dict) else ())


def _sayer(at: Walk, key: str) -> Say:
    """Notes a fault at a path of the file, else at the entry `key`."""

    def say(path: str, what: str, instead: str) -> None:
        where = at.places.get(path) or at.places.get(key) or Place(at.source.file, 1)
        at.source.fault(where, what, instead)

    return say


def _yaml_file(base: Path, name: str, faults: list[Fault]) -> tuple[Source | None, yaml.Node | None]:
    """A YAML file of the book as a node; nothing, and no fault, where there is none or it is empty."""
    if not os.path.lexists(base / name):
        return None, None
    data = read_bytes(base, name, faults)
    if data is None:
        return None, None
    source = read_text(data, name)
    if not source.faults:
        node = compose(source, 0, len(source.lines))
        if node is not None and not is_empty(node):
            return source, node
    faults += source.faults
    return None, None
