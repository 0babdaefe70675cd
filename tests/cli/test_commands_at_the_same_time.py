"""Several commands write into one book at the same time: what one says is written is there, whatever others write."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from bowbook.storage.lock import book_lock
from bowbook.storage.os_errors import StorageError

Run = Callable[..., Result]

# One process gives its command again and again, and prints the mark of each that said "written".
_WRITER = """\
import sys
from click.testing import CliRunner
from bowbook.cli import main
kind, who, rounds = sys.argv[1], sys.argv[2], int(sys.argv[3])
for n in range(rounds):
    mark = f"{who}-{n}"
    if kind == "fly":
        words = ["fly", "dunlin", "--wind", "4-9 mph", "--note", mark]
    else:
        readings = f"{100 + 300 * int(who[1:]) + n}.5 g"
        words, mark = ["bench", "dunlin", "--left", readings, "--right", "213 g"], readings
    result = CliRunner().invoke(main, words)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    assert result.exit_code in (0, 1), result.output
    if " written in " in result.output:
        print(mark)
"""


def _write_at_once(book: Path, rounds: int) -> None:
    """Four processes that fly and two at the bench, all on one kite; every mark said to be written is in the file."""
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", _WRITER, kind, f"{kind[0]}{n}", str(rounds)],
            cwd=book,
            stdout=subprocess.PIPE,
            text=True,
        )
        for kind, many in (("fly", 4), ("bench", 2))
        for n in range(many)
    ]
    said = [writer.communicate()[0].split("\n") for writer in writers]
    assert [writer.returncode for writer in writers] == [0] * 6
    marks = [mark for lines in said for mark in lines if mark]
    text = (book / "content/kites/dunlin.md").read_text(encoding="utf-8")
    assert [mark for mark in marks if not re.search(rf"\b{re.escape(mark)}\b", text)] == []
    assert sum(mark.startswith("f") for mark in marks) == 4 * rounds  # a flight is only ever put behind the others
    assert len(marks) > 4 * rounds


def test_every_flight_and_round_said_to_be_written_is(own_book: Path) -> None:
    """Four commands fly and two bench, six times over, at once: nothing that one wrote is overwritten by another."""
    _write_at_once(own_book, 6)


@pytest.mark.kill
def test_two_hundred_times_over(own_book: Path) -> None:
    """The same for two hundred rounds of six commands."""
    _write_at_once(own_book, 200)


def test_a_command_that_waits_too_long_says_so(own_book: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """While another process holds the book a command waits, then says who is in the way and writes nothing."""
    monkeypatch.setattr("bowbook.storage.lock.WRITING_S", 0.2)
    before = (own_book / "content/kites/dunlin.md").read_bytes()
    with book_lock(own_book):
        refused = run(own_book, "fly", "dunlin", "--wind", "4-9 mph")
    assert refused.exit_code == 1
    assert "Another command has been writing" in " ".join(refused.output.split())
    assert (own_book / "content/kites/dunlin.md").read_bytes() == before


@pytest.mark.parametrize("name", [".bowbook", ".bowbook/kept", ".bowbook/writing"])
def test_kept_copies_never_follow_a_link(name: str, own_book: Path, run: Run, tmp_path: Path) -> None:
    """A link where bowbook keeps its copies or its lock, as a book from elsewhere may bring, leads nowhere."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    link = own_book / name
    shutil.rmtree(own_book / ".bowbook", ignore_errors=True)
    link.parent.mkdir(exist_ok=True)
    link.symlink_to(elsewhere if name != ".bowbook/writing" else elsewhere / "file")
    result = run(own_book, "fly", "dunlin", "--wind", "4-9 mph")
    assert list(elsewhere.iterdir()) == []
    assert result.exit_code == (1 if name == ".bowbook" else 0), result.output


@pytest.mark.parametrize("name", ["kept", "bench"])
def test_a_file_where_a_folder_of_bowbooks_belongs_costs_nothing(name: str, own_book: Path, run: Run) -> None:
    """A plain file in the place of a folder for copies or unfinished rounds makes way."""
    (own_book / ".bowbook").mkdir(exist_ok=True)
    (own_book / ".bowbook" / name).write_text("in the way", encoding="utf-8")
    result = run(own_book, "bench", "dunlin", given="\n214\n213\n\n215\n214\n\n\n\n")
    assert "written in" in result.output


def test_the_lock_can_be_taken_again(own_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a writer is done the next one has the book at once; while it writes, another is refused."""
    monkeypatch.setattr("bowbook.storage.lock.WRITING_S", 0.1)
    with book_lock(own_book), pytest.raises(StorageError), book_lock(own_book):
        raise AssertionError("two writers at once")
    with book_lock(own_book):
        pass
