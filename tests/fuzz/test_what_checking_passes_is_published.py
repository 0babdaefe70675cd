"""Whatever checking passes is published: whole books made up from the schema, their values at every edge."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from whole_books import book, hold

from bowbook.pages.theme import load_theme

EVERYDAY = settings(max_examples=75, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
LONG = settings(max_examples=20_000, deadline=None, suppress_health_check=list(HealthCheck))


def _holds(folder: Path, seed: int) -> bool:
    dice = random.Random(seed)
    return hold(book(dice, folder / f"b{seed}"), load_theme(None, folder), dice)


def test_what_checking_passes_can_be_made(tmp_path: Path) -> None:
    """Seventy-five books: where checking names nothing, figures, pages, data and shared files come out."""
    passed = 0

    @EVERYDAY
    @given(st.integers(0, 2**32))
    def all_of_them(seed: int) -> None:
        nonlocal passed
        passed += _holds(tmp_path, seed)

    all_of_them()
    assert passed > 15  # else it would say nothing


@pytest.mark.fuzz
@LONG
@given(seed=st.integers(0, 2**63))
def test_twenty_thousand_books(seed: int, tmp_path_factory: pytest.TempPathFactory) -> None:
    """The same for twenty thousand books, other ones each time."""
    import shutil

    folder = tmp_path_factory.mktemp("books")
    _holds(folder, seed)
    shutil.rmtree(folder)
