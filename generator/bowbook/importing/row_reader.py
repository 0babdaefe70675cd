"""One row of a table read into its kite: facts, a round, a flight, and what stays words."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from typing import Final

from msgspec import Struct, field

from bowbook.book.records import STAGES, Book, Units
from bowbook.importing import cells
from bowbook.importing.cells import CellError
from bowbook.importing.columns import FIELDS, NOTHING, WORDS
from bowbook.importing.day_cells import day
from bowbook.importing.old_kites import Cell, CellValue
from bowbook.importing.table import TableRow, with_point
from bowbook.importing.table_plan import Column, TablePlan

_HALVES: Final = ("left", "right", "whole")
_TEXTS: Final = {
    "summary": 500,
    "flyer": 80,
    "place": 200,
    "note": 5000,
    "batch": 200,
    "to": 200,
    "after.kite": 200,
    "changed": 5000,
}
_CHANGES: Final = {
    "new skin": "skin",
    "new rod": "bow.rod",
    "new bow length": "bow.length",
    "new span": "span",
    "changed": "note",
}
_MARKS: Final = ("control", "speed", "pull", "turn", "track")


class KiteInMaking(Struct):
    """A kite being put together."""

    key: str
    name: str
    facts: dict[str, CellValue] = field(default_factory=dict)
    rounds: list[dict[str, CellValue]] = field(default_factory=list)
    flights: list[dict[str, CellValue]] = field(default_factory=list)
    changes: list[dict[str, CellValue]] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    last: tuple[str, str] = ("", "")  # the day and the number of the round that a reading may belong to


class TableInReading(Struct):
    """The table being read: what it came to so far."""

    plan: TablePlan
    book: Book
    commas: bool
    kites: dict[str, KiteInMaking] = field(default_factory=dict)
    said: list[tuple[int, str]] = field(default_factory=list)
    kept: set[tuple[int, int]] = field(default_factory=set)
    left: set[tuple[int, int]] = field(default_factory=set)

    @property
    def units(self) -> Units:
        return self.book.settings.units


class RowReader(Struct):
    """One row being read into its kite."""

    row: TableRow
    kite: KiteInMaking
    reader: TableInReading

    def take(self) -> None:
        """Put every cell of the row where it belongs; whatever stays words of a private flight stays in that flight."""
        before = len(self.kite.words)
        flown = self._take()
        words = self.kite.words[before:]
        if flown is not None and "private" in flown and words:
            del self.kite.words[before:]
            note = flown.get("note", CellValue("", ()))
            flown["note"] = CellValue(
                "; ".join(" ".join(text.split()) for text in (note.text, *words) if text), note.cells
            )

    def _take(self) -> dict[str, CellValue] | None:
        """Put every cell of the row where it belongs; the flight it tells of."""
        bow = self._one("which bow", lambda text, _: cells.bow_name(text))
        for name in FIELDS:
            if FIELDS[name].one == "kite" and name != "name":
                self._fact(name, bow)
        on = self._one("on", lambda text, _: day(text, self.reader.plan.days))
        changed = self._change(on)
        read = self._round(on)
        flown = self._flight(on, read, changed is not None)
        for one in (read, flown):
            if bow and one is not None:
                one["bow"] = bow
        told = read or flown or changed
        if on and not told:
            self._keep(*on.cells)
        self._words(on if told else None)
        note = self._one("note", self._text("note"))
        if note and (read is not None or flown is not None):
            holder = flown if flown is not None else read
            if holder is not None and "note" not in holder:
                holder["note"] = note
                return flown
        if note:
            self._keep(*note.cells)
        return flown

    def _words(self, on: CellValue | None) -> None:
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

    def _one(self, name: str, typed: Callable[[str, Column], str]) -> CellValue | None:
        """The first value of a field that can be read; another one that differs stays words."""
        found: CellValue | None = None
        for column, cell in self._cells(name):
            text = self._read(cell, column, typed)
            if not text:
                continue
            if found is None:
                found = CellValue(text, (cell,))
            elif found.text != text:
                self._refused(cell, f"another column has {found.text}")
        return found

    def _readings(self, name: str) -> CellValue | None:
        """All readings of a field: of several columns, and several in a cell."""
        texts, used = [], []
        for column, cell in self._cells(name):
            text = self._read(cell, column, lambda t, c: cells.readings(t, c.field, c.unit, self.reader.units))
            if text:
                texts.append(text)
                used.append(cell)
        return CellValue(cells.readings_joined(texts), tuple(used)) if texts else None

    def _typed(self, name: str) -> Callable[[str, Column], str]:
        """How a cell of a field that has one value is read."""
        kind, units, book = FIELDS[name].kind, self.reader.units, self.reader.book
        if kind == "wind":
            return lambda text, column: cells.wind(text, column.unit, units)
        if kind:
            return lambda text, column: cells.quantity(text, name, kind, column.unit, units)
        if name in ("bow.rod", "spine.rod", "new rod"):
            return lambda text, _: cells.stock(text, tuple(book.rods), "rods")
        if name in ("skin", "new skin"):
            return lambda text, _: cells.stock(text, tuple(book.skins), "skins")
        if name == "made":
            return lambda text, _: day(text, self.reader.plan.days)
        if name == "stage":
            return _stage
        if name in _MARKS:
            return lambda text, _: cells.mark(text)
        if name == "tags":
            return lambda text, _: cells.tags(text)
        if name == "private":
            return lambda text, _: cells.private(text)
        return self._text(name)

    def _text(self, name: str) -> Callable[[str, Column], str]:
        most = _TEXTS[name]

        def typed(text: str, _column: Column) -> str:
            if len(text) > most:
                raise CellError(f"it is longer than {most} letters")
            return text

        return typed

    def _fact(self, name: str, bow: CellValue | None) -> None:
        """One thing that is said of the kite itself, or of one of its bows: what an earlier row said stands."""
        value = self._readings(name) if FIELDS[name].kind == "force" else self._one(name, self._typed(name))
        if value is None:
            return
        if name == "target":
            for side in ("left", "right"):
                self._said(f"target.{side}", value)
            return
        if bow and name.startswith("bow."):
            name = f"bows.{bow.text}.{name[4:]}"
        self._said("sail.skin" if name == "skin" else name, value)

    def _said(self, path: str, value: CellValue) -> None:
        """A fact at its place; what differs from the one that stands there stays words."""
        before = self.kite.facts.get(path)
        if before is None:
            self.kite.facts[path] = value
        elif before.text != value.text:
            for cell in value.cells:
                self._refused(cell, f"row {before.cells[0].row} has {before.text}")

    def _change(self, on: CellValue | None) -> dict[str, CellValue] | None:
        """What the row says was changed, added to the kite's or joined with what was changed that day."""
        found = {key: value for name, key in _CHANGES.items() if (value := self._one(name, self._typed(name)))}
        if not found:
            return None
        if on is None:
            for cell in (cell for value in found.values() for cell in value.cells):
                self._refused(cell, "a change needs its day")
            return None
        same = [one for one in self.kite.changes if one["on"].text == on.text and not set(one) & set(found)]
        if same:
            same[0].update(found)
            return same[0]
        self.kite.changes.append({"on": on} | found)
        return self.kite.changes[-1]

    def _round(self, on: CellValue | None) -> dict[str, CellValue] | None:
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

    def _both_halves(self, found: Mapping[str, CellValue]) -> dict[str, CellValue]:
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
            return {"left": CellValue(left, (cell,)), "right": CellValue(right, (cell,))}
        return {}

    def _sided(self) -> tuple[str, CellValue] | None:
        """The half and the reading of a row that has one reading; its words kept where either cannot be read."""
        side = self._one("side", lambda text, _: cells.side(text))
        reading = self._readings("reading")
        if side and reading:
            return side.text, CellValue(reading.text, (*side.cells, *reading.cells))
        for value in (side, reading):
            if value:
                self._keep(*value.cells)
        return None

    def _joined(self, side: str, reading: CellValue, on: CellValue | None) -> dict[str, CellValue]:
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
        last[side] = (
            CellValue(cells.readings_joined([held.text, reading.text]), held.cells + reading.cells) if held else reading
        )
        return last

    def _flight(
        self, on: CellValue | None, read: Mapping[str, CellValue] | None, changed: bool
    ) -> dict[str, CellValue] | None:
        """The flight of this row, added to the kite's; None where it tells of none."""
        said = {
            "flyer": self._one("flyer", self._text("flyer")),
            "wind": self._wind("wind"),
            "best": self._wind("best"),
            "height": self._one("meter height", self._typed("meter height")),
            "gusts": self._one("gusts", self._typed("gusts")),
            "line": self._one("line", self._typed("line")),
            "place": self._one("place", self._text("place")),
            **{name: self._one(name, self._typed(name)) for name in (*_MARKS, "private")},
        }
        found = {key: value for key, value in said.items() if value}
        flying = any(
            FIELDS[c.field].one == "flight" and c.field != "note" for c in self.reader.plan.columns if c.field in FIELDS
        )
        if not set(found) - {"height", "line", "place", "private"} and not (
            on and flying and read is None and not changed
        ):
            for cell in (cell for value in found.values() for cell in value.cells):
                self._refused(cell, "the row tells of no flight")
            return None
        one = ({"on": on} if on else {}) | found
        self.kite.flights.append(one)
        return one

    def _wind(self, name: str) -> CellValue | None:
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
            return CellValue(cells.wind_of_edges(low, high, unit, self.reader.units), used)
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
