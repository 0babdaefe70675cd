"""The rooms of the program know only the rooms below them."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from helpers import ROOT

PROGRAM = ROOT / "generator" / "bowbook"
# What each room may import of ours, besides itself and the package's own version.
ALLOWED = {
    "book": set(),
    "mechanics": set(),
    "format": {"book", "storage"},
    "findings": {"format", "book", "mechanics"},
    "planner": {"findings", "book", "mechanics"},
    "wording": {"findings", "format", "book"},
    "charts": {"wording", "findings", "book"},
    "pages": {"sheets", "charts", "wording", "findings", "format", "book", "storage"},
    "sheets": {"charts", "wording", "planner", "findings", "format", "book"},
    "storage": {"book"},
    "build": {"pages", "sheets", "charts", "wording", "findings", "format", "book", "storage"},
    "terminal": {"build", "wording", "planner", "findings", "format", "book", "storage"},
    "importing": {"terminal", "wording", "findings", "format", "book", "storage"},
    "preview": {"build", "pages", "findings", "book", "storage"},
    "commands": {
        "terminal",
        "importing",
        "preview",
        "build",
        "pages",
        "sheets",
        "wording",
        "planner",
        "findings",
        "format",
        "book",
        "storage",
    },
    "cli": {"commands", "terminal", "storage"},
}


def room_of(file: Path) -> str:
    """The room a module is in: its folder under the package, or its own name at the top."""
    first = file.relative_to(PROGRAM).parts[0]
    return first.removesuffix(".py")


def imported_rooms(source: str) -> set[str]:
    """The rooms that a module's text imports from, wherever in it the import stands."""
    rooms = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports within the program are written out in full"
            if node.module == "bowbook":
                rooms |= {alias.name for alias in node.names if (PROGRAM / alias.name).is_dir()}
            elif node.module and node.module.startswith("bowbook."):
                rooms.add(node.module.split(".")[1])
        elif isinstance(node, ast.Import):
            rooms |= {alias.name.split(".")[1] for alias in node.names if alias.name.startswith("bowbook.")}
    return rooms


MODULES = sorted(file for file in PROGRAM.rglob("*.py") if file.parent != PROGRAM or file.name == "cli.py")


def test_an_import_upwards_would_be_seen() -> None:
    """The walk finds every way to write an import, so that a clean result means something."""
    text = "import bowbook.pages.site_plan\ndef f():\n    from bowbook import book\n    from bowbook.cli import main\n"
    assert imported_rooms(text) == {"pages", "book", "cli"}


@pytest.mark.parametrize("file", MODULES, ids=lambda f: f.relative_to(PROGRAM).as_posix())
def test_a_room_imports_only_rooms_below_it(file: Path) -> None:
    """cli → commands → terminal → build → pages, sheets → charts → findings → format → book; nothing points back up."""
    room = room_of(file)
    assert room in ALLOWED, f"{room} is a new room: say here what it may know"
    assert imported_rooms(file.read_text(encoding="utf-8")) - {room} <= ALLOWED[room]
