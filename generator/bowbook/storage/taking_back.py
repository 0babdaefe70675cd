"""Takes back what a command wrote: every file as it was before, or nothing at all where one was changed since."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from bowbook.storage.backups import write_whole
from bowbook.storage.files import digest_of
from bowbook.storage.journal import Written, journal, save
from bowbook.storage.lock import book_lock
from bowbook.storage.regular import read_plain

_MOST_BYTES = 100_000_000


class TakingBackError(Exception):
    """What stands in the way of taking back, as sentences for the maker."""


class WrittenFile(Struct, frozen=True):
    """One file that a command wrote: what it holds now and what it held before, None where it was not there."""

    file: str
    now: bytes
    before: bytes | None


class LastCommand(Struct, frozen=True):
    """The last command that wrote, as far as it can be taken back: its words and its files."""

    command: str
    files: tuple[WrittenFile, ...]


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
        copies = [_own(root, entry.copy, root / ".bowbook" / "kept") for entry in gone if entry.copy]
        for taken in shown.files:
            path = _own(root, taken.file, root / "content")
            if taken.before is None:
                path.unlink(missing_ok=True)
            else:
                write_whole(path, taken.before)
        save(root, [entry for entry in journal(root) if entry not in gone])
        for copy in copies:
            copy.unlink(missing_ok=True)


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


def _taken(root: Path, chain: Sequence[Written]) -> WrittenFile:
    """One file, from the first to the last time that the command wrote it."""
    first, last = chain[0], chain[-1]
    before = _copied(root, first)
    path = _own(root, first.file, root / "content")
    try:
        now = read_plain(path, _MOST_BYTES)
    except FileNotFoundError:
        now = b""
    except OSError as refused:
        raise TakingBackError(f"{first.file} cannot be read: {refused.strerror}.") from None
    if digest_of(now) != last.after and now != (before or b""):
        kept = f" What it held before that command stands in {first.copy}." if first.copy else ""
        raise TakingBackError(
            f"{first.file} has been changed since a command wrote it, so nothing was taken back.{kept}"
        )
    return WrittenFile(first.file, now, before)


def _copied(root: Path, entry: Written) -> bytes | None:
    if entry.copy is None:
        return None
    try:
        return read_plain(_own(root, entry.copy, root / ".bowbook" / "kept"), _MOST_BYTES)
    except OSError:
        raise TakingBackError(f"The copy of {entry.file} as it was, {entry.copy}, is not there any more.") from None


def _own(root: Path, name: str, folder: Path) -> Path:
    """A path of the journal, links followed. Raises TakingBackError where it leads out of the folder it belongs to.

    A book handed over may bring a journal that names anything.
    """
    try:
        path = (root / name).resolve()
    except (OSError, ValueError):  # a name that can be none
        path = Path()
    if folder.resolve() not in path.parents:
        raise TakingBackError(f"{name} is not in this book, so nothing was taken back.")
    return path
