"""The book as it is read for a publish: every kite's file read once for as long as it holds the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from bowbook.book.problems import Problem
from bowbook.book.values import Given, bind
from bowbook.build.cache import Cache
from bowbook.format.folder import key_of, read_bytes
from bowbook.format.kite_file import KiteFile
from bowbook.format.kite_steps import KiteSteps
from bowbook.format.read_book import KiteEntry, assemble, read_frame
from bowbook.pages.outline import KiteRead, ReadBook, ReadKite, kite_read
from bowbook.storage.stamps import FileChangedError


def read_for_publish(root: Path, contents: Mapping[str, str], cache: Cache) -> ReadBook:
    """The book in this folder; `contents` has the digest of each of its files, by name. Raises FileChangedError."""
    frame = read_frame(root)
    kite_steps = KiteSteps(root, frame, contents)
    unread: list[Problem] = []
    steps = {}
    for name in frame.kites:
        if len(contents.get(name, "")) != 64:  # no digest: it could not be read, or is no plain file
            if read_bytes(root, name, unread) is not None:
                raise FileChangedError
            continue
        named = Given(name)
        # A disk that refused a file now may read it the next time, so what has a problem is not kept.
        file = cache.later(KiteFile, kite_steps.reading(named), lambda read: not read.problems)
        problems = cache.later(tuple[Problem, ...], kite_steps.checking(name, file), lambda found: not found)
        steps[key_of(name)] = bind(kite_read, file, problems, named)
    reads = cache.run_split(KiteRead, list(steps.values()), lambda read: not read.problems())
    outlines = cache.opened([read.outline for read in reads])
    kites, entries = {}, {}
    for key, read, outline in zip(steps, reads, outlines, strict=True):
        kites[key] = ReadKite(outline, read)
        entries[key] = KiteEntry(outline.hidden, read.problems(), read.record, read.draft())
    book = assemble(root, frame, entries, unread)
    return ReadBook(book, {key: kites[key] for key in book.kites}, contents)
