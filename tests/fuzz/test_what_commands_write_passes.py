"""Whatever a command writes, checking passes: command lines made up, one after another on books of their own."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from any_commands import hold
from click.testing import CliRunner

from bowbook.cli import main

UNITS = (("mm", "g", "mph"), ("in", "oz", "kn"), ("cm", "N", "m/s"))


def _held(folder: Path, books: int, each: int, seed: int) -> int:
    """How many commands wrote, of so many on each of so many books."""
    wrote = 0
    for number in range(books):
        dice, book = random.Random(f"{seed} {number}"), folder / f"{number}"
        length, force, wind = UNITS[number % len(UNITS)]
        begun = ["begin", str(book), "--maker", "M", "--length", length, "--force", force, "--wind", wind]
        assert CliRunner().invoke(main, begun, input="").exit_code == 0
        wrote += sum(hold(book, dice) == 0 for _ in range(each))
    return wrote


def test_two_hundred_commands(tmp_path: Path) -> None:
    """Eight books, twenty-five commands each; a good part of them writes."""
    assert _held(tmp_path, 8, 25, 1) > 60


@pytest.mark.fuzz
def test_ten_thousand_commands(tmp_path: Path) -> None:
    """Two hundred books, fifty commands each, other ones each time."""
    assert _held(tmp_path, 200, 50, random.SystemRandom().randrange(2**32)) > 3000
