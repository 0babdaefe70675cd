"""A book's folder to records: every file read, every problem collected, nothing raised for bad input."""

from __future__ import annotations

import os
from collections.abc import Callable, Collection, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import yaml
from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.lazy_mapping import LazyMapping, at_hand
from bowbook.book.problems import Location, Places, Problem
from bowbook.book.quantities import HasUnits
from bowbook.book.records import Book, Kite, Settings, Units
from bowbook.format import build_records, fields, schema
from bowbook.format.checks import Say, check_section
from bowbook.format.cross_checks import check_compare, check_photos, check_stock
from bowbook.format.folder import key_of, markdown_files, read_bytes
from bowbook.format.kite_file import KiteFile, read_kite, read_page
from bowbook.format.source_file import LARGEST_BYTES, Source, read_text
from bowbook.format.validate import Walk, is_empty, pairs, walk
from bowbook.format.yaml_nodes import compose
from bowbook.storage.regular import read_plain

__all__ = ["Before", "KiteFile", "read_book", "read_kite", "read_page"]

KITES = "content/kites"
PAGES = "content/pages"


class Before(Struct, frozen=True):
    """A kite's file that was read before and found without problem, beside the settings and stock of today."""

    hidden: bool
    load: Callable[[], Kite]


def read_book(root: Path | str, known: Mapping[str, Before] | None = None) -> Book:
    """The whole book in a folder. Bad input never raises; everything wrong is in the book's problems, in file order.

    `known` are the kite files, by name, that are surely as they were when they were read before: they are not read
    again, and their kites are fetched only when somebody asks for them.
    """
    base = Path(root)
    if not (base / "content").is_dir():
        what = "there is no folder content here, so this is no book yet"
        problem = Problem(Location("content"), what, "Run bowbook begin to make one.")
        return Book(str(root), build_records.settings({}), problems=(problem,))
    problems: list[Problem] = []
    settings, set_at = _settings(base, problems)
    rods, rod_keys = _stock(base, "rods", schema.RODS, settings.units, problems)
    skins, skin_keys = _stock(base, "skins", schema.SKINS, settings.units, problems)
    before = known or {}
    files: dict[str, KiteFile | Before] = {}
    for name in markdown_files(base, KITES, problems):
        if name in before:
            files[key_of(name)] = before[name]
        elif (data := read_bytes(base, name, problems)) is not None:
            files[key_of(name)] = read_kite(data, name, settings.units)
    kites = _assembled(files, base, rod_keys, skin_keys, problems)
    problems += check_compare(settings, set_at, {key: file.hidden for key, file in files.items()})
    pages = [
        read_page(data, name, problems)
        for name in markdown_files(base, PAGES, problems)
        if (data := read_bytes(base, name, problems)) is not None
    ]
    compared = tuple(dict.fromkeys(row for row in settings.compare if all(key in kites for key in row)))
    return Book(
        str(root),
        replace(settings, compare=compared),
        {key: build_records.rod(key, values) for key, values in rods.items()},
        {key: build_records.skin(key, values) for key, values in skins.items()},
        kites,
        {page.key: page for page in pages if page is not None},
        LazyMapping({key: partial(_places_again, base, f"{KITES}/{key}.md", settings.units) for key in kites}),
        _in_order([_with_source(problem, base) for problem in problems]),
    )


def _assembled(
    files: Mapping[str, KiteFile | Before],
    base: Path,
    rods: Collection[str],
    skins: Collection[str],
    problems: list[Problem],
) -> Mapping[str, Kite]:
    """The kites that are whole and not hidden, by key; every problem of a kite goes to `problems`."""
    kites: dict[str, Callable[[], Kite]] = {}
    for key, file in files.items():
        if isinstance(file, Before):
            if not file.hidden:
                kites[key] = file.load
            continue
        found = list(file.problems)
        if file.kite is not None:
            found += check_stock(file.kite, file.places, rods, skins)
            found += check_photos(file.kite, file.places, base)
            if not found and not file.hidden:
                kites[key] = at_hand(file.kite)
        problems += found
    return LazyMapping({key: kites[key] for key in sorted(kites)})


def _places_again(base: Path, file: str, units: HasUnits) -> Places:
    """Where a kite's values stand, from its file as it is now: only a problem that is found later asks for it."""
    data = read_bytes(base, file, [])
    return {} if data is None else read_kite(data, file, units).places


def read_settings(root: Path) -> Settings:
    """What content/book.yaml says, as far as it can be read."""
    return _settings(root, [])[0]


def _in_order(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems file by file, as the files were read, each from its top down."""
    files = {file: i for i, file in enumerate(dict.fromkeys(problem.location.file for problem in problems))}
    return tuple(
        sorted(
            problems, key=lambda problem: (files[problem.location.file], problem.location.line, problem.location.column)
        )
    )


def _with_source(problem: Problem, base: Path) -> Problem:
    """The problem with the text of its line, where a check after reading did not have it at hand."""
    if problem.source or not problem.location.line:
        return problem
    try:
        lines = read_text(read_plain(base / problem.location.file, LARGEST_BYTES), problem.location.file).lines
    except OSError:
        return problem
    return replace(problem, source=lines[problem.location.line - 1]) if problem.location.line <= len(lines) else problem


def _settings(base: Path, problems: list[Problem]) -> tuple[Settings, Places]:
    """The settings of the book, and where they stand in their file."""
    source, node = _yaml_file(base, "content/book.yaml", problems)
    if source is None or node is None:
        return build_records.settings({}), {}
    units = _units(source, node)
    at = Walk(source, units, 0)
    values = walk(node, schema.BOOK, at)
    settings = build_records.settings(values if isinstance(values, dict) else {})
    keys: set[str] = set()
    for i, band in enumerate(settings.bands):
        where = at.places.get(f"bands.{i}", Location(source.file, 1))
        if not band.key or band.key in keys:
            source.problem(where, f"the band {band.name[:60]} has no name of its own", "Give every band another name.")
        elif not band.low_m_s < band.high_m_s:
            source.problem(where, f"the band {band.name[:60]} has no width", "Write its winds as 4-7 mph.")
        keys.add(band.key)
    problems += source.problems
    return settings, at.places


def _units(source: Source, node: yaml.Node) -> Units:
    """The book's units, read before everything that is written in them; problems are noted in the main walk."""
    scout = Walk(Source(source.file, source.lines), Units(), 0)
    if isinstance(node, yaml.MappingNode):
        for name, _, value in pairs(node, scout):
            if name == "units" and not is_empty(value):
                found = walk(value, schema.BOOK.keys["units"].shape, scout)
                return Units(**found) if isinstance(found, dict) else Units()
    return Units()


def _stock(
    base: Path, name: str, shape: fields.Table, units: HasUnits, problems: list[Problem]
) -> tuple[Mapping[str, Any], frozenset[str]]:
    """The stock's good entries by key, and all keys that stand there, problemy ones too."""
    source, node = _yaml_file(base, f"content/stock/{name}.yaml", problems)
    return _stock_in(source, node, shape, units, problems)


def stock_problems(data: bytes, name: str, units: HasUnits) -> list[Problem]:
    """What is wrong in a stock file of this text, `name` being rods or skins."""
    problems: list[Problem] = []
    source, node = _yaml_text(data, f"content/stock/{name}.yaml", problems)
    _stock_in(source, node, {"rods": schema.RODS, "skins": schema.SKINS}[name], units, problems)
    return problems


def _stock_in(
    source: Source | None, node: yaml.Node | None, shape: fields.Table, units: HasUnits, problems: list[Problem]
) -> tuple[Mapping[str, Any], frozenset[str]]:
    if source is None or node is None:
        return {}, frozenset()
    at = Walk(source, units, 0)
    entries = walk(node, shape, at)
    good = {}
    if isinstance(entries, dict):
        good = {key: values for key, values in entries.items() if isinstance(values, dict)}
    for key, values in good.items():
        check_section(values, key, units, _sayer(at, key))
    problems += source.problems
    return good, frozenset(entries if isinstance(entries, dict) else ())


def _sayer(at: Walk, key: str) -> Say:
    """Notes a problem at a path of the file, else at the entry `key`."""

    def say(path: str, what: str, instead: str) -> None:
        where = at.places.get(path) or at.places.get(key) or Location(at.source.file, 1)
        at.source.problem(where, what, instead)

    return say


def _yaml_file(base: Path, name: str, problems: list[Problem]) -> tuple[Source | None, yaml.Node | None]:
    """A YAML file of the book as a node; nothing, and no problem, where there is none or it is empty."""
    if not os.path.lexists(base / name):
        return None, None
    data = read_bytes(base, name, problems)
    return (None, None) if data is None else _yaml_text(data, name, problems)


def _yaml_text(data: bytes, name: str, problems: list[Problem]) -> tuple[Source | None, yaml.Node | None]:
    source = read_text(data, name)
    if not source.problems:
        node = compose(source, 0, len(source.lines))
        if node is not None and not is_empty(node):
            return source, node
    problems += source.problems
    return None, None
