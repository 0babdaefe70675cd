"""`bowbook take`: old records from a table of rows into kite files."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from bowbook.commands.common import book_option, open_book
from bowbook.terminal.output import say, tell

if TYPE_CHECKING:
    from bowbook.book.records import Book
    from bowbook.importing.table import NotesTable
    from bowbook.importing.table_kites import TakenTable
    from bowbook.importing.table_plan import TablePlan


@click.command("take")
@click.argument("table", type=click.Path(path_type=Path, exists=True), metavar="FILE", required=False)
@click.option("--look", is_flag=True, help="Only show the plan; write nothing.")
@click.option(
    "--plan",
    "plan_path",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Follow this plan; where it is not there yet, write it.",
)
@click.option("--sheet", default="", help="Which sheet of a workbook.")
@click.option("--fields", is_flag=True, help="List everything a column may be, with the headings recognised.")
@click.option("--yes", is_flag=True, help="Ask nothing; what is doubtful stays words.")
@book_option
def command(
    table: Path | None, look: bool, plan_path: Path | None, sheet: str, fields: bool, yes: bool, book: Path
) -> None:
    """Take old records over: every kite in FILE (CSV, TSV or XLSX) becomes a kite file. It never overwrites.

    One row per kite, per reading or per flight: rows of one name are one kite. First it shows what each column is
    taken for, in which unit; on a terminal you change any by its number. Without a terminal only what is certain
    is taken. What you typed stays typed; what has no place of its own is kept as words in the kite's story. The
    same table taken twice writes nothing twice.

    \b
    Examples:
      bowbook take old-notebook.csv
      bowbook take old-notebook.csv --look
      bowbook take old-notebook.xlsx --plan plan.yaml
      bowbook take --fields
    """
    from bowbook.importing.headings import is_understood
    from bowbook.importing.table import TableError, read_table
    from bowbook.importing.table_plan_file import TablePlanError
    from bowbook.importing.table_plan_report import say_fields

    if fields:
        say_fields()
        return
    if table is None:
        raise click.UsageError(
            "Name the file with your old records, or see what a column may be: bowbook take --fields"
        )
    read = open_book(book)
    try:
        found = read_table(table, is_understood, sheet)
        for sentence in found.said:
            tell(sentence)
        plan = _planned(found, read, plan_path)
        asking = sys.stdin.isatty() and not yes and not look
        plan, taken = _agreed(found, plan, read, asking)
        _say_rows(taken)
        if plan_path and not plan_path.exists() and _keep_plan(plan, taken, plan_path) and not (asking or yes):
            look = True
    except (TableError, TablePlanError) as wrong:
        for line in str(wrong).split("\n"):
            tell(line, err=True)
        sys.exit(1)
    if look:
        say(f"{len(taken.kites)} kites found. Nothing was written.")
    elif not _write(book, read, taken):
        sys.exit(1)


def _planned(table: NotesTable, book: Book, path: Path | None) -> TablePlan:
    """The plan of the table's own making, or as a plan's file has it."""
    from bowbook.importing.table_plan import make_plan
    from bowbook.importing.table_plan_file import followed, read_wishes

    plan = make_plan(table, book.settings.units)
    if path is None or not path.exists():
        return plan
    plan, unsaid = followed(plan, read_wishes(path))
    if unsaid:
        tell(f"{path.name} says nothing of: {', '.join(unsaid)}.")
    return plan


def _agreed(table: NotesTable, plan: TablePlan, book: Book, asking: bool) -> tuple[TablePlan, TakenTable]:
    """The plan shown, talked over where the maker can be asked, and what comes of it."""
    from bowbook.importing.table import TableError
    from bowbook.importing.table_kites import take_over, with_losses
    from bowbook.importing.table_plan_report import say_table_plan

    if asking:
        from bowbook.importing.take_session import talk_over

        plan, taken = talk_over(table, plan, book)
    else:
        taken = take_over(table, plan, book)
        say_table_plan(with_losses(plan, taken), book.settings.units)
    if plan.column_of("name") is None:
        raise TableError(
            "No column is headed name (or kite): one must say which kite each row is about. "
            "Head one so, or say which it is in a plan: --plan plan.yaml"
        )
    return plan, taken


def _say_rows(taken: TakenTable) -> None:
    """What is to be said row by row."""
    for number, sentence in taken.said:
        tell(f"row {number}: {sentence}", "- ")


def _keep_plan(plan: TablePlan, taken: TakenTable, path: Path) -> bool:
    """Write the plan down, for this table and the next of its shape; True."""
    from bowbook.importing.table_kites import with_losses
    from bowbook.importing.table_plan_file import plan_text
    from bowbook.storage.backups import write_new

    write_new(path.absolute(), plan_text(with_losses(plan, taken)).encode())
    tell(f"The plan is in {path}. Change in it what you like, then give the same command again.")
    return True


def _write(root: Path, book: Book, taken: TakenTable) -> bool:
    """Write what is new of the kites; whether nothing was left out."""
    from bowbook.importing.write_old_kites import write_old_kite

    new = added = grown = 0
    whole = True
    for kite in taken.kites:
        wrote = write_old_kite(root, kite, book.settings.units)
        new += wrote.new
        added += wrote.added
        grown += wrote.added > 0
        for sentence in wrote.left:
            whole = False
            tell(sentence, "- ")
    if not new and not added and whole and taken.kites:
        say("Everything in it stands in your kites' files already: nothing to write.")
        return True
    more = f", {added} things added to {grown} that were there" if added else ""
    say(f"{new} of {len(taken.kites)} kites written to content/kites{more}. Next: bowbook check")
    return whole
