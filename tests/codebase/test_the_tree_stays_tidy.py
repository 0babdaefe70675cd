"""What is kept under version control: small modules, no leavings, nothing of one particular machine."""

from __future__ import annotations

import ast
import re
import subprocess
from fnmatch import fnmatch
from pathlib import Path

import pytest

from helpers import ROOT

TEXT = {".py", ".md", ".yaml", ".toml", ".html", ".css", ".js", ".svg", ".txt", ".xml", ".json", ".csv", ""}


def kept_files() -> list[Path]:
    """Every file that git keeps, or would if it were added now; in an exported tree, all but environments."""
    if (ROOT / ".git").exists():
        listed = subprocess.run(
            ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
            cwd=ROOT,
            capture_output=True,
            check=True,
        )
        return [p for name in listed.stdout.decode().split("\0") if name and (p := ROOT / name).is_file()]
    return [p for p in ROOT.rglob("*") if p.is_file() and ".venv" not in p.parts and "__pycache__" not in p.parts]


KEPT = kept_files()
PROGRAM = [p for p in KEPT if p.suffix == ".py"]


@pytest.mark.parametrize("file", PROGRAM, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_a_module_can_be_read_in_one_sitting(file: Path) -> None:
    """No module, of the program or of its tests, is longer than 400 lines."""
    assert len(file.read_text(encoding="utf-8").splitlines()) <= 400


def test_no_two_classes_share_a_name() -> None:
    """A class's name says which of the program's it is."""
    named: dict[str, list[str]] = {}
    for file in PROGRAM:
        if file.is_relative_to(ROOT / "generator"):
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                if isinstance(node, ast.ClassDef):
                    named.setdefault(node.name, []).append(file.relative_to(ROOT).as_posix())
    assert {name: files for name, files in named.items() if len(files) > 1} == {}


def test_nothing_generated_is_kept() -> None:
    """No site, no bytecode, no built package, no cache, no editor's leavings."""
    made = re.compile(
        r"(^|/)(__pycache__|node_modules|\.bowbook|\.venv)/|^(dist|build)/|\.(pyc|whl|swp|orig|rej|bak|log)$|~$|^output/(?!\.gitkeep$)"
    )
    assert [p for p in (f.relative_to(ROOT).as_posix() for f in KEPT) if made.search(p)] == []


def test_nothing_names_one_machine() -> None:
    """No path that exists on one machine only, no unfinished business, no merge left half done."""
    # Written in pieces, so that this file does not find itself.
    words = [
        "/ro" + "ot/",
        "/wo" + "rk/",
        "/ho" + "me/",
        "C:" + "\\Users",
        "TO" + "DO",
        "FIX" + "ME",
        "X" + "XX ",
        "<" * 7,
        ">" * 7,
    ]
    found = []
    for file in KEPT:
        if file.suffix not in TEXT:
            continue
        text = file.read_text(encoding="utf-8", errors="replace")
        found += [f"{file.relative_to(ROOT)}: {word}" for word in words if word in text]
    assert found == []


def test_no_file_is_large() -> None:
    """Everything kept is small enough to clone on a slow line."""
    assert [p.name for p in KEPT if p.stat().st_size > 400_000] == []


def test_every_test_module_is_found_from_the_root(pytestconfig: pytest.Config) -> None:
    """No folder that holds tests or doctests has a name that the run leaves out."""
    left_out = pytestconfig.getini("norecursedirs")
    rooms = {part for file in PROGRAM for part in file.relative_to(ROOT).parent.parts}
    assert [room for room in sorted(rooms) if any(fnmatch(room, pattern) for pattern in left_out)] == []
