"""What is printed: it teaches, it fits 80 columns, it carries no colour where none is wanted, and no traceback ever."""

from __future__ import annotations

import json
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from bowbook.cli import COMMANDS, main
from helpers import run_bowbook

Run = Callable[..., Result]
NAMES = [name for part in COMMANDS.values() for name in part]


@pytest.mark.parametrize("name", NAMES)
def test_every_command_teaches_with_an_example(name: str, tmp_path: Path, run: Run) -> None:
    """`--help` of every command fits 80 columns and shows how the command is typed."""
    result = run(tmp_path, name, "--help")
    assert result.exit_code == 0
    assert f"  bowbook {name}" in result.output.partition("Example")[2]
    assert max(map(len, result.output.splitlines())) <= 80


def test_help_lists_every_command_and_the_exit_statuses(tmp_path: Path, run: Run) -> None:
    """The first help names all commands with a line each, and what the exit statuses mean."""
    said = run(tmp_path, "--help").output
    assert [name for name in NAMES if f"  {name}" not in said] == []
    assert "0 all is well, 1 something is wrong" in said
    assert max(map(len, said.splitlines())) <= 80


def test_help_is_the_same_as_the_commands() -> None:
    """The list behind the help and the modules with the commands are the same."""
    from importlib.resources import files

    modules = {p.name.removesuffix(".py") for p in files("bowbook.commands").iterdir() if p.name.endswith(".py")}
    assert modules - {"__init__", "common"} == set(NAMES)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("chek",), "Did you mean"),
        (("bench",), "Name a kite"),
        (("bench", "nobody"), "There is no kite nobody"),
        (("bench", "dunln"), "Did you mean dunlin?"),
        (("bench", "dunlin", "--left", "heavy"), "--left: `heavy` is not a weight"),
        (("bench", "dunlin", "--left", "0 g"), "more than nothing"),
        (("bench", "dunlin", "--on", "yesterday"), "--on"),
        (("bench", "dunlin", "--json"), "--json needs the readings"),
        (("fly", "dunlin", "--wind", "strong"), "--wind: `strong` is not a wind"),
        (("fly", "dunlin", "--wind", "9-4 mph"), "--wind"),
        (("fly", "dunlin", "--best", "5-7", "--control", "6"), "--control"),
        (("choose",), "Name a kite and a wind"),
        (("choose", "dunlin"), "Which wind?"),
        (("choose", "dunlin", "--wind", "200 g"), "--wind"),
        (("choose", "dunlin", "--wind", "4-7 mph", "--rod", "oak"), "There is no rod oak"),
        (("choose", "--like", "dunlin", "--wind", "4-7 mph"), "give one of them"),
        (("take", "nothing.csv"), "does not exist"),
        (("schema", "moon"), "moon"),
        (("publish", "--workers", "0"), "--workers"),
        (("check", "--book", "nowhere"), "There is no book"),
        (("preview", "--port", "70000"), "--port"),
    ],
    ids=" ".join,
)
def test_wrong_usage_is_answered_with_status_2(words: Any, said: Any, own_book: Path, run: Run) -> None:
    """A command that is not understood says what to type instead."""
    result = run(own_book, *words)
    assert result.exit_code == 2, result.output
    assert said in " ".join(result.output.split())


@pytest.mark.parametrize("name", [n for n in NAMES if n not in ("begin", "schema", "publish")])
def test_outside_a_book_every_command_says_so(name: str, tmp_path: Path, run: Run) -> None:
    """In a folder without a book, a maker is told where to go or how to begin one."""
    (tmp_path / "old.csv").write_text("name\nKnot\n", encoding="utf-8")
    words = {"take": ("old.csv",), "choose": ("dunlin", "--wind", "3 mph"), "check": (), "preview": ()}
    result = run(tmp_path, name, *words.get(name, ("dunlin",)))
    assert result.exit_code == 2
    assert "begin one" in " ".join(result.output.split())


def test_a_problem_ends_with_status_1_at_its_line(own_book: Path, run: Run) -> None:
    """A typo is shown with file and line; the same kite's bench says so too instead of asking."""
    file = own_book / "content" / "kites" / "ruff.md"
    file.write_text("---\nname: Ruff\nmas: 21 g\n---\n", encoding="utf-8")
    for words in (("check",), ("bench", "ruff")):
        result = run(own_book, *words)
        assert result.exit_code == 1
        assert "content/kites/ruff.md:3" in result.output


def test_names_cannot_steer_the_terminal(own_book: Path, run: Run) -> None:
    """Escape sequences in a file are written out, never obeyed, by every command that says a name."""
    file = own_book / "content" / "kites" / "ruff.md"
    file.write_text('---\nname: "Ruff \\e[2J\\e]0;x\\a\\u202E"\nmass: "\x1b[31m"\n---\n', encoding="utf-8")
    for words in (("check",), ("bench", "ruff"), ("bench", "\x1b[2J"), ("choose", "ruff", "--wind", "4 mph")):
        assert "\x1b" not in run(own_book, *words).output.replace("\x1b[0m", "")
    file.write_text('---\nname: "R\\u202Euff"\nbow: {length: 640 mm}\n---\n', encoding="utf-8")
    assert "\u202e" not in run(own_book, "bench", "ruff", "--left", "100 g").output


def test_colour_is_for_terminals_that_want_it(own_book: Path, terminal: Callable[..., Any]) -> None:
    """On a terminal the verdict is set off; with NO_COLOR, or in a pipe, no escape sequence is printed at all."""
    words = ("bench", "dunlin", "--left", "300, 301 g", "--right", "300, 300 g")
    child = terminal(own_book, *words)
    child.expect_exact("\x1b[1m")
    child.wait()
    child = terminal(own_book, *words, NO_COLOR="1")
    child.expect("written")
    assert "\x1b" not in child.before
    child.wait()
    assert "\x1b" not in run_bowbook(*words, cwd=own_book).stdout


def test_a_terminal_that_knows_no_signs_still_gets_the_figures(own_book: Path) -> None:
    """Where the output can hold ASCII only, signs are written out instead of ending in an error."""
    done = run_bowbook(
        "choose", "dunlin", "--wind", "4-7 mph", cwd=own_book, env={"PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}
    )
    assert done.returncode == 0, done.stderr
    assert "mph" in done.stdout


def test_plain_output_fits_80_columns(own_book: Path, run: Run) -> None:
    """Plans, verdicts and understood columns can be read on a narrow terminal and in a pipe."""
    (own_book / "old.csv").write_text("name,left\nKnot,200 g\n", encoding="utf-8")
    for words in (
        ("choose", "dunlin", "--wind", "4-7 mph"),
        ("choose", "--like", "dunlin"),
        ("bench", "dunlin", "--left", "320, 321 g", "--right", "300, 300 g"),
        ("take", "old.csv", "--look"),
        ("check",),
    ):
        assert [line for line in run(own_book, *words).output.splitlines() if len(line) > 80] == []


@pytest.mark.skipif(
    os.name == "nt" or not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere"
)
def test_a_book_that_may_not_be_written_gets_a_sentence(own_book: Path, run: Run) -> None:
    """Where the machine refuses to write, the command says so and ends with status 1."""
    folder = own_book / "content" / "kites"
    folder.chmod(0o500)
    try:
        result = run(own_book, "add", "Ruff")
    finally:
        folder.chmod(0o700)
    assert result.exit_code == 1
    assert "The machine refused" in result.output


def test_figures_said_are_figures_in_json(own_book: Path, run: Run) -> None:
    """Where a figure is said, --json gives it in SI: verdicts at the bench, plans, the whole book."""
    words = ("--left", "320, 321, 319, 320 g", "--right", "280, 281, 279, 280 g", "--json")
    judged = json.loads(run(own_book, "bench", "dunlin", *words).stdout.partition("\n}")[0] + "\n}")
    assert judged["balance"]["verdict"] == "left stiffer"
    planned = json.loads(run(own_book, "choose", "dunlin", "--wind", "4-7 mph", "--json").stdout)
    assert planned["wind"]["low"] == pytest.approx(4 * 0.44704)
    assert json.loads(run(own_book, "check", "--json").stdout)["format"] == 2


def test_shells_can_complete_commands_and_kites(own_book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Completion offers commands by their beginning and kites by the files in the book."""
    from click.shell_completion import BashComplete

    monkeypatch.chdir(own_book)
    offers = BashComplete(main, {}, "bowbook", "_BOWBOOK_COMPLETE").get_completions
    assert [o.value for o in offers([], "ch")] == ["choose", "change", "check"]
    assert [o.value for o in offers(["bench"], "du")] == ["dunlin"]
