"""Takes back what a command wrote: every file as it was before, or nothing at all where one was changed since."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from bowbook.storage.backups import write_whole
from bowbook.storage.journal import Written, digest, journal, save
from bowbook.storage.lock import book_lock


class TakingBackError(Exception):
    """What stands in the way of taking back, as sentences for the maker."""


class Taken(Struct, frozen=True):
    """One file that a command wrote: what it holds now and what it held before, None where it was not there."""

    file: str
    now: bytes
    before: bytes | None


class LastCommand(Struct, frozen=True):
    """The last command that wrote, as far as it can be taken back: its words and its files."""

    command: str
    files: tuple[Taken, ...]


def last_command(root: Path, file: str | None = None) -> LastCommand:
    """What the last command wrote, or the last one that wrote into `file`, and what it would be without it.

    Raises TakingBackError where there is none, where a file was changed since, or its copy is gone.
    """
    entries = _last(root, file)
    return LastCommand(entries[-1].command, tuple(_taken(root, chain) for chain in _by_file(entries)))


def take_back(root: Path, file: str | None, shown: LastCommand) -> None:
    """Put every file back as it was. Raises TakingBackError where anything is not as it was `shown`."""
    with book_lock(root):
        if last_command(root, file) != shown:
            raise TakingBackError("Something was written meanwhile. Look again: bowbook undo")
        gone = _last(root, file)
        for taken in shown.files:
            path = (root / taken.file).resolve()
            if taken.before is None:
                path.unlink(missing_ok=True)
            else:
                write_whole(path, taken.before)
        save(root, [entry for entry in journal(root) if entry not in gone])
        for entry in gone:
            if entry.copy:
                (root / entry.copy).unlink(missing_ok=True)


def _last(root: Path, file: str | None) -> list[Written]:
    """The entries of the last command that can be taken back together, oldest first."""
    entries = journal(root)
    wanted = [entry for entry in entries if file is None or entry.file == file]
    if not wanted:
        raise TakingBackError(f"No command has written into {file or 'this book'} that could be taken back.")
    run = wanted[-1].run
    files = dict.fromkeys(entry.file for entry in wanted if entry.run == run)
    found = []
    for name in files:
        written = [entry for entry in entries if entry.file == name]
        while written and written[-1].run == run:  # what another command wrote in between stays
            found.append(written.pop())
    return sorted(found, key=entries.index)


def _by_file(entries: Sequence[Written]) -> list[list[Written]]:
    return [[entry for entry in entries if entry.file == file] for file in dict.fromkeys(e.file for e in entries)]


def _taken(root: Path, chain: Sequence[Written]) -> Taken:
    """One file, from the first to the last time that the command wrote it."""
    first, last = chain[0], chain[-1]
    before = _copied(root, first)
    try:
        now = (root / first.file).read_bytes()
    except FileNotFoundError:
        now = b""
    if digest(now) != last.after and now != (before or b""):
        kept = f" What it held before that command stands in {first.copy}." if first.copy else ""
        raise TakingBackError(
            f"{first.file} has been changed since a command wrote it, so nothing was taken back.{kept}"
        )
    return Taken(first.file, now, before)


def _copied(root: Path, entry: Written) -> bytes | None:
    if entry.copy is None:
        return None
    try:
        return (root / entry.copy).read_bytes()
    except OSError:
        raise TakingBackError(f"The copy of {entry.file} as it was, {entry.copy}, is not there any more.") from None
