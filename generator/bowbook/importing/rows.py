"""Rows of a table joined into kites by their names: one row a kite, a reading or a flight, in any mixture."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import STAGES, Book, Units
from bowbook.format.build_records import slug
from bowbook.format.folder import key_for
from bowbook.importing import cells
from bowbook.importing.cells import CellError
from bowbook.importing.columns import FIELDS, NOTHING, WORDS
from bowbook.importing.day_cells import day
from bowbook.importing.old_kites import Cell, OldKite, Value, fitted
from bowbook.importing.plan import Column, Plan
from bowbook.importing.table import Row, Table, with_point

_TOTALS: Final = frozenset(
    [
        "total",
        "totals",
        "sum",
        "average",
        "mean",
        "median",
        "min",
        "max",
        "count",
        "gesamt",
        "summe",
        "mittel",
        "mittelwert",
        "durchschnitt",
        "totaal",
        "gemiddelde",
        "moyenne",
        "somme",
        "promedio",
        "suma",
    ]
)
_DITTO: Final = frozenset({'"', "''", "″", "“", "”", "〃", "do", "ditto", "idem", "dito"})
_HALVES: Final = ("left", "right", "whole")
_TEXTS: Final = {"summary": 500, "flyer": 80, "place": 200, "note": 5000}
_MARKS: Final = ("control", "speed", "pull", "turn", "track")


class Taken(Struct, frozen=True):
    """What a table came to: its kites, sentences by row number, and the cells that stay words or are left out.

    Cells are named by their row and their column's place.
    """

    kites: tuple[OldKite, ...]
    said: tuple[tuple[int, str], ...]
    kept: frozenset[tuple[int, int]]
    left: frozenset[tuple[int, int]]


@dataclass(slots=True)
class _Kite:
    """A kite being put together."""

    key: str
    name: str
    facts: dict[str, Value] = field(default_factory=dict)
    rounds: list[dict[str, Value]] = field(default_factory=list)
    flights: list[dict[str, Value]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    last: tuple[str, str] = ("", "")  # the day and the number of the round that a reading may belong to


@dataclass(slots=True)
class _Reader:
    """The table being read: what it came to so far."""

    plan: Plan
    book: Book
    commas: bool
    kites: dict[str, _Kite] = field(default_factory=dict)
    said: list[tuple[int, str]] = field(default_factory=list)
    kept: set[tuple[int, int]] = field(default_factory=set)
    left: set[tuple[int, int]] = field(default_factory=set)

    @property
    def units(self) -> Units:
        return self.book.settings.units


def take_over(table: Table, plan: Plan, book: Book) -> Taken:
    """Every kite of the table, as the plan has its columns; whatever a kite's file cannot have stays words."""
    reader = _Reader(plan, book, table.commas)
    head = table.rows[plan.first - 1].cells if plan.first else ()
    seen: dict[tuple[str, ...], int] = {}
    before = ""
    for row in _dittos_filled(table.rows[plan.first :], reader):
        named = _name(row, plan)
        why = _no_row_of_a_kite(row, head, seen, named or (before if _goes_on(row, plan) else ""))
        if why:
            reader.said.append((row.number, f"{why}; left out."))
            reader.left |= {(row.number, place) for place, cell in enumerate(row.cells) if cell}
            continue
        seen.setdefault(row.cells, row.number)
        if not named:
            reader.said.append((row.number, f"has no name: taken for {before}, named above."))
        before = named or before
        _take_row(row, before, reader)
    return _finished(reader)


def _dittos_filled(rows: Sequence[Row], reader: _Reader) -> Iterator[Row]:
    """The rows, each ditto mark in place of what stands above it."""
    above: tuple[str, ...] = ()
    for row in rows:
        cells_now = list(row.cells)
        for place, cell in enumerate(cells_now):
            if cell.casefold().strip(" .") in _DITTO and place < len(above) and above[place]:
                cells_now[place] = above[place]
                reader.said.append((row.number, f"{cell} is a ditto mark: read as {above[place][:60]}."))
        above = tuple(cells_now)
        yield Row(row.number, above)


def _finished(reader: _Reader) -> Taken:
    """The kites, each fitted to what a kite's file can have."""
    kites = []
    for one in reader.kites.values():
        kite = OldKite(one.key, one.name, one.facts, tuple(one.rounds), tuple(one.flights), tuple(one.words))
        kite, out = fitted(kite, reader.units)
        for cell, why in out:
            reader.said.append((cell.row, f"{cell.heading}: {why}; kept as words."))
            reader.kept.add((cell.row, cell.place))
        kites.append(kite)
    order = sorted(reader.said, key=lambda said: said[0])
    return Taken(tuple(kites), tuple(order), frozenset(reader.kept), frozenset(reader.left))


def with_losses(plan: Plan, taken: Taken) -> Plan:
    """The plan, each column with the number of its cells that will stay words."""
    counts: dict[int, int] = {}
    for _, place in taken.kept | taken.left:
        counts[place] = counts.get(place, 0) + 1
    return replace(plan, columns=tuple(replace(c, kept=counts.get(c.place, 0)) for c in plan.columns))


def _name(row: Row, plan: Plan) -> str:
    column = plan.column_of("name")
    text = row.cells[column.place] if column and column.place < len(row.cells) else ""
    return " ".join(text.split())


def _goes_on(row: Row, plan: Plan) -> bool:
    """Whether a row without a name is one more reading or flight of the kite above it: it has a day or a half."""
    places = [c.place for c in plan.columns if c.field in ("on", "side")]
    return any(place < len(row.cells) and row.cells[place] for place in places)


def _no_row_of_a_kite(row: Row, head: tuple[str, ...], seen: Mapping[tuple[str, ...], int], name: str) -> str:
    """Why a row is no kite, no reading and no flight; "" where it may be one."""
    filled = [cell for cell in row.cells if cell]
    if row.cells == head:
        return "has the headings again"
    if row.cells in seen:
        return f"is row {seen[row.cells]} again"
    if not slug(name):
        return "has no name"
    if slug(name).split("-")[0] in _TOTALS:
        return f"{name} is no kite"
    if len(filled) == 1 and len(head) > 2:
        return f"has nothing but {filled[0][:60]}"
    if len(name) > 200:
        return "has a name of more than 200 letters"
    return ""


def _take_row(row: Row, name: str, reader: _Reader) -> None:
    key = _key(name, reader.book)
    kite = reader.kites.setdefault(key, _Kite(key, name))
    if kite.name.casefold() != name.casefold():
        reader.said.append((row.number, f"{name} would share its file with {kite.name}; left out. Rename one of them."))
        reader.left |= {(row.number, place) for place, cell in enumerate(row.cells) if cell}
        return
    one = _RowReader(row, kite, reader)
    one.take()


def _key(name: str, book: Book) -> str:
    """The name of a kite's file: that of the book's kite of this name, else made from it."""
    same = [kite.key for kite in book.kites.values() if kite.name.casefold() == name.casefold()]
    return same[0] if len(same) == 1 else key_for(name)


@dataclass(slots=True)
class _RowReader:
    """One row being read into its kite."""

    row: Row
    kite: _Kite
    reader: _Reader

    def take(self) -> None:
        """Put every cell of the row where it belongs."""
        for name in FIELDS:
            if FIELDS[name].one == "kite" and name != "name":
                self._fact(name)
        on = self._one("on", lambda text, _: day(text, self.reader.plan.days))
        read = self._round(on)
        flown = self._flight(on, read)
        if on and not read and not flown:
            self._keep(*on.cells)
        self._words(on if read or flown else None)
        note = self._one("note", self._text("note"))
        if note and (read is not None or flown is not None):
            holder = flown if flown is not None else read
            if holder is not None and "note" not in holder:
                holder["note"] = note
                return
        if note:
            self._keep(*note.cells)

    def _words(self, on: Value | None) -> None:
        """What has no field stays words, with the day of the row's reading or flight before it."""
        before = f"{on.text}, " if on else ""
        for column, cell in self._cells():
            if column.field == WORDS:
                self.kite.words.append(f"{before}{cell.heading}: {cell.text}")
            elif column.field == NOTHING:
                self.reader.left.add((cell.row, cell.place))

    def _cells(self, name: str = "") -> Iterator[tuple[Column, Cell]]:
        """The filled cells of the row, or those of one field."""
        for column in self.reader.plan.columns:
            text = self.row.cells[column.place] if column.place < len(self.row.cells) else ""
            if text and column.field != "name" and (not name or column.field == name):
                yield column, Cell(self.row.number, column.place, column.heading, text)

    def _keep(self, *cells: Cell) -> None:
        """Keep cells as words in the kite's story."""
        for cell in cells:
            self.kite.words.append(f"{cell.heading}: {cell.text}")
            self.reader.kept.add((cell.row, cell.place))

    def _refused(self, cell: Cell, why: object) -> None:
        self.reader.said.append((cell.row, f"{cell.heading}: {why}; kept as words."))
        self._keep(cell)

    def _read(self, cell: Cell, column: Column, typed: Callable[[str, Column], str]) -> str:
        """A cell as its field has it, a decimal comma as a point only where it cannot stay; "" with its words kept."""
        try:
            return typed(cell.text, column)
        except CellError as wrong:
            pointed = cell.text if self.reader.commas or _thousands(cell.text) else with_point(cell.text)
            if pointed != cell.text:
                try:
                    return typed(pointed, column)
                except CellError:
                    pass
            self._refused(cell, wrong)
            return ""

    def _one(self, name: str, typed: Callable[[str, Column], str]) -> Value | None:
        """The first value of a field that can be read; another one that differs stays words."""
        found: Value | None = None
        for column, cell in self._cells(name):
            text = self._read(cell, column, typed)
            if not text:
                continue
            if found is None:
                found = Value(text, (cell,))
            elif found.text != text:
                self._refused(cell, f"another column has {found.text}")
        return found

    def _readings(self, name: str) -> Value | None:
        """All readings of a field: of several columns, and several in a cell."""
        texts, used = [], []
        for column, cell in self._cells(name):
            text = self._read(cell, column, lambda t, c: cells.readings(t, c.field, c.unit, self.reader.units))
            if text:
                texts.append(text)
                used.append(cell)
        return Value(cells.joined(texts), tuple(used)) if texts else None

    def _typed(self, name: str) -> Callable[[str, Column], str]:
        """How a cell of a field that has one value is read."""
        kind, units, book = FIELDS[name].kind, self.reader.units, self.reader.book
        if kind == "wind":
            return lambda text, column: cells.wind(text, column.unit, units)
        if kind:
            return lambda text, column: cells.quantity(text, name, kind, column.unit, units)
        if name in ("bow.rod", "spine.rod"):
            return lambda text, _: cells.stock(text, tuple(book.rods), "rods")
        if name == "skin":
            return lambda text, _: cells.stock(text, tuple(book.skins), "skins")
        if name == "made":
            return lambda text, _: day(text, self.reader.plan.days)
        if name == "stage":
            return _stage
        if name in _MARKS:
            return lambda text, _: cells.mark(text)
        return self._text(name)

    def _text(self, name: str) -> Callable[[str, Column], str]:
        most = _TEXTS[name]

        def typed(text: str, _column: Column) -> str:
            if len(text) > most:
                raise CellError(f"it is longer than {most} letters")
            return text

        return typed

    def _fact(self, name: str) -> None:
        """One thing that is said of the kite itself: what an earlier row said stands."""
        value = self._readings(name) if FIELDS[name].kind == "force" else self._one(name, self._typed(name))
        if value is None:
            return
        path = "sail.skin" if name == "skin" else name
        before = self.kite.facts.get(path)
        if before is None:
            self.kite.facts[path] = value
        elif before.text != value.text:
            for cell in value.cells:
                self._refused(cell, f"row {before.cells[0].row} has {before.text}")

    def _round(self, on: Value | None) -> dict[str, Value] | None:
        """The round of this row, added to the kite's or joined with its last one; None where it has no reading."""
        found = {name: value for name in _HALVES if (value := self._readings(name)) is not None}
        found |= self._both_halves(found)
        sided = self._sided()
        if sided:
            return self._joined(*sided, on)
        if not found:
            return None
        one = ({"on": on} if on else {}) | found
        self.kite.rounds.append(one)
        return one

    def _both_halves(self, found: Mapping[str, Value]) -> dict[str, Value]:
        """Left and right from a cell that has both."""
        for column, cell in self._cells("left/right"):
            if found:
                self._refused(cell, "the halves have columns of their own")
                continue
            try:
                left, right = cells.both_halves(cell.text, column.unit, self.reader.units)
            except CellError as wrong:
                self._refused(cell, wrong)
                continue
            return {"left": Value(left, (cell,)), "right": Value(right, (cell,))}
        return {}

    def _sided(self) -> tuple[str, Value] | None:
        """The half and the reading of a row that has one reading; its words kept where either cannot be read."""
        side = self._one("side", lambda text, _: cells.side(text))
        reading = self._readings("reading")
        if side and reading:
            return side.text, Value(reading.text, (*side.cells, *reading.cells))
        for value in (side, reading):
            if value:
                self._keep(*value.cells)
        return None

    def _joined(self, side: str, reading: Value, on: Value | None) -> dict[str, Value]:
        """The round that a reading belongs to: of one day and number; else a half that comes again begins another."""
        number = next((cell.text for _, cell in self._cells("round")), "")
        mark = (on.text if on else "", number)
        rounds = self.kite.rounds
        last = rounds[-1] if rounds and self.kite.last == mark else None
        if last is not None and side in last and not any(mark) and list(last)[-1] != side:
            last = None
        self.kite.last = mark
        if last is None:
            rounds.append(({"on": on} if on else {}) | {side: reading})
            return rounds[-1]
        held = last.pop(side, None)  # so that the half that was read last stands last
        last[side] = Value(cells.joined([held.text, reading.text]), held.cells + reading.cells) if held else reading
        return last

    def _flight(self, on: Value | None, read: Mapping[str, Value] | None) -> dict[str, Value] | None:
        """The flight of this row, added to the kite's; None where it tells of none."""
        said = {
            "flyer": self._one("flyer", self._text("flyer")),
            "wind": self._wind("wind"),
            "best": self._wind("best"),
            "height": self._one("meter height", self._typed("meter height")),
            "gusts": self._one("gusts", self._typed("gusts")),
            "line": self._one("line", self._typed("line")),
            "place": self._one("place", self._text("place")),
            **{name: self._one(name, self._typed(name)) for name in _MARKS},
        }
        found = {key: value for key, value in said.items() if value}
        flying = any(
            FIELDS[c.field].one == "flight" and c.field != "note" for c in self.reader.plan.columns if c.field in FIELDS
        )
        if not set(found) - {"height", "line", "place"} and not (on and flying and read is None):
            for cell in (cell for value in found.values() for cell in value.cells):
                self._refused(cell, "the row tells of no flight")
            return None
        one = ({"on": on} if on else {}) | found
        self.kite.flights.append(one)
        return one

    def _wind(self, name: str) -> Value | None:
        """A wind from one cell, or from its two edges."""
        edges = {end: next(iter(self._cells(f"{name}.{end}")), None) for end in ("low", "high")}
        whole = self._one(name, self._typed(name))
        found = [edge for edge in edges.values() if edge]
        if whole or not found:
            for _, cell in found:
                self._refused(cell, "another column has the wind")
            return whole
        unit = found[0][0].unit
        low, high = (edge[1].text if edge else "" for edge in edges.values())
        used = tuple(cell for _, cell in found)
        try:
            return Value(cells.wind_of_edges(low, high, unit, self.reader.units), used)
        except CellError as wrong:
            for cell in used:
                self._refused(cell, wrong)
            return None


def _stage(text: str, _column: Column) -> str:
    if text.casefold() not in STAGES:
        raise CellError(f"{text[:40]} is no stage: {', '.join(STAGES)}")
    return text.casefold()


def _thousands(text: str) -> bool:
    """Whether a comma in the text may part thousands."""

    return bool(re.search(r"[0-9],[0-9]{3}(?![0-9])", text))
