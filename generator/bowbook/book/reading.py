"""A book's folder to records: every file read, every fault collected, nothing raised for bad input."""

from __future__ import annotations

import os
import stat
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import yaml

from bowbook.book import building, shapes, trees
from bowbook.book.composing import compose
from bowbook.book.crossing import check_compare, check_photos, check_stock
from bowbook.book.faults import Fault, Place
from bowbook.book.quantities import HasUnits
from bowbook.book.records import Book, Kite, Page, Settings, Units
from bowbook.book.source import LARGEST_BYTES, Source, front_matter, read_text
from bowbook.book.trade import check_kite, check_section
from bowbook.book.walking import Walk, is_empty, pairs, walk

KITES = "content/kites"
PAGES = "content/pages"


@dataclass(frozen=True, slots=True)
class KiteFile:
    """One kite's file as read on its own: its record (None where it has a fault or is hidden) and its faults."""

    key: str
    kite: Kite | None = None
    hidden: bool = False
    faults: tuple[Fault, ...] = ()


def read_book(root: Path | str) -> Book:
    """The whole book in a folder. Bad input never raises; everything wrong is in the book's faults, in file order."""
    base = Path(root)
    if not (base / "content").is_dir():
        what = "there is no folder content here, so this is no book yet"
        return Book(
            str(root), building.settings({}, {}), faults=(Fault(Place("content"), what, "Run: bowbook begin ."),)
        )
    faults: list[Fault] = []
    settings = _settings(base, faults)
    rods, rod_keys = _stock(base, "rods", trees.RODS, settings.units, faults)
    skins, skin_keys = _stock(base, "skins", trees.SKINS, settings.units, faults)
    files = [read_kite(data, name, settings.units) for name, data in _files(base, KITES, faults)]
    kites: dict[str, Kite] = {}
    for file in files:
        found = list(file.faults)
        if file.kite is not None:
            found += check_stock(file.kite, rod_keys, skin_keys) + check_photos(file.kite, base)
            if not found and not file.hidden:
                kites[file.key] = file.kite
        faults += found
    faults += check_compare(settings, {f.key: f.hidden for f in files})
    settings = replace(
        settings, compare=tuple(row for row in settings.compare if row and all(key in kites for key in row))
    )
    pages = {}
    for name, data in _files(base, PAGES, faults):
        page = read_page(data, name, faults)
        if page is not None:
            pages[page.key] = page
    return Book(
        str(root),
        settings,
        {key: building.rod(key, values) for key, values in rods.items()},
        {key: building.skin(key, values) for key, values in skins.items()},
        {key: kites[key] for key in sorted(kites)},
        pages,
        tuple(with_source(fault, base) for fault in faults),
    )


def with_source(fault: Fault, base: Path) -> Fault:
    """The fault with the text of its line, where a check after reading did not have it at hand."""
    if fault.source or not fault.place.line:
        return fault
    try:
        lines = read_text((base / fault.place.file).read_bytes(), fault.place.file).lines
    except OSError:
        return fault
    return replace(fault, source=lines[fault.place.line - 1]) if fault.place.line <= len(lines) else fault


def read_kite(data: bytes, file: str, units: HasUnits | None = None) -> KiteFile:
    """One kite's file, checked on its own: the same bytes, name and units give the same result.

    `file` is the path inside the book, such as content/kites/turnstone.md. A hidden kite comes back with `hidden`
    set, for the caller to leave out.
    """
    key = key_of(file)
    source = read_text(data, file)
    spot = None if source.faults else front_matter(source)
    if spot is None:
        return KiteFile(key, faults=tuple(source.faults))
    at, values = _walked(source, *spot, trees.KITE, units or Units())
    if values is None:
        return KiteFile(key, faults=tuple(source.faults))
    kite = building.kite(key, values, at.places, file)
    story_line, story = _story(source, spot[1])
    kite = replace(kite, story=story, story_line=story_line)
    check_kite(kite, values, at.units, lambda path, what, instead: source.fault(kite.place(path), what, instead))
    if source.faults:
        return KiteFile(key, faults=tuple(source.faults))
    return KiteFile(key, kite, bool(values.get("hidden")))


def read_page(data: bytes, file: str, faults: list[Fault]) -> Page | None:
    """A free page; its title is the front matter's, else its first heading, else its file's name."""
    source = read_text(data, file)
    key = key_of(file)
    title, line, story = "", 1, "\n".join(source.lines)
    if not source.faults and source.lines[0].rstrip() == "---":
        spot = front_matter(source)
        if spot is not None:
            _, values = _walked(source, *spot, _PAGE, Units())
            title = (values or {}).get("title", "")
            line, story = _story(source, spot[1])
    faults += source.faults
    if source.faults:
        return None
    heading = next((text[2:].strip(" #") for text in story.split("\n") if text.startswith("# ")), "")
    return Page(key, title or heading or key, story, line, file)


_PAGE = shapes.Record({"title": shapes.Key(shapes.Text(200), "Title of the page.", "How to measure")})


def key_of(file: str) -> str:
    """The key of a kite or a page: its file's name without .md, letters composed."""
    return unicodedata.normalize("NFC", file.rpartition("/")[2].removesuffix(".md"))


def _walked(source: Source, first: int, last: int, shape: shapes.Shape, units: HasUnits) -> tuple[Walk, Any]:
    """The walk and its value for some lines of a file; None where nothing could be read."""
    at = Walk(source, units, first)
    node = compose(source, first, last)
    if node is None or is_empty(node):
        if source.faults:
            return at, None
        node = yaml.MappingNode("tag:yaml.org,2002:map", [], *_nowhere())
    value = walk(node, shape, at)
    return at, value if isinstance(value, dict) else None


def _nowhere() -> tuple[yaml.Mark, yaml.Mark]:
    mark = yaml.Mark("", 0, 0, 0, None, None)
    return mark, mark


def _story(source: Source, close: int) -> tuple[int, str]:
    """The line the story starts on (from 1) and its Markdown."""
    lines = source.lines[close + 1 :]
    blank = 0
    while blank < len(lines) and not lines[blank].strip():
        blank += 1
    story = "\n".join(lines[blank:]).rstrip()
    return (close + 2 + blank if story else 0), story


def _settings(base: Path, faults: list[Fault]) -> Settings:
    source, node, _ = _yaml_file(base, "content/book.yaml", faults)
    if source is None or node is None:
        return building.settings({}, {})
    units = Units()
    scout = Walk(Source(source.file, source.lines), units, 0)
    if isinstance(node, yaml.MappingNode):
        for name, _, value in pairs(node, scout):
            if name == "units" and not is_empty(value):
                found = walk(value, trees.BOOK.keys["units"].shape, scout)
                units = Units(**found) if isinstance(found, dict) else units
    at = Walk(source, units, 0)
    values = walk(node, trees.BOOK, at)
    settings = building.settings(values if isinstance(values, dict) else {}, at.places)
    seen: dict[str, str] = {}
    for i, band in enumerate(settings.bands):
        where = at.places.get(f"bands.{i}", Place(source.file, 1))
        if not band.key or band.key in seen:
            source.fault(where, f"the band {band.name} has no name of its own", "Give every band another name.")
        elif not band.low_m_s < band.high_m_s:
            source.fault(
                where, f"the band {band.name} has no width", "Write its winds as two figures, such as 4-7 mph."
            )
        seen[band.key] = band.name
    faults += source.faults
    return settings


def _stock(
    base: Path, name: str, shape: shapes.Table, units: HasUnits, faults: list[Fault]
) -> tuple[Mapping[str, Any], frozenset[str]]:
    """The stock's good entries by key, and all keys that stand there, faulty ones too."""
    source, node, _ = _yaml_file(base, f"content/stock/{name}.yaml", faults)
    if source is None or node is None:
        return {}, frozenset()
    at = Walk(source, units, 0)
    entries = walk(node, shape, at)
    if not isinstance(entries, dict):
        faults += source.faults
        return {}, frozenset()
    good = {key: values for key, values in entries.items() if isinstance(values, dict)}
    for key, values in good.items():
        where = at.places.get(key, Place(source.file, 1))
        check_section(
            values, key, units, lambda path, what, instead, w=where: source.fault(at.places.get(path, w), what, instead)
        )
    faults += source.faults
    return good, frozenset(entries)


def _yaml_file(base: Path, name: str, faults: list[Fault]) -> tuple[Source | None, yaml.Node | None, None]:
    """A YAML file of the book as a node; nothing, and no fault, where there is none or it is empty."""
    if not os.path.lexists(base / name):
        return None, None, None
    data = _bytes(base, name, faults)
    if data is None:
        return None, None, None
    source = read_text(data, name)
    if not source.faults:
        node = compose(source, 0, len(source.lines))
        if node is not None and not is_empty(node):
            return source, node, None
    faults += source.faults
    return None, None, None


def _files(base: Path, folder: str, faults: list[Fault]) -> list[tuple[str, bytes]]:
    """The Markdown files of a folder with what they hold, by name; what cannot be used is a fault."""
    try:
        names = sorted(entry.name for entry in os.scandir(base / folder))
    except FileNotFoundError:
        return []
    except OSError as error:
        faults.append(Fault(Place(folder), f"the folder cannot be read: {error.strerror}", "Look at who may read it."))
        return []
    found = []
    seen: dict[str, str] = {}
    for name in names:
        path = f"{folder}/{name}"
        if name.startswith(".") or not name.lower().endswith((".md", ".markdown")):
            continue
        fault = _name_fault(name, path, seen)
        if fault is not None:
            faults.append(fault)
            continue
        data = _bytes(base, path, faults)
        if data is not None:
            found.append((path, data))
    return found


_RESERVED = {"con", "prn", "aux", "nul", *(f"com{i}" for i in range(1, 10)), *(f"lpt{i}" for i in range(1, 10))}


def _name_fault(name: str, path: str, seen: dict[str, str]) -> Fault | None:
    """What is wrong with a file's name, if anything: it becomes an address, so no two may be alike."""
    stem, dot, suffix = name.rpartition(".")
    path = path.encode("utf-8", "replace").decode()
    if suffix != "md":
        return Fault(Place(path), f"the name ends in .{suffix}, so the file is not read", "Rename it to end in .md.")
    key = unicodedata.normalize("NFC", stem)
    wanted = building.slug(key.encode("utf-8", "replace").decode())
    good = bool(wanted) and len(key) <= 100 and all(c in "-_." or c.isalnum() or unicodedata.combining(c) for c in key)
    if not good or not key[0].isalnum() or key.endswith(".") or key.lower() in _RESERVED:
        instead = wanted[:100].strip("-") if wanted and wanted not in _RESERVED else "a-short-name"
        return Fault(
            Place(path), "this file name cannot become an address of the site", f"Rename it to {instead}{dot}md."
        )
    same = unicodedata.normalize("NFKC", key).casefold()
    if same in seen:
        what = f"its name is too much like {seen[same]}: on many machines both would be one file"
        return Fault(Place(path), what, "Rename one of them.")
    seen[same] = name
    return None


def _bytes(base: Path, name: str, faults: list[Fault]) -> bytes | None:
    """What a plain file inside the book holds, or None with a fault."""
    path = base / name
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            faults.append(
                Fault(Place(name), "this is a folder, not a file", "Rename the folder; photos go in one without .md.")
            )
            return None
        if not stat.S_ISREG(mode):
            faults.append(Fault(Place(name), "this is not a plain file", "Put a text file in its place."))
            return None
        if os.path.realpath(path) != os.path.join(os.path.realpath(base), *name.split("/")):
            inside = os.path.realpath(base / "content") + os.sep
            if not os.path.realpath(path).startswith(inside):
                faults.append(
                    Fault(Place(name), "this is a link that leads out of the book", "Copy the file itself here.")
                )
                return None
        with path.open("rb") as file:
            return (
                file.read(LARGEST_BYTES + 1)
                if path.stat().st_size <= LARGEST_BYTES * 100
                else b"\0" * (LARGEST_BYTES + 1)
            )
    except OSError as error:
        faults.append(
            Fault(
                Place(name),
                f"the file cannot be read: {error.strerror or error}",
                "Look at who may read it, and whether it is still there.",
            )
        )
        return None
