"""The plan for a table: what each column is taken for and why, in which unit, and what stays words."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.quantities import home_unit, split_quantity
from bowbook.book.records import Units
from bowbook.book.unit_tables import find_unit
from bowbook.book.units import from_unit
from bowbook.book.written_numbers import QuantityError
from bowbook.importing.cells import CellError, has_unit, is_usual, mark
from bowbook.importing.columns import FIELDS, NOTHING, WORDS
from bowbook.importing.day_cells import day_order, is_open
from bowbook.importing.headings import is_understood, understand, why_words, words_of
from bowbook.importing.table import NotesTable, TableRow, heading_row

SHOWN: Final = 3  # values of a column that the plan shows


class Column(Struct, frozen=True):
    """One column: its heading, some of its values, the field it is taken for (or `words`, or `nothing`) and why.

    `unit` is that of its bare figures, "" for the book's own; `maybe` what it may be where that is not certain;
    `filled` how many of its cells hold anything, `kept` how many of these stay words.
    """

    place: int
    heading: str
    values: tuple[str, ...]
    field: str
    why: str
    unit: str = ""
    maybe: str = ""
    filled: int = 0
    kept: int = 0


class TablePlan(Struct, frozen=True):
    """What is taken from a table: its columns, the order of its days ("" where unknown) and why, its first row."""

    columns: tuple[Column, ...]
    first: int
    days: str = ""
    days_why: str = ""

    def column_of(self, field: str) -> Column | None:
        """The first column taken for a field."""
        return next((column for column in self.columns if column.field == field), None)


def make_plan(table: NotesTable, units: Units) -> TablePlan:
    """The plan that the headings and the values themselves make certain; the rest is kept as words, with its doubt."""
    start = heading_row(table.rows, is_understood)
    head, body = table.rows[start], table.rows[start + 1 :]
    below = _units_row(body[0], head) if body else {}
    body = body[1:] if below else body
    width = max((len(row.cells) for row in (head, *body)), default=0)
    columns = [_column(place, head, body, below.get(place, "")) for place in range(width)]
    columns = [column for column in columns if column.filled or column.heading]
    candidates = {column.maybe or column.field for column in columns}
    columns = [_weighed(column, candidates, body, units) for column in columns]
    days, why = day_order(
        _values_of(body, [c for c in columns if c.field in ("on", "made") or c.maybe in ("on", "made")])
    )
    return TablePlan(tuple(_named_once(columns)), start + 1 + bool(below), days, why)


def with_column(plan: TablePlan, place: int, field: str, unit: str) -> TablePlan:
    """The plan with a column taken for what the maker says."""
    return replace(
        plan,
        columns=tuple(
            replace(c, field=field, unit=unit, maybe="", why="you say so") if c.place == place else c
            for c in plan.columns
        ),
    )


def unit_said(column: Column, units: Units) -> str:
    """The unit of a column's figures and whose word that is; "" for what has none."""
    kind = FIELDS[column.field].kind if column.field in FIELDS else ""
    if not kind:
        return ""
    if column.unit:
        return f"{column.unit}, as headed" if column.why != "you say so" else column.unit
    if column.values and all(has_unit(value, kind) for value in column.values):
        return "as in each cell"
    return f"{home_unit(kind, units)}, as in the book"


def open_days(table: NotesTable, plan: TablePlan) -> tuple[str, ...]:
    """Days that stay words as long as it is not said whether the day or the month comes first."""
    if plan.days:
        return ()
    dated = [column for column in plan.columns if column.field in ("on", "made")]
    return tuple(dict.fromkeys(text for text in _values_of(table.rows[plan.first :], dated) if is_open(text)))


def _column(place: int, head: TableRow, body: Sequence[TableRow], unit_below: str) -> Column:
    """A column by its heading alone."""
    heading = head.cells[place] if place < len(head.cells) else ""
    filled = [row.cells[place] for row in body if place < len(row.cells) and row.cells[place]]
    values = tuple(dict.fromkeys(filled))[:SHOWN]
    says = understand(heading)
    unit = says.unit
    if says.field and not unit and unit_below:
        kind = FIELDS[says.field].kind
        unit = (find_unit(unit_below, kind) or "") if kind else ""
    named = heading or f"column {place + 1}"
    if says.doubt:
        return Column(place, named, values, WORDS, says.doubt, unit, says.field, len(filled))
    if says.field:
        return Column(place, named, values, says.field, "its heading", unit, "", len(filled))
    return Column(
        place, named, values, WORDS, why_words(heading) if heading else "it has no heading", filled=len(filled)
    )


def _units_row(row: TableRow, head: TableRow) -> dict[int, str]:
    """The units in a row that holds nothing else: where headings have their units on a line of their own."""
    kinds = ("length", "mass", "force", "wind")
    filled = {n: cell.strip("()[] ") for n, cell in enumerate(row.cells) if cell}
    units = {n: text for n, text in filled.items() if any(find_unit(text, kind) for kind in kinds)}
    rest = [text.casefold() for n, text in filled.items() if n not in units]
    return (
        units
        if len(units) > 1 and len(row.cells) <= len(head.cells) and set(rest) <= {"unit", "units", "-", "–"}
        else {}
    )


def _weighed(column: Column, candidates: set[str], body: Sequence[TableRow], units: Units) -> Column:
    """The column with its doubt settled by its values and by what stands beside it, or with the doubt they raise."""
    values = _values_of(body, [column])
    meant = column.maybe or column.field
    if column.maybe:
        sure = _settled(column, candidates, values)
        if not sure:
            return column
        column = replace(column, field=sure, maybe="", why="its heading and its values")
        meant = sure
    if meant not in FIELDS:
        return column
    doubt, maybe = _doubt(meant, candidates, values), meant
    if meant == "on" and doubt:
        maybe = "made"
    if not doubt and FIELDS[meant].kind and not column.unit:
        doubt = _unusual(meant, values, units)
    return replace(column, field=WORDS, maybe=maybe, why=doubt) if doubt else column


def _settled(column: Column, candidates: set[str], values: Sequence[str]) -> str:
    """The field that a doubtful heading has for certain; "" where the doubt stays."""
    figures = sum(any(c.isdigit() for c in value) for value in values) > len(values) / 2
    plain = words_of(column.heading)
    if plain == "spine" and values:
        return "spine.length" if figures else "spine.rod"
    if column.maybe == "bow.length" and plain in ("bow", "bogen", "boog", "arc") and values and not figures:
        return "bow.rod"
    if column.maybe in ("left", "right") and {"left", "right"} <= candidates:
        return column.maybe
    if column.maybe == "made" and not any(FIELDS[c].one in ("round", "flight") for c in candidates if c in FIELDS):
        return "made"
    return ""


def _doubt(meant: str, candidates: set[str], values: Sequence[str]) -> str:
    """Why a column may not be what its heading says; "" where nothing contradicts it."""
    others = {FIELDS[c].one for c in candidates if c in FIELDS and c != "note"}
    if meant == "on" and not others & {"round", "flight", "change"}:
        return "it may be the day the kite was made, read or flown"
    if meant == "reading" and "side" not in candidates:
        return "which half it is of is not said"
    if meant == "side" and "reading" not in candidates:
        return "there is no column of readings beside it"
    if meant in ("control", "speed", "pull", "turn", "track"):
        bad = [value for value in values if not _is_mark(value)]
        if len(bad) > len(values) / 2:
            return f"marks go from 1 to 5, and this has {bad[0][:20]}"
    return ""


def _unusual(meant: str, values: Sequence[str], units: Units) -> str:
    """Why bare figures were hardly written in the book's unit; "" where they may have been."""
    field = FIELDS[meant]
    unit = home_unit(field.kind, units)
    bare = [found for value in values if (found := _bare_figure(value, field.kind)) is not None]
    if len(bare) <= len(values) / 2 or not field.usual[1]:
        return ""
    middle = median(bare)
    if is_usual(from_unit(middle, unit, field.kind), meant):
        return ""
    return f"its unit is not said, and {middle:g} {unit} would be unusual"


def _bare_figure(value: str, kind: str) -> float | None:
    """The figure of a cell that has no unit, None for others."""
    first = value.replace("–", "-").split("-")[0].split(";")[0].split(", ")[0].split("/")[0].strip()
    try:
        number, unit = split_quantity(first, kind)
    except QuantityError:
        return None
    return None if unit or has_unit(value, kind) else number


def _is_mark(value: str) -> bool:
    try:
        mark(value)
    except CellError:
        return False
    return True


def _named_once(columns: Sequence[Column]) -> list[Column]:
    """The columns with one name alone: a second one is kept as words."""
    found, named = [], False
    for column in columns:
        if column.field == "name" and named:
            column = replace(column, field=WORDS, why="another column has the names")
        named = named or column.field == "name"
        found.append(column)
    return found


def _values_of(body: Sequence[TableRow], columns: Sequence[Column]) -> list[str]:
    return [row.cells[c.place] for row in body for c in columns if c.place < len(row.cells) and row.cells[c.place]]


def lost(column: Column) -> str:
    """What of a column will not be in its field: "" for nothing."""
    if column.field == NOTHING:
        return f"all {column.filled} left out" if column.filled else ""
    if column.field == WORDS:
        return ""
    return f"{column.kept} of {column.filled} kept as words" if column.kept else ""
