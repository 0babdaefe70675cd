"""The book as it is read for a publish: every kite's file read once for as long as it holds the same bytes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from bowbook.book.problems import Problem
from bowbook.book.records import Kite
from bowbook.book.values import Given, bind
from bowbook.build.cache import Cache
from bowbook.format.folder import key_of, read_bytes
from bowbook.format.kite_file import KiteFile
from bowbook.format.kite_steps import KiteSteps, record, without_words
from bowbook.format.read_book import KiteEntry, assemble, read_frame
from bowbook.pages.outline import Outline, ReadBook, outline_of
from bowbook.storage.stamps import FileChangedError


def read_for_publish(root: Path, contents: Mapping[str, str], cache: Cache) -> ReadBook:
    """The book in this folder; `contents` has the digest of each of its files, by name. Raises FileChangedError."""
    frame = read_frame(root)
    kite_steps = KiteSteps(root, frame, contents)
    unread: list[Problem] = []
    entries: dict[str, KiteEntry] = {}
    outlines, records, untold = {}, {}, {}
    for name in frame.kites:
        if len(contents.get(name, "")) != 64:  # no digest: it could not be read, or is no plain file
            if read_bytes(root, name, unread) is not None:
                raise FileChangedError
            continue
        key = key_of(name)
        # A disk that refused a file now may read it the next time, so what has a problem is not kept.
        read = cache.run(KiteFile, kite_steps.reading(name), lambda file: not file.problems)
        outline = cache.run(Outline, bind(outline_of, read, Given(name)))()
        problems = cache.run(tuple[Problem, ...], kite_steps.checking(name, read), lambda found: not found)()
        draft = read().legible if problems else None
        entries[key] = KiteEntry(outline.hidden, problems, bind(record, read), draft)
        if not problems and not outline.hidden:
            outlines[key], records[key] = outline, bind(record, read)
            untold[key] = cache.run(Kite, bind(without_words, read))
    book = assemble(root, frame, entries, unread)
    return ReadBook(book, {key: outlines[key] for key in book.kites}, contents, records, untold)
