"""What the makers' journeys share: a book of one's own, commands run in it, and a real terminal to type at."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

Run = Callable[..., Result]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Run:
    """Runs a command in a folder, with answers typed in; no terminal."""
    from bowbook.cli import main

    def runs(folder: Path, *words: str, given: str = "") -> Result:
        monkeypatch.chdir(folder)
        result = CliRunner().invoke(main, list(words), input=given)
        if result.exception is not None and not isinstance(result.exception, SystemExit):
            raise result.exception
        return result

    return runs


@pytest.fixture
def own_book(tmp_path: Path, run: Run) -> Path:
    """A new book, as `bowbook begin` makes it."""
    result = run(tmp_path, "begin", "kites", "--maker", "Jo")
    assert result.exit_code == 0, result.output
    return tmp_path / "kites"


@pytest.fixture
def terminal() -> Iterator[Callable[..., Any]]:
    """Starts a command on a real terminal of 80 columns; what is still running at the end is stopped."""
    pexpect = pytest.importorskip("pexpect", reason="needs a terminal of the Unix kind")
    started: list[Any] = []

    def start(folder: Path, *words: str, **env: str) -> Any:
        child = pexpect.spawn(
            sys.executable,
            ["-c", "from bowbook.cli import main; main()", *words],
            cwd=str(folder),
            env={"PATH": "/usr/bin:/bin", "TERM": "xterm", "PYTHONUTF8": "1", "LANG": "C.UTF-8", **env},
            encoding="utf-8",
            timeout=120,
            dimensions=(30, 80),
        )
        started.append(child)
        return child

    yield start
    for child in started:
        child.close(force=True)
