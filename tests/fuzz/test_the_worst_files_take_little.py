"""The worst files there are take no more than two seconds and 500 MB to read."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
import worst

from bowbook.format.kite_file import read_kite

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="limits on memory are kept by Linux alone")


def read_within_limits(*kinds: str) -> int:
    """How many files a child with limits has read; fails with the name of the one it did not come back from."""
    command = [sys.executable, str(Path(worst.__file__)), *kinds]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    *names, last = done.stdout.splitlines()
    assert last == "all read", (last, done.returncode, done.stderr[-500:])
    return len(names)


def test_the_worst_kites_take_little() -> None:
    """Bombs of aliases, blanks that a pattern could share out in a million ways, steps without end, and more."""
    assert read_within_limits("some") == len(worst.SOME)


@pytest.mark.fuzz
def test_the_worst_files_of_every_kind_take_little() -> None:
    """All of them, as kites, as pages, as book.yaml and as stock."""
    assert read_within_limits(*worst.KINDS) >= 350


def test_too_much_is_said() -> None:
    """A file that holds more values than could be read in that time is refused, in words."""
    (problem,) = read_kite(worst.KITES["more values than there may be"], "content/kites/x.md").problems
    assert "letters of keys and values" in problem.message
    assert problem.hint == "Keep them under 200000."
