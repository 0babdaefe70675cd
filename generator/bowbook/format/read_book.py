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

from bowbook.book.lazy_mapping import LazyMapping
from bowbook.book.problems import Location, Places, Problem
from bowbook.book.quantities import HasUnits
from bowbook.book.records import Book, Kite, Page, Rod, Settings, Skin, Strip, Units
from bowbook.format import book_schema, build_records, fields
from bowbook.format.build_records import records_in
from bowbook.format.checks import Say, check_round, check_section
from bowbook.format.cross_checks import check_compare, check_photos, check_stock, nearest_stock, with_decoration
from bowbook.format.folder import key_of, markdown_files, read_bytes
from bowbook.format.kite_file import KiteFile, read_kite, read_page
from bowbook.format.source_file import LARGEST_BYTES, Source, read_text
from bowbook.format.stock_file import STRIPS, read_strips
from bowbook.format.validate import pairs, walk
from bowbook.format.validate_values import Walk, is_empty
from bowbook.format.yaml_nodes import compose
from bowbook.storage.regular import read_plain

StockCheck = Callable[[str, Mapping[str, Any], HasUnits, Say], None]
KITES = "content/kites"
PAGES = "content/pages"


class BookFrame(Struct, frozen=True):
    """All of a book but its kites: settings, stock and free pages as read, and the names of the kites' files.

    `rod_keys` and `skin_keys` are all that stand in the stock, entries with problems too. `problems` are those of
    settings, stock and file names, `page_problems` those of free pages; `settings_at` says where settings stand.
    """

    settings: Settings
    settings_at: Places
    rods: Mapping[str, Rod]
    skins: Mapping[str, Skin]
    rod_keys: frozenset[str]
    skin_keys: frozenset[str]
    strips: Mapping[str, Strip]
    pages: Mapping[str, Page]
    kites: tuple[str, ...]
    problems: tuple[Problem, ...]
    page_problems: tuple[Problem, ...]


class KiteEntry(Struct, frozen=True):
    """One kite's file in its book: whether it is hidden, every problem with it, and how to have its record.

    `draft` is what could be read of a kite with a problem.
    """

    hidden: bool
    problems: tuple[Problem, ...]
    kite: Callable[[], Kite]
    draft: Kite | None = None


def read_book(root: Path | str, also: Callable[[Kite], bool] = lambda _: False) -> Book:
    """The whole book in a folder. Bad input never raises; everything wrong is in the book's problems, in file order.

    `also` says which hidden kites to include.
    """
    base = Path(root)
    if not (base / "content").is_dir():
        what = "there is no folder content here, so this is no book yet"
        problem = Problem(Location("content"), what, "Run bowbook begin to make one.")
        return Book(str(root), build_records.settings({}), problems=(problem,))
    frame = read_frame(base)
    problems: list[Problem] = []
    entries = {}
    for name in frame.kites:
        if (data := read_bytes(base, name, problems)) is not None:
            read = read_decorated(data, name, frame.settings.units, frame.settings.places, base)
            found = kite_problems(read, read.places, base, frame)
            hidden = read.hidden and not (read.kite is not None and also(read.kite))
            entries[key_of(name)] = KiteEntry(hidden, found, partial(_record, read), read.legible)
    return assemble(base, frame, entries, problems)


def read_frame(base: Path) -> BookFrame:
    """All of the book in this folder but its kites."""
    problems: list[Problem] = []
    settings, set_at = _settings(base, problems)
    rods, rod_keys = _stock(base, "rods", book_schema.RODS, settings.units, problems, _check_rod)
    skins, skin_keys = _stock(base, "skins", book_schema.SKINS, settings.units, problems, _check_rod)
    check_strip = partial(_check_strip, rods=rod_keys)
    strips, _ = _stock(base, "strips", book_schema.STRIPS, settings.units, problems, check_strip)
    kites = tuple(markdown_files(base, KITES, problems))
    page_problems: list[Problem] = []
    pages = [
        read_page(data, name, page_problems)
        for name in markdown_files(base, PAGES, page_problems)
        if (data := read_bytes(base, name, page_problems)) is not None
    ]
    return BookFrame(
        settings=settings,
        settings_at=set_at,
        rods={key: build_records.rod(key, values) for key, values in rods.items()},
        skins={key: build_records.skin(key, values) for key, values in skins.items()},
        rod_keys=rod_keys,
        skin_keys=skin_keys,
        strips={key: build_records.strip(key, values) for key, values in strips.items()},
        pages={page.key: page for page in pages if page is not None},
        kites=kites,
        problems=tuple(problems),
        page_problems=tuple(page_problems),
    )


def read_decorated(data: bytes, name: str, units: HasUnits, show_places: bool, base: Path) -> KiteFile:
    """One kite's file as `read_kite` reads it, with the drawing that its sail names in the book at `base`.

    Where its flights were stays in it only with `show_places`.
    """
    read = read_kite(data, name, units)
    if read.legible is None:
        return read
    kite, wrong = with_decoration(read.legible, read.places, base)
    if read.kite is None:
        return replace(read, problems=(*read.problems, *wrong))
    if not show_places and any(flight.place is not None for flight in kite.flights):
        kite = replace(kite, flights=tuple(replace(flight, place=None) for flight in kite.flights))
    return replace(read, kite=kite, problems=(*read.problems, *wrong))


def kite_problems(read: KiteFile, places: Places, base: Path, frame: BookFrame) -> tuple[Problem, ...]:
    """Every problem of a kite: its file's own, stock that is not there, photos that are not there."""
    kite = read.legible
    if kite is None:
        return read.problems
    found = [*read.problems, *check_stock(kite, places, frame.rod_keys, frame.skin_keys)]
    return tuple(found + check_photos(kite, places, base))


def assemble(base: Path, frame: BookFrame, entries: Mapping[str, KiteEntry], unread: Sequence[Problem]) -> Book:
    """The book with its kites, those that are whole and not hidden; `unread` are problems of files that gave none."""
    shown = sorted(key for key, entry in entries.items() if not entry.problems and not entry.hidden)
    compared = check_compare(frame.settings, frame.settings_at, {key: entry.hidden for key, entry in entries.items()})
    of_kites = [problem for entry in entries.values() for problem in entry.problems]
    problems = [*frame.problems, *unread, *of_kites, *compared, *frame.page_problems]
    there = set(shown)
    shown_together = tuple(dict.fromkeys(row for row in frame.settings.compare if there.issuperset(row)))
    return Book(
        str(base),
        replace(frame.settings, compare=shown_together),
        frame.rods,
        frame.skins,
        LazyMapping({key: entries[key].kite for key in shown}),
        frame.pages,
        LazyMapping(_places(base, shown, frame)),
        _in_order([with_source(problem, base) for problem in problems]),
        frame.strips,
        tuple(entry.draft for entry in entries.values() if entry.problems and entry.draft is not None),
    )


def _places(base: Path, kites: Sequence[str], frame: BookFrame) -> dict[str, Callable[[], Places]]:
    """Where the values of each kite stand, and under the name of their file those of the loose strips."""
    units = frame.settings.units
    found: dict[str, Callable[[], Places]] = {
        key: partial(places_again, base, f"{KITES}/{key}.md", units) for key in kites
    }
    if frame.strips:
        found[STRIPS] = partial(places_again, base, STRIPS, units)
    return found


def _record(read: KiteFile) -> Kite:
    assert read.kite is not None
    return read.kite


def places_again(base: Path, file: str, units: HasUnits) -> Places:
    """Where the values of a kite, or of the loose strips, stand in the file as it is now: asked for a later problem."""
    data = read_bytes(base, file, [])
    if data is None:
        return {}
    return read_strips(data, units).places if file == STRIPS else read_kite(data, file, units).places


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


def with_source(problem: Problem, base: Path) -> Problem:
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
    values = walk(node, book_schema.BOOK, at)
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
                found = walk(value, book_schema.BOOK.keys["units"].shape, scout)
                return Units(**found) if isinstance(found, dict) else Units()
    return Units()


def _stock(
    base: Path, name: str, shape: fields.Table, units: HasUnits, problems: list[Problem], check: StockCheck
) -> tuple[Mapping[str, Any], frozenset[str]]:
    """The stock's good entries by key, and all keys that stand there, problemy ones too."""
    source, node = _yaml_file(base, f"content/stock/{name}.yaml", problems)
    return _stock_in(source, node, shape, units, problems, check)


def stock_problems(data: bytes, name: str, units: HasUnits) -> list[Problem]:
    """What is wrong in a stock file of this text, `name` being rods or skins."""
    problems: list[Problem] = []
    source, node = _yaml_text(data, f"content/stock/{name}.yaml", problems)
    shape = {"rods": book_schema.RODS, "skins": book_schema.SKINS}[name]
    _stock_in(source, node, shape, units, problems, _check_rod)
    return problems


def _stock_in(
    source: Source | None,
    node: yaml.Node | None,
    shape: fields.Table,
    units: HasUnits,
    problems: list[Problem],
    check: StockCheck,
) -> tuple[Mapping[str, Any], frozenset[str]]:
    if source is None or node is None:
        return {}, frozenset()
    at = Walk(source, units, 0)
    entries = walk(node, shape, at)
    good = {}
    if isinstance(entries, dict):
        good = {key: values for key, values in entries.items() if isinstance(values, dict)}
    for key, values in list(good.items()):
        before = len(source.problems)
        check(key, values, units, _sayer(at, key))
        if len(source.problems) > before:
            del good[key]  # commands go on with the rest of the book: nothing may be computed from it
    problems += source.problems
    return good, frozenset(entries if isinstance(entries, dict) else ())


def _check_rod(key: str, values: Mapping[str, Any], units: HasUnits, say: Say) -> None:
    check_section(values, key, units, say)


def _check_strip(key: str, values: Mapping[str, Any], units: HasUnits, say: Say, rods: Collection[str]) -> None:
    rod = values.get("rod")
    if rod is not None and rod not in rods:
        say(f"{key}.rod", f"the rod {rod[:60]} is not in stock", nearest_stock(rod, rods, "content/stock/rods.yaml"))
    rounds = records_in(values.get("bench", ()))
    for i, (one, found) in enumerate(zip(build_records.strip(key, values).bench, rounds, strict=True)):
        check_round(one, found, f"{key}.bench.{i}", values.get("length"), units, say)


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
