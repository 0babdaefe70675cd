"""What fuzzing found to be read wrongly is read rightly ever after; what each file did before stands beside it."""

from __future__ import annotations

from pathlib import Path

import pytest
import targets

FOUND = Path(__file__).with_name("found")
CASES = sorted(path.name for path in FOUND.iterdir() if path.suffix != ".note")


def test_each_says_what_it_did() -> None:
    """Every file has its note, and every note its file."""
    assert CASES
    assert sorted(path.stem for path in FOUND.glob("*.note")) == CASES


@pytest.mark.parametrize("case", CASES)
def test_what_was_found_is_read(case: str, tmp_path: Path) -> None:
    """The file, named after what it is read as, ends in records or in problems that can be shown."""
    targets.reader(case.partition("-")[0], tmp_path)((FOUND / case).read_bytes())
