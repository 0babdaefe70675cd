"""A script may read the site's data file or ask `check --json`: it gets the same object."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from bowbook.build.publish import publish
from bowbook.commands.check import command
from everyday_edits import far_reading
from sample_book import lively_book


def test_the_data_file_says_what_check_prints(tmp_path: Path) -> None:
    """From nothing, and again after a reading far from the others has moved the pooled figures."""
    book = lively_book(tmp_path / "book")
    for turn in range(2):
        assert publish(book).wrote
        printed = CliRunner().invoke(command, ["--json", "--book", str(book)])
        assert json.loads((book / "output/data/kites.json").read_text()) == json.loads(printed.output)
        far_reading(book, turn)
