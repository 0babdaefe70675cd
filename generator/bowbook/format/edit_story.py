"""Adds to the end of a kite's story and leaves every other byte of its file as it was."""

from __future__ import annotations

import os
from pathlib import Path

from bowbook.book.quantities import HasUnits
from bowbook.format.edit_positions import EditError
from bowbook.format.kite_file import read_kite
from bowbook.format.source_file import LARGEST_BYTES
from bowbook.storage.backups import book_root, keep, write_whole
from bowbook.storage.journal import note_written
from bowbook.storage.lock import book_lock
from bowbook.storage.regular import read_plain


def append_story(path: Path, lines: str, units: HasUnits | None = None) -> Path:
    """Adds lines behind a kite's story, a blank line before them; returns where the copy of the old file is kept.

    Raises EditError where the new file would not read well; OSError where it cannot be written.
    """
    root, real = book_root(Path(os.path.abspath(path))), Path(os.path.realpath(path))  # noqa: PTH100 links in it may stay
    with book_lock(root):
        old = read_plain(real, LARGEST_BYTES)
        end = b"\r\n" if b"\r\n" in old else b"\n"
        new = old.rstrip(b"\r\n") + 2 * end + lines.encode().replace(b"\n", end) + end
        problems = read_kite(new, path.name, units).problems
        known = {problem.message for problem in read_kite(old, path.name, units).problems}
        fresh = [problem for problem in problems if problem.message not in known]
        if fresh:
            raise EditError(f"that would not read well: {fresh[0].message}", fresh[0].hint)
        kept = keep(root, real, old)
        write_whole(real, new)
        note_written(root, real, new, kept)
    return kept
