"""The plan for a table talked over at a terminal: each column changed by its number, then agreed to."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from msgspec.structs import replace

from bowbook.book.records import Book
from bowbook.importing.columns import FIELDS
from bowbook.importing.day_cells import DAY_FIRST, MONTH_FIRST
from bowbook.importing.table import NotesTable
from bowbook.importing.table_kites import TakenTable, take_over, with_losses
from bowbook.importing.table_plan import TablePlan, open_days, with_column
from bowbook.importing.table_plan_file import field_named, unit_named
from bowbook.importing.table_plan_report import say_fields, say_table_plan
from bowbook.terminal.output import tell
from bowbook.terminal.prompts import LeftError, ask, one_of
from bowbook.wording import numbers

_HELP: Final = (
    "Write a column's number, then what it is. `fields` lists what it may be. Ctrl-C leaves, nothing written."
)


def talk_over(table: NotesTable, plan: TablePlan, book: Book) -> tuple[TablePlan, TakenTable]:
    """The plan as the maker wants it, and what comes of it. Raises LeftError where the maker leaves or says no."""
    units = book.settings.units
    while True:
        taken = take_over(table, plan, book)
        say_table_plan(with_losses(plan, taken), units)
        days = open_days(table, plan)
        if days:
            order = ask(
                f"{days[0]}: is the day or the month first? (Enter keeps such days as words)",
                one_of({"": "", "day": DAY_FIRST, "month": MONTH_FIRST}, "day or month"),
            )
            if order:
                plan = replace(plan, days=order, days_why="you say so")
                continue
            plan = replace(plan, days_why="nobody said which comes first")
        number = ask("Column to change (number; Enter goes on; ? helps)?", _number(len(plan.columns)), _HELP)
        if number is None:
            break
        if number == 0:
            say_fields()
            continue
        plan = _changed(plan, number - 1)
    kites = numbers.counted(len(taken.kites), "kite")
    if not taken.kites:
        return plan, taken
    if not ask(f"Take {kites}? [yes]", one_of({"": True, "yes": True, "no": False}, "yes or no")):
        raise LeftError
    return plan, taken


def _changed(plan: TablePlan, index: int) -> TablePlan:
    """The plan with one column as the maker says."""
    column = plan.columns[index]
    now = (column.maybe or column.field).replace(".", " ")
    field = ask(
        f"{column.heading} is? [{now}]",
        lambda answer: field_named(answer or now),
        "A name from `fields`, words or nothing.",
    )
    unit = ""
    if field in FIELDS and FIELDS[field].kind:
        unit = ask(
            f"Unit of its bare figures? [{column.unit or 'the book'}]",
            lambda answer: unit_named(answer or column.unit, field),
        )
    tell(f"{column.heading} is taken as {field.replace('.', ' ')}{f' in {unit}' if unit else ''}.", "  ")
    return with_column(plan, column.place, field, unit)


def _number(most: int) -> Callable[[str], int | None]:
    """A column's number, 0 for `fields`, None for Enter alone."""

    def understand(answer: str) -> int | None:
        if answer.casefold() in ("", "yes"):
            return None
        if answer.casefold() == "fields":
            return 0
        if answer.isascii() and answer.isdigit() and len(answer) < 5 and 1 <= int(answer) <= most:
            return int(answer)
        raise ValueError(f"Write a number from 1 to {most}, fields, or press Enter to go on.")

    return understand
