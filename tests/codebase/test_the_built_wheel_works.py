"""What is installed from the built package is whole: program, starter files and themes."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from helpers import ROOT
from sample_book import lively_book

pytestmark = pytest.mark.long


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the tree as it stands, without asking any package index."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "--no-index", "--no-build-isolation"]
    subprocess.run([*build, "-w", str(folder), str(ROOT)], check=True, capture_output=True, stdin=subprocess.DEVNULL)
    (built,) = folder.glob("bowbook-*.whl")
    return built


def run_installed(installed: Path, code: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """Runs code against the installed copy, which stands before the source on the path."""
    env = {**os.environ, "PYTHONPATH": str(installed), "PYTHONUTF8": "1", "PYTHONDONTWRITEBYTECODE": ""}
    return subprocess.run([sys.executable, "-c", code], cwd=cwd, env=env, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the wheel unpacked into it, as an installer would."""
    folder = tmp_path_factory.mktemp("installed") / "lib" / "site-packages"
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(folder)
    return folder


def test_the_wheel_holds_everything_the_program_reads(wheel: Path) -> None:
    """Every file beside the modules in the source, and every file of the themes, is in the wheel.

    No test is, and no compiled code, which may lie beside any of them.
    """
    with zipfile.ZipFile(wheel) as packed:
        names = set(packed.namelist())
    source = ROOT / "generator"
    ours = {p.relative_to(source).as_posix() for p in (source / "bowbook").rglob("*") if p.is_file()}
    themes = {f"bowbook/{p.relative_to(ROOT).as_posix()}" for p in (ROOT / "themes").rglob("*") if p.is_file()}
    wanted = {name for name in ours | themes if "__pycache__" not in name and not name.endswith(".keep")}
    assert wanted <= names
    assert [name for name in names if name.startswith(("tests", "content", "conftest")) or "pycache" in name] == []


def test_the_installed_program_publishes_a_book(installed: Path, tmp_path: Path) -> None:
    """Away from the source, the installed copy publishes a book with the theme it brought along, and keeps its code."""
    lively_book(tmp_path)
    where = run_installed(installed, "import bowbook; print(bowbook.__file__)", tmp_path)
    assert Path(where.stdout.strip()).is_relative_to(installed)
    done = run_installed(installed, "from bowbook.cli import main; main(['publish'])", tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    assert (tmp_path / "output" / "index.html").is_file()
    assert list((tmp_path / "output" / "assets").glob("*.css"))
    assert list((installed / "bowbook" / "themes" / "notebook" / "templates" / "__pycache__").glob("base.*.pyc"))


def test_the_installed_program_begins_a_book(installed: Path, tmp_path: Path) -> None:
    """`begin` finds its starter files inside the package, and what it makes checks clean."""
    begin = "from bowbook.cli import main; main(['begin', 'mine', '--maker', 'Somebody', '--length', 'mm'])"
    done = run_installed(installed, begin, tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr
    check = run_installed(installed, "from bowbook.cli import main; main(['check'])", tmp_path / "mine")
    assert check.returncode == 0, check.stdout + check.stderr
