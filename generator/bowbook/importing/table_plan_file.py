"""A plan for a table as a file, so that the next table of the same shape goes through in one go."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Final

import yaml
from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.suggest import nearest
from bowbook.book.unit_tables import FACTORS, find_unit
from bowbook.format.yaml_text import in_block
from bowbook.importing.columns import FIELDS, NOTHING, WORDS
from bowbook.importing.day_cells import DAY_FIRST, MONTH_FIRST
from bowbook.importing.table_plan import Column, TablePlan, lost
from bowbook.storage.regular import TooLargeError, read_plain

LARGEST_BYTES: Final = 1_000_000
_KEYS: Final = ("heading", "values", "taken as", "unit", "why", "maybe", "lost")
_HEAD: Final = """\
# How bowbook take reads a table: change `taken as` and `unit`, then give the same command again.
# `taken as` is a name from bowbook take --fields, words (kept in the kite's story) or nothing (left out).
# `values`, `why`, `maybe` and `lost` are there to be read; what stands in them changes nothing.
"""


class TablePlanError(ValueError):
    """A plan that cannot be followed: sentences for the maker, each with its line."""


class Wish(Struct, frozen=True):
    """What a plan's file says of one heading."""

    heading: str
    field: str
    unit: str


class Wishes(Struct, frozen=True):
    """What a plan's file says: the order of days, and what each heading is."""

    days: str
    columns: tuple[Wish, ...]


def plan_text(plan: TablePlan) -> str:
    """The plan as a file."""
    lines = [_HEAD + f"days: {plan.days or 'not known'}  # {DAY_FIRST} or {MONTH_FIRST}", "columns:"]
    for column in plan.columns:
        first, *rest = in_block({key: text for key, text in _said(column) if text}, "    ")
        lines += [f"  - {first.lstrip()}", *rest]
    return "\n".join(lines) + "\n"


def _said(column: Column) -> Iterator[tuple[str, str]]:
    yield "heading", column.heading
    yield "values", " | ".join(value[:40] for value in column.values)
    yield "taken as", column.field
    yield "unit", column.unit
    yield "why", column.why
    yield "maybe", column.maybe
    yield "lost", lost(column)


def read_wishes(path: Path) -> Wishes:
    """What a plan's file says. Raises TablePlanError with every fault; OSError where it cannot be read."""
    try:
        data = read_plain(path, LARGEST_BYTES)
    except TooLargeError:
        what = f"{path.name} is too large to be a plan. Write it anew: name a file that is not there."
        raise TablePlanError(what) from None
    try:
        root = yaml.compose(data.decode("utf-8-sig"), yaml.SafeLoader)
    except (yaml.YAMLError, UnicodeDecodeError, RecursionError) as wrong:
        mark = getattr(wrong, "problem_mark", None)
        where = f":{mark.line + 1}" if mark else ""
        raise TablePlanError(
            f"{path.name}{where}: this cannot be read. Delete the file and let it be written anew."
        ) from None
    faults: list[str] = []
    found = _wishes(root, path.name, faults)
    if faults:
        raise TablePlanError("\n".join(faults))
    return found


def _wishes(root: yaml.Node | None, name: str, faults: list[str]) -> Wishes:
    keys = _keys(root)
    days = keys.get("days")
    order = days.value if isinstance(days, yaml.ScalarNode) else ""
    if days is not None and order not in (DAY_FIRST, MONTH_FIRST, "not known"):
        faults.append(f"{name}:{_line(days)}: days is {DAY_FIRST}, {MONTH_FIRST} or not known.")
    columns = keys.get("columns")
    if not isinstance(columns, yaml.SequenceNode):
        faults.append(f"{name}:1: there is no list of columns. Delete the file and let it be written anew.")
        return Wishes("", ())
    wishes = [_wish(node, name, faults) for node in columns.value]
    return Wishes("" if order == "not known" else order, tuple(wish for wish in wishes if wish))


def _wish(node: yaml.Node, name: str, faults: list[str]) -> Wish | None:
    keys = _keys(node)
    texts = {key: value.value for key, value in keys.items() if isinstance(value, yaml.ScalarNode)}
    for key in keys:
        if key not in _KEYS:
            faults.append(f"{name}:{_line(keys[key])}: {key[:40]} is no key of a column: {', '.join(_KEYS)}.")
    if "heading" not in texts or "taken as" not in texts:
        faults.append(f"{name}:{_line(node)}: a column needs its heading and what it is taken as.")
        return None
    try:
        field = field_named(texts["taken as"])
        unit = unit_named(texts.get("unit", ""), field)
    except ValueError as wrong:
        faults.append(f"{name}:{_line(keys['taken as'])}: {wrong}")
        return None
    return Wish(texts["heading"], field, unit)


def _keys(node: yaml.Node | None) -> dict[str, yaml.Node]:
    if not isinstance(node, yaml.MappingNode):
        return {}
    return {key.value: value for key, value in node.value if isinstance(key, yaml.ScalarNode)}


def _line(node: yaml.Node) -> int:
    return int(node.start_mark.line) + 1


def field_named(text: str) -> str:
    """The field that a maker names. Raises ValueError, with a sentence."""
    name = " ".join(text.casefold().split())
    if name in (WORDS, NOTHING) or name in FIELDS:
        return name
    dotted = name.replace(" ", ".")
    if dotted in FIELDS:
        return dotted
    near = nearest(name, [*FIELDS, WORDS, NOTHING], 1, 0.5)
    hint = f"Did you mean {near[0]}? " if near else ""
    raise ValueError(f"a column cannot be {text[:40]}. {hint}bowbook take --fields lists what it may be.")


def unit_named(text: str, field: str) -> str:
    """The unit that a maker names for a field's bare figures; "" for the book's own. Raises ValueError."""
    kind = FIELDS[field].kind if field in FIELDS else ""
    if not text.strip() or not kind:
        return ""
    if kind == "wind" and text.casefold() in ("bft", "beaufort"):
        return "Bft"
    unit = find_unit(text.strip(), kind)
    if unit is None:
        raise ValueError(f"{text[:40]} is no unit of {field}. Known: {', '.join(FACTORS[kind])}.")
    return unit


def followed(plan: TablePlan, wishes: Wishes) -> tuple[TablePlan, tuple[str, ...]]:
    """The plan with what a file says of its headings, and the headings of which the file says nothing."""
    left = list(wishes.columns)
    columns, unsaid = [], []
    for column in plan.columns:
        wish = next((wish for wish in left if wish.heading == column.heading), None)
        if wish is None:
            unsaid.append(column.heading)
            columns.append(column)
            continue
        left.remove(wish)
        same = (wish.field, wish.unit) == (column.field, column.unit)
        columns.append(
            replace(column, maybe="")
            if same
            else replace(column, field=wish.field, unit=wish.unit, why="the plan", maybe="")
        )
    days, why = (wishes.days, "the plan") if wishes.days else (plan.days, plan.days_why)
    return replace(plan, columns=tuple(columns), days=days, days_why=why), tuple(unsaid)
