"""Every public function says what it gives; those of the mechanics say it with units, and match their signatures."""

from __future__ import annotations

import ast
import inspect
import re
from importlib import import_module
from pathlib import Path
from types import FunctionType, ModuleType

import pytest

from helpers import ROOT

PROGRAM = ROOT / "generator" / "bowbook"
# The numerics underneath work on grids without units.
MODULES_OF_MECHANICS = sorted({f.stem for f in (PROGRAM / "mechanics").glob("*.py")} - {"__init__", "gauss"})
MODULES = sorted(PROGRAM.rglob("*.py"))
# What may stand for a unit beside a number. Words are for what is not a number, or has none.
UNIT = re.compile(
    r"(?<![\w])(N m²|N m2|N·m²|N m|N/m|µN·m|m/s|m²|m⁴|m³|mm|m|N|Pa|kg/m³|kg/m²|kg|rad|degrees|1/m|°)(?![\w])"
    r"|no unit|any unit|fraction|factor|ratio|share|relative|shape|index|count|whole number|degrees of freedom|quantile"
    r"|number of|freedom|logarithm|same unit|exponent|EI\(s\)|profile|section|True|name|probability|level|points"
)


def public_functions(module: ModuleType) -> list[FunctionType]:
    """The functions a module defines for others."""
    return [
        thing
        for name, thing in vars(module).items()
        if inspect.isfunction(thing) and thing.__module__ == module.__name__ and not name.startswith("_")
    ]


MECHANICS = [f for name in MODULES_OF_MECHANICS for f in public_functions(import_module(f"bowbook.mechanics.{name}"))]


def entries(doc: str, heading: str) -> list[str]:
    """The entries of one section of a docstring: a line that begins one, with its further lines."""
    found = re.search(rf"^{heading}\n-+\n(.*?)(?=\n\n|\n\w+\n-+\n|\Z)", inspect.cleandoc(doc), re.S | re.M)
    if not found:
        return []
    return re.sub(r"\n +", " ", found[1]).split("\n")


@pytest.mark.parametrize("file", MODULES, ids=lambda f: f.relative_to(PROGRAM).as_posix())
def test_every_public_thing_has_its_first_line(file: Path) -> None:
    """A module's first line says what it is for; a public function's or class's says what it gives."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    assert ast.get_docstring(tree), "the module says nothing about itself"
    missing = [
        node.name
        for node in tree.body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
        and not node.name.startswith("_")
        and not ast.get_docstring(node)
        and not any(ast.unparse(decorator) == "overload" for decorator in node.decorator_list)
    ]
    assert missing == []


@pytest.mark.parametrize("function", MECHANICS, ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_a_function_of_mechanics_documents_its_own_parameters_with_units(function: FunctionType) -> None:
    """Where parameters are listed, they are those of the signature, in order, each with a unit or why it has none."""
    doc = function.__doc__ or ""
    listed = entries(doc, "Parameters")
    names = [name.strip() for line in listed for name in line.split(" : ")[0].split(",")]
    assert names == list(inspect.signature(function).parameters) or ("Parameters" not in doc and ">>>" in doc)
    assert [line for line in listed if not UNIT.search(line.partition(" : ")[2])] == []


def test_most_of_mechanics_lists_its_parameters() -> None:
    """The short form is for helpers: at least two thirds of the public functions carry the whole contract."""
    whole = [f for f in MECHANICS if entries(f.__doc__ or "", "Parameters")]
    assert MECHANICS
    assert len(whole) >= len(MECHANICS) * 2 / 3
