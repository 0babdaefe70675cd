"""A plan for a table in words: each column, the days, and what a column may be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from bowbook.book.records import Units
from bowbook.importing.columns import FIELDS, NOTHING, WORDS
from bowbook.importing.table_plan import Column, TablePlan, lost, unit_said
from bowbook.terminal.output import say, say_pairs, say_table, tell

_VALUE = 14  # letters of a value that the plan shows


def say_table_plan(plan: TablePlan, units: Units) -> None:
    """Print the plan: its columns by number, then what is to be said of its days."""
    rows = [
        (str(n), column.heading[:30], _values(column.values), taken_as(column), unit_said(column, units))
        for n, column in enumerate(plan.columns, 1)
    ]
    say_table(("", "heading", "values", "taken as", "unit"), rows, right=frozenset({0}))
    say()
    for line in _notes(plan):
        tell(line, "- ")


def taken_as(column: Column) -> str:
    """What a column is taken for, in the words of --fields."""
    if column.field == WORDS:
        return f"words; {column.maybe}?" if column.maybe else WORDS
    return column.field.replace(".", " ")


def _values(values: Sequence[str]) -> str:
    return " | ".join(value if len(value) <= _VALUE else value[: _VALUE - 1] + "…" for value in values)


def _notes(plan: TablePlan) -> Iterator[str]:
    for column in plan.columns:
        gone = lost(column)
        if column.field == WORDS and column.filled:
            yield f"{column.heading}: {column.why}; kept as words."
        elif gone:
            yield f"{column.heading}: {gone}."
    if plan.days:
        yield f"Days such as 4/5/2024 are read {plan.days}: {plan.days_why}."
    elif plan.days_why:
        yield f"Days such as 4/5/2024 stay words: {plan.days_why}."


def say_fields() -> None:
    """Print everything a column may be, with the headings that are recognised."""
    for whose, title in (
        ("kite", "Of the kite, once"),
        ("round or flight", "Of a round, a flight or a change"),
        ("round", "Of a round at the bench"),
        ("flight", "Of a flight"),
        ("change", "Of a change"),
    ):
        say(f"{title}:", bold=True)
        for name, field in FIELDS.items():
            if field.one == whose:
                tell(f"{name.replace('.', ' ')}: {field.says}", "  ")
                tell(" ".join(field.headings.split()), "      ")
        say()
    say("Or:", bold=True)
    say_pairs({WORDS: "kept as words in the kite's story", NOTHING: "left out"})
