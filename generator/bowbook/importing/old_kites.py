"""Rows of old records made into kites, with a word on whatever could not be taken over."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from msgspec.structs import replace

from bowbook.book.quantities import QuantityError, split_quantity
from bowbook.book.records import STAGES, Book, Bow, Covered, Flight, Kite, Press, Round, Spine, Wind
from bowbook.book.sail import Sail
from bowbook.book.units import from_unit, parse_quantity, parse_wind, unit_of
from bowbook.format.folder import key_for
from bowbook.importing.old_records import KINDS, Column, OldTable

_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ].*)?$")
_DAY_FIRST = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})$")
_EITHER = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})$")
_MANY = re.compile(r"\s*[;/|]\s*|\s*,\s+|\s+(?=\d)")


@dataclass(slots=True)
class Taken:
    """What a table came to: kites by key, and sentences by row number on what was left out or kept as words."""

    kites: dict[str, Kite] = field(default_factory=dict)
    said: list[tuple[int, str]] = field(default_factory=list)


_NO_LINK = re.compile(r"(?<=\])(?=[(\[:])|(?<=<)(?=[a-z]+:)")  # what would make a link of words that are none


@dataclass(slots=True)
class _Row:
    """One row being read: its values by field, and what is to be said of it."""

    number: int
    values: dict[str, list[tuple[Column, str]]]
    book: Book
    order: str  # of dates such as 5/3/2024: "day", "month", or "" where nobody can say
    taken: Taken
    kept: list[str] = field(default_factory=list)

    def text(self, name: str) -> str:
        """The first value of a field; "" where there is none."""
        return next((text for _, text in self.values.get(name, ())), "")

    def say(self, sentence: str) -> None:
        """Add a sentence on this row."""
        self.taken.said.append((self.number, sentence))

    def keep(self, name: str) -> None:
        """Keep a field's values as words in the kite's story, so that nothing is lost."""
        self.kept += [f"{column.heading}: {text}" for column, text in self.values.get(name, ())]

    def quantity(self, name: str) -> float | None:
        """A quantity in SI, or None with its words kept."""
        for column, text in self.values.get(name, ()):
            try:
                return _quantity(text, column, self.book)
            except QuantityError as wrong:
                self.say(f"{column.heading}: {wrong.message}; kept as words.")
                self.keep(name)
        return None

    def press(self, name: str) -> Press | None:
        """All readings under one field: of several columns, or several in a cell."""
        found: list[float] = []
        for column, text in self.values.get(name, ()):
            unit = text.split()[-1] if re.search(r"\d\s+[A-Za-z]+$", text) else ""
            parts = [p for p in _MANY.split(text.removesuffix(unit).strip()) if p]
            try:
                found += [
                    _quantity(part if part[-1:].isalpha() else f"{part} {unit}".strip(), column, self.book)
                    for part in parts
                ]
            except QuantityError as wrong:
                self.say(f"{column.heading}: {wrong.message}; kept as words.")
                self.keep(name)
                return None
        return Press(tuple(found)) if found else None

    def date(self, name: str) -> str | None:
        """A day as 2024-05-03, or None with its words kept."""
        text = self.text(name)
        if not text:
            return None
        day = _date(text, self.order)
        if day is None:
            self.say(f"{text} may be one day or another; kept as words. Write days as 2024-05-03.")
            self.keep(name)
        return day

    def wind(self, name: str) -> Wind | None:
        """A wind from one cell, or from its two edges."""
        pairs = self.values.get(name) or []
        low, high = self.quantity(f"{name}.low"), self.quantity(f"{name}.high")
        if low is not None or high is not None:
            edges = sorted(v for v in (low, high) if v is not None)
            return Wind(edges[0], edges[-1])
        for column, text in pairs:
            try:
                bare = re.fullmatch(r"[\d.\s–-]+", text)
                return Wind(
                    *parse_wind(f"{text} {column.unit}" if bare and column.unit else text, self.book.settings.units)
                )
            except QuantityError as wrong:
                self.say(f"{column.heading}: {wrong.message}; kept as words.")
                self.keep(name)
        return None

    def stock(self, name: str, known: tuple[str, ...]) -> str | None:
        """A key of stock, met whatever its blanks and hyphens; None with its words kept."""
        text = self.text(name)
        if not text:
            return None
        key = next((k for k in known if _squeezed(k) == _squeezed(text)), None)
        if key is None:
            self.say(
                f"{text} is not in your stock; kept as words. Add it under content/stock, then name it in the file."
            )
            self.keep(name)
        return key


def take_over(table: OldTable, book: Book) -> Taken:
    """Every kite in the table: rows of one name are one kite, each with its round and its flight."""
    taken = Taken()
    order = _order(table)
    for number, cells in table.rows:
        values: dict[str, list[tuple[Column, str]]] = {}
        extra = []
        for column in table.columns:
            text = cells[column.place] if column.place < len(cells) else ""
            if not text:
                continue
            if column.field:
                values.setdefault(column.field, []).append((column, text))
            else:
                extra.append(f"{column.heading}: {text}")
        row = _Row(number, values, book, order, taken, extra)
        _take_row(row)
    return taken


def _take_row(row: _Row) -> None:
    name = " ".join(row.text("name").split())[:200]
    key = key_for(name)
    if not key:
        row.say("has no name; left out.")
        return
    before = row.taken.kites.get(key)
    if before is not None and before.name != name:
        row.say(f"{name} would share its file with {before.name}; left out. Give one of them another name.")
        return
    kite = _add_what_is_new(before or Kite(key=key, name=name), row)
    one = Round(row.date("on") if _read(row) else None, row.press("left"), row.press("right"), row.press("whole"))
    if one.left or one.right or one.whole:
        kite = replace(kite, bench=(*kite.bench, one))
    covered = Covered(row.press("covered.left"), row.press("covered.right"))
    if covered.left or covered.right:
        kite = replace(kite, covered=covered)
    flight = _flight(row)
    if flight:
        kite = replace(kite, flights=(*kite.flights, flight))
    elif row.text("note"):
        row.keep("note")
    if row.kept:
        lines = "\n".join(f"- {_NO_LINK.sub(' ', ' '.join(words.split()))}" for words in row.kept)
        kite = replace(kite, story=f"{kite.story}\n{lines}".strip() if kite.story else f"From old records:\n\n{lines}")
    row.taken.kites[key] = kite


def _read(row: _Row) -> bool:
    return any(row.text(part) for part in ("left", "right", "whole"))


def _add_what_is_new(kite: Kite, row: _Row) -> Kite:
    """The kite with what this row says of it; what an earlier row said stands."""
    rods, skins = tuple(row.book.rods), tuple(row.book.skins)
    stage = row.text("stage").casefold()
    if stage and stage not in STAGES:
        row.keep("stage")
    bow, spine = kite.bow, kite.spine
    return replace(
        kite,
        made=kite.made or row.date("made"),
        stage=kite.stage or next((s for s in STAGES if s == stage), None),
        summary=kite.summary or row.text("summary")[:500] or None,
        mass_kg=kite.mass_kg or row.quantity("mass"),
        sail=Sail(kite.sail.skin or row.stock("skin", skins)),
        spine=Spine(spine.rod or row.stock("spine.rod", rods), spine.length_m or row.quantity("spine.length")),
        bow=Bow(
            rod=bow.rod or row.stock("bow.rod", rods),
            length_m=bow.length_m or row.quantity("bow.length"),
            span_m=bow.span_m or row.quantity("bow.span"),
            mass_kg=bow.mass_kg or row.quantity("bow.mass"),
            crosses_m=bow.crosses_m or row.quantity("bow.crosses"),
        ),
    )


def _flight(row: _Row) -> Flight | None:
    wind, best = row.wind("wind"), row.wind("best")
    if not (wind or best or row.text("flyer") or row.text("control") or row.text("speed")):
        return None
    on = row.date("on") if not _read(row) or row.text("flyer") or wind or best else None
    note = row.text("note")[:5000] or None
    return Flight(
        on,
        row.text("flyer")[:80] or None,
        wind,
        best,
        row.quantity("height"),
        _mark(row, "control"),
        _mark(row, "speed"),
        note,
    )


def _mark(row: _Row, name: str) -> int | None:
    """A mark from 1 to 5, or None with its words kept."""
    text = row.text(name).removesuffix("/5").strip()
    if text in {"1", "2", "3", "4", "5"}:
        return int(text)
    if text:
        row.keep(name)
    return None


def _quantity(text: str, column: Column, book: Book) -> float:
    """A cell's quantity in SI: its own unit, else its heading's, else the book's. Raises QuantityError."""
    kind = KINDS[column.field]
    number, unit = split_quantity(text, kind)
    if unit or not column.unit:
        value = parse_quantity(text, kind, book.settings.units)
    else:
        value = from_unit(number, column.unit, kind)
    if not value > 0 or value > 1e6:
        raise QuantityError(f"{text} is no measurement", "Write what was measured.")
    return value


def unit_said(column: Column, book: Book) -> str:
    """The unit a column's bare numbers are read in, and whose word that is; "" for what has none."""
    kind = KINDS.get(column.field)
    if kind is None:
        return ""
    return f"{column.unit}, as headed" if column.unit else f"{unit_of(kind, book.settings.units)}, as in the book"


def _date(text: str, order: str) -> str | None:
    """The day as 2024-05-03; None where it is none, or where day and month cannot be told apart."""
    if found := _ISO.match(text):
        year, month, day = (int(part) for part in found.groups())
    elif found := _DAY_FIRST.match(text):
        day, month, year = (int(part) for part in found.groups())
    elif (found := _EITHER.match(text)) and order:
        first, second, year = (int(part) for part in found.groups())
        day, month = (first, second) if order == "day" else (second, first)
    else:
        return None
    return f"{year:04}-{month:02}-{day:02}" if 1 <= month <= 12 and 1 <= day <= 31 and year >= 1900 else None


def _order(table: OldTable) -> str:
    """Whether dates such as 5/13/2024 name the day or the month first, going by those that can be only one way."""
    dated = [c.place for c in table.columns if c.field in ("on", "made")]
    found = [m for _, row in table.rows for n in dated if n < len(row) and (m := _EITHER.match(row[n]))]
    day_first, month_first = any(int(m[1]) > 12 for m in found), any(int(m[2]) > 12 for m in found)
    if day_first != month_first:
        return "day" if day_first else "month"
    return ""


def _squeezed(name: str) -> str:
    """A name without blanks, hyphens, a trailing mm and the word rod: "Carbon 1.5 mm rod" meets carbon-1.5."""
    plain = re.sub(r"[\s_-]+", "", name.casefold())
    return re.sub(r"(rod|mm)+$", "", plain)
