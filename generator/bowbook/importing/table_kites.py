"""Rows of a table joined into kites by their names: one row a kite, a reading or a flight, in any mixture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Book
from bowbook.format.build_records import slug
from bowbook.format.folder import key_for
from bowbook.importing.old_kites import OldKite, fitted
from bowbook.importing.row_reader import KiteInMaking, RowReader, TableInReading
from bowbook.importing.table import NotesTable, TableRow
from bowbook.importing.table_plan import TablePlan

_TOTALS: Final = frozenset(
    [
        *("total", "totals", "sum", "average", "mean", "median", "min", "max", "count", "gesamt", "summe", "mittel"),
        *("mittelwert", "durchschnitt", "totaal", "gemiddelde", "moyenne", "somme", "promedio", "suma"),
    ]
)
_DITTO: Final = frozenset({'"', "''", "″", "“", "”", "〃", "do", "ditto", "idem", "dito"})


class TakenTable(Struct, frozen=True):
    """What a table came to: its kites, sentences by row number, and the cells that stay words or are left out.

    Cells are named by their row and their column's place.
    """

    kites: tuple[OldKite, ...]
    said: tuple[tuple[int, str], ...]
    kept: frozenset[tuple[int, int]]
    left: frozenset[tuple[int, int]]


def take_over(table: NotesTable, plan: TablePlan, book: Book) -> TakenTable:
    """Every kite of the table, as the plan has its columns; whatever a kite's file cannot have stays words."""
    reader = TableInReading(plan, book, table.commas)
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


def _dittos_filled(rows: Sequence[TableRow], reader: TableInReading) -> Iterator[TableRow]:
    """The rows, each ditto mark in place of what stands above it."""
    above: tuple[str, ...] = ()
    for row in rows:
        cells_now = list(row.cells)
        for place, cell in enumerate(cells_now):
            if cell.casefold().strip(" .") in _DITTO and place < len(above) and above[place]:
                cells_now[place] = above[place]
                reader.said.append((row.number, f"{cell} is a ditto mark: read as {above[place][:60]}."))
        above = tuple(cells_now)
        yield TableRow(row.number, above)


def _finished(reader: TableInReading) -> TakenTable:
    """The kites, each fitted to what a kite's file can have."""
    kites = []
    for one in reader.kites.values():
        rounds, flights, changes = tuple(one.rounds), tuple(one.flights), tuple(one.changes)
        kite = OldKite(one.key, one.name, one.facts, rounds, flights, changes, tuple(one.words))
        kite, out = fitted(kite, reader.units)
        for cell, why in out:
            reader.said.append((cell.row, f"{cell.heading}: {why}; kept as words."))
            reader.kept.add((cell.row, cell.place))
        kites.append(kite)
    order = sorted(reader.said, key=lambda said: said[0])
    return TakenTable(tuple(kites), tuple(order), frozenset(reader.kept), frozenset(reader.left))


def with_losses(plan: TablePlan, taken: TakenTable) -> TablePlan:
    """The plan, each column with the number of its cells that will stay words."""
    counts: dict[int, int] = {}
    for _, place in taken.kept | taken.left:
        counts[place] = counts.get(place, 0) + 1
    return replace(plan, columns=tuple(replace(c, kept=counts.get(c.place, 0)) for c in plan.columns))


def _name(row: TableRow, plan: TablePlan) -> str:
    column = plan.column_of("name")
    text = row.cells[column.place] if column and column.place < len(row.cells) else ""
    return " ".join(text.split())


def _goes_on(row: TableRow, plan: TablePlan) -> bool:
    """Whether a row without a name is one more reading or flight of the kite above it: it has a day or a half."""
    places = [c.place for c in plan.columns if c.field in ("on", "side")]
    return any(place < len(row.cells) and row.cells[place] for place in places)


def _no_row_of_a_kite(row: TableRow, head: tuple[str, ...], seen: Mapping[tuple[str, ...], int], name: str) -> str:
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


def _take_row(row: TableRow, name: str, reader: TableInReading) -> None:
    key = _key(name, reader.book)
    kite = reader.kites.setdefault(key, KiteInMaking(key, name))
    if kite.name.casefold() != name.casefold():
        reader.said.append((row.number, f"{name} would share its file with {kite.name}; left out. Rename one of them."))
        reader.left |= {(row.number, place) for place, cell in enumerate(row.cells) if cell}
        return
    RowReader(row, kite, reader).take()


def _key(name: str, book: Book) -> str:
    """The name of a kite's file: that of the book's kite of this name, else made from it."""
    same = [kite.key for kite in book.kites.values() if kite.name.casefold() == name.casefold()]
    return same[0] if len(same) == 1 else key_for(name)
