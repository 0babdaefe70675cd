"""What README shows is what happens: its commands run, and print what it says they print."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from helpers import ROOT, run_bowbook

README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """The text of every block of this language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README, re.S | re.M)


def lines_in_order(shown: list[str], printed: str) -> list[str]:
    """The lines of `shown` that do not follow in `printed`, in that order."""
    rest = iter([" ".join(line.split()) for line in printed.splitlines()])
    return [line for line in shown if " ".join(line.split()) not in rest]


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, list[str]]]:
    """Every command of the console blocks, run one after another, with the shown lines that it did not print."""
    folder = tmp_path_factory.mktemp("readme")
    found = []
    for part in re.split(r"^\$ ", "".join(blocks("console")), flags=re.M)[1:]:
        command, *shown = part.rstrip("\n").split("\n")
        words = shlex.split(command)
        if words[0] == "cd":
            folder = folder / words[1]
            continue
        assert words[0] == "bowbook"
        done = run_bowbook(*words[1:], cwd=folder)
        assert done.returncode == 0, done.stderr
        found.append((command, lines_in_order(shown, done.stdout)))
        if words[1] == "add":
            found.append(("the bench, question by question", _bench(folder)))
    return found


def _bench(folder: Path) -> list[str]:
    """The lines of README's talk at the bench that did not come when its answers were given."""
    shown = blocks("text")[0].rstrip("\n").split("\n")
    answers = [found[1].strip() for line in shown if (found := re.search(r", g:(.*)$", line))]
    done = run_bowbook("bench", "turnstone", cwd=folder, given="\n".join(answers) + "\n\nyes\n\n\n\n\n")
    assert done.returncode == 0, done.stdout
    return lines_in_order(shown, done.stdout)


@pytest.mark.long
def test_commands_print_what_readme_shows(told: list[tuple[str, list[str]]]) -> None:
    """From `begin` to `publish`, every line shown is printed, in that order."""
    assert len(told) >= 6
    assert [(command, missing) for command, missing in told if missing] == []


def test_readme_has_one_line_to_publish_and_one_to_test() -> None:
    """The two setting-up commands are one line each, and the second is what the tests are run by."""
    first, second = blocks("sh")
    assert first.count("\n") == second.count("\n") == 1
    assert ".venv/bin/bowbook publish" in first
    assert second.strip() == "python3 tests/everything.py"
    assert "python3 tests/everything.py" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(name: str) -> None:
    """Every file that a document names in a link is there."""
    text = (ROOT / name).read_text(encoding="utf-8")
    assert [to for to in re.findall(r"\]\(([^)#:]+)\)", text) if not (ROOT / to).exists()] == []
