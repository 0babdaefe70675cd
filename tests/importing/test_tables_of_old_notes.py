"""Tables of old notes of many shapes and sins, each with the exact plan and the exact kites beside it.

Every table is invented; what belongs beside it was worked out by hand from the table's own words.
"""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import openpyxl
import pytest

from bowbook.book.records import Book, Units
from bowbook.format.kite_file import read_kite
from bowbook.format.read_book import read_book
from bowbook.format.write_kite import SCHEMA_LINE
from bowbook.importing.columns import WORDS
from bowbook.importing.headings import is_understood
from bowbook.importing.table import NotesTable, read_table
from bowbook.importing.table_kites import TakenTable, take_over, with_losses
from bowbook.importing.table_plan import TablePlan, make_plan
from bowbook.importing.table_plan_file import followed, plan_text, read_wishes
from bowbook.terminal.starter import begin_book

TABLES = sorted(path for path in (Path(__file__).parent / "tables").iterdir() if path.suffix != ".txt")


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """A new book in millimetres, grams and miles an hour."""
    root = tmp_path_factory.mktemp("kites")
    begin_book(root, Units(), "Jo", "Kites")
    return read_book(root)


def as_file(path: Path, folder: Path) -> Path:
    """The table as the maker has it: a workbook where its name says so, days and figures in cells of their kind."""
    if not path.name.endswith(".xlsx.csv"):
        return path
    workbook = openpyxl.Workbook()
    sheet = workbook.active
    assert sheet is not None
    for row in csv.reader(io.StringIO(path.read_text(encoding="utf-8"))):
        sheet.append([typed(cell) for cell in row])
    saved = folder / "table.xlsx"
    workbook.save(saved)
    return saved


def typed(cell: str) -> object:
    """A cell as a workbook keeps it."""
    for kind in (float, date.fromisoformat):
        try:
            return kind(cell)
        except ValueError:
            continue
    return cell


def taken(path: Path, folder: Path, book: Book) -> tuple[NotesTable, TablePlan, TakenTable]:
    """The table, its plan and what comes of it."""
    table = read_table(as_file(path, folder), is_understood)
    plan = make_plan(table, book.settings.units)
    result = take_over(table, plan, book)
    return table, with_losses(plan, result), result


def told(table: NotesTable, plan: TablePlan, result: TakenTable) -> str:
    """Plan and result as they stand beside the table."""
    lines = [line for line in plan_text(plan).splitlines() if not line.startswith("#")]
    lines += ["", *table.said, *(f"row {number}: {sentence}" for number, sentence in result.said)]
    for kite in result.kites:
        lines += ["", f"== {kite.key}.md", *kite.file_text().replace(SCHEMA_LINE + "\n", "").splitlines()]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_a_table_has_this_plan_and_gives_these_kites(path: Path, tmp_path: Path, book: Book) -> None:
    """What each column is taken for, what is said of rows and what stands in the files: to the letter."""
    assert told(*taken(path, tmp_path, book)) == path.with_name(path.name + ".txt").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_check_passes_what_is_taken(path: Path, tmp_path: Path, book: Book) -> None:
    """Every kite that a table gives is a kite file without a problem."""
    for kite in taken(path, tmp_path, book)[2].kites:
        found = read_kite(kite.file_text().encode(), f"content/kites/{kite.key}.md", book.settings.units)
        assert found.problems == ()


@pytest.mark.parametrize("path", TABLES, ids=lambda path: path.name)
def test_a_plan_written_down_is_read_back_the_same(path: Path, tmp_path: Path, book: Book) -> None:
    """A plan from its file gives the very same kites."""
    table, plan, result = taken(path, tmp_path, book)
    (tmp_path / "plan.yaml").write_text(plan_text(plan), encoding="utf-8")
    again, unsaid = followed(make_plan(table, book.settings.units), read_wishes(tmp_path / "plan.yaml"))
    assert unsaid == ()
    assert take_over(table, again, book).kites == result.kites


def test_nine_cells_in_ten_are_taken(tmp_path: Path, book: Book) -> None:
    """Of all cells that hold anything, at most a tenth stay words or are left out; there are 25 tables and more."""
    filled = not_taken = 0
    for path in TABLES:
        _, plan, result = taken(path, tmp_path, book)
        filled += sum(column.filled for column in plan.columns)
        not_taken += sum(column.filled for column in plan.columns if column.field == WORDS)
        words = {column.place for column in plan.columns if column.field == WORDS}
        not_taken += sum(place not in words for _, place in result.kept | result.left)
    assert len(TABLES) >= 25
    assert not_taken <= 0.1 * filled, f"{not_taken} of {filled}"
