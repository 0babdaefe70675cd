"""A sheet of a workbook as rows of texts, read a row at a time and no further than a table of notes can reach."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Iterator, Sequence
from datetime import date, datetime, time
from typing import Any, Final

from bowbook.importing.table import MOST_COLUMNS, MOST_ROWS, TableError

MOST_UNPACKED_BYTES: Final = 60_000_000


def sheet_rows(
    data: bytes, wanted: str, known: Callable[[str], bool]
) -> tuple[Iterator[tuple[int, Sequence[str]]], tuple[str, ...]]:
    """The rows of one sheet: the one named, else the first with a heading that is understood, else the first.

    The second value says which sheet it was and which were left alone, and where formulas have no result.
    Raises TableError where it is no workbook.
    """
    _refuse_bombs(data)
    import openpyxl
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        values = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        formulas = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=False, keep_links=False)
        for sheet in (*values.worksheets, *formulas.worksheets):
            sheet.reset_dimensions()  # what a sheet says of its size need not be so, and rows would be left out
        names = [sheet.title for sheet in values.worksheets]
        if wanted and wanted not in names:
            raise TableError(f"The workbook has no sheet {wanted}. It has: {', '.join(names)}.")
        name = wanted or next((n for n in names if _has_headings(values[n], known)), names[0])
        found, bare, end = _cells(values[name], formulas[name])
    except TableError:
        raise
    except (
        InvalidFileException,
        KeyError,
        ValueError,
        TypeError,
        AttributeError,
        IndexError,
        OSError,
        SyntaxError,
    ) as no:
        raise TableError(f"The workbook cannot be read ({type(no).__name__}). Save it anew, or as CSV.") from None
    others = [n for n in names if n != name]
    said = [f"This is sheet {name}."] if others else []
    said += [f"Left alone: {', '.join(others)}; take one with --sheet NAME."] if others else []
    said += [f"Row {n} has a formula without its result, kept as words: open the sheet and save it." for n in bare[:5]]
    said += [f"Not looked at: what stands below row {end}, behind {MOST_ROWS} empty rows."] if end else []
    return iter(found), tuple(said)


def _refuse_bombs(data: bytes) -> None:
    """Raises TableError for an archive that is no workbook, or that would unpack to more than one holds."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            parts = archive.infolist()
    except (zipfile.BadZipFile, ValueError, OSError, NotImplementedError):
        raise TableError("The workbook is damaged. Open it and save it anew, or as CSV.") from None
    if not any(part.filename == "xl/workbook.xml" for part in parts):
        raise TableError("This is an archive, but no XLSX workbook. Save the sheet as XLSX or CSV.")
    if sum(part.file_size for part in parts) > MOST_UNPACKED_BYTES or len(parts) > 2000:
        raise TableError("The workbook is too large: save the sheet with your kites alone as CSV.")


def _has_headings(sheet: Any, known: Callable[[str], bool]) -> bool:
    for row in sheet.iter_rows(max_row=20, max_col=MOST_COLUMNS, values_only=True):
        if sum(known(_text(cell)) for cell in row if cell is not None) > 1:
            return True
    return False


def _cells(values: Any, formulas: Any) -> tuple[list[tuple[int, list[str]]], list[int], int]:
    """Rows that hold anything, the rows whose formulas have no result, and where reading ended before the sheet did.

    A word lost far below a table, in the last row there can be, would take minutes to come to.
    """
    found: list[tuple[int, list[str]]] = []
    bare: list[int] = []
    last = 0
    both = zip(
        values.iter_rows(max_col=MOST_COLUMNS + 1, values_only=True),
        formulas.iter_rows(max_col=MOST_COLUMNS + 1, values_only=True),
        strict=False,
    )
    for number, (row, written) in enumerate(both, 1):
        if number - last > MOST_ROWS:
            return found, bare, number - 1
        if row.count(None) == len(row) and written.count(None) == len(written):
            continue
        cells = [_text(value) or _formula(text) for value, text in zip(row, written, strict=False)]
        while cells and not cells[-1]:
            cells.pop()
        if not cells:
            continue
        last = number
        if any(value is None and _formula(text) for value, text in zip(row, written, strict=False)):
            bare.append(number)
        found.append((number, cells))
        if len(found) > MOST_ROWS + 1:
            break
    return found, bare, 0


def _formula(value: Any) -> str:
    """A formula as it is written, also one of a whole block of cells; "" for what is none."""
    from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

    if isinstance(value, DataTableFormula):
        return "=TABLE()"
    text = value.text if isinstance(value, ArrayFormula) else value
    return text if isinstance(text, str) and text.startswith("=") else ""


def _text(value: Any) -> str:
    """A cell as a maker reads it: a day as 2024-05-03, a number in its own figures."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return f"{value:.12g}"
    return str(value)
