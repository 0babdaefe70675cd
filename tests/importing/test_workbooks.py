"""Workbooks of old notes: which sheet is read, formulas with their results and without, and blocks of them."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.formula import ArrayFormula

from bowbook.importing.headings import is_understood
from bowbook.importing.table import NotesTable, TableError, read_table


@pytest.fixture
def workbook(tmp_path: Path) -> Path:
    """Three sheets; in that of the kites a formula whose result is saved, one whose result is not, and a block."""
    book = openpyxl.Workbook()
    notes = book.active
    assert notes is not None
    notes.title = "Read me"
    notes.append(["These are my kites."])
    kites = book.create_sheet("Kites")
    kites.append(["Name", "Left g", "Right g"])
    kites.append(["Avocet", "=200+14", 213])
    kites.append(["Curlew", "=SUM(B9:B11)", 198])
    kites.append(["Dunlin", 205, None])
    kites["C4"] = ArrayFormula("C4:C4", "=B2:B2*1")
    older = book.create_sheet("2019")
    older.append(["Name", "Left g"])
    older.append(["Knot", 180])
    plain, saved = tmp_path / "plain.xlsx", tmp_path / "saved.xlsx"
    book.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(saved, "w") as new:
        for part in old.infolist():
            data = old.read(part)
            if part.filename == "xl/worksheets/sheet2.xml":  # as a spreadsheet saves it, with what came of it
                data, times = re.subn(rb"<f>200\+14</f><v ?/?>(</v>)?", b"<f>200+14</f><v>214</v>", data)
                assert times == 1
            new.writestr(part, data)
    return saved


def cells(table: NotesTable) -> list[tuple[str, ...]]:
    """The cells of every row."""
    return [row.cells for row in table.rows]


def test_the_sheet_with_the_headings_is_read_and_the_others_named(workbook: Path) -> None:
    """Not the first sheet but the first with kites in it; --sheet takes another; one that is not there is said."""
    found = read_table(workbook, is_understood)
    assert cells(found)[0] == ("Name", "Left g", "Right g")
    assert "This is sheet Kites." in found.said
    assert any("Left alone: Read me, 2019; take one with --sheet NAME." in said for said in found.said)
    assert cells(read_table(workbook, is_understood, "2019"))[1] == ("Knot", "180")
    with pytest.raises(TableError, match="has no sheet 2018"):
        read_table(workbook, is_understood, "2018")


def test_a_formula_is_its_result_and_one_without_is_never_taken_for_a_reading(workbook: Path) -> None:
    """What the spreadsheet worked out is taken; where that was not saved the formula stays words, and is said."""
    found = read_table(workbook, is_understood)
    assert cells(found)[1:] == [
        ("Avocet", "214", "213"),
        ("Curlew", "=SUM(B9:B11)", "198"),
        ("Dunlin", "205", "=B2:B2*1"),
    ]
    for row in (3, 4):
        assert f"Row {row} has a formula without its result, kept as words: open the sheet and save it." in found.said
