"""Files as they were looked at, and whether they have changed since.

A file's place, size and times tell whether it may have changed; only its bytes tell whether it has.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from pathlib import Path

from msgspec import Struct

from bowbook.book.values import fingerprint
from bowbook.storage.files import digest_of, kept_ns
from bowbook.storage.regular import NotPlainError, digest_of_plain

# A change within this time of being looked at could leave a file's times as they were: then its bytes are read again.
SURE_AFTER_NS = 2_000_000_000
_NOTHING_THERE = {errno.ENOENT, errno.ENOTDIR, errno.EACCES, errno.EPERM, errno.ELOOP}


class FileChangedError(Exception):
    """A file does not hold any more what it held when it was looked at."""


class FileStamp(Struct, frozen=True):
    """One file as it was looked at: inode, size, its two times in ns, when it was looked at, SHA-256 of its bytes."""

    inode: int
    size: int
    changed_ns: int
    status_ns: int
    seen_ns: int
    digest: str

    def still(self, now: os.stat_result) -> bool:
        """Whether the file is surely the one that was looked at."""
        same = (self.inode, self.size, self.changed_ns, self.status_ns) == (
            now.st_ino,
            now.st_size,
            now.st_mtime_ns,
            now.st_ctime_ns,
        )
        return same and self.status_ns < self.seen_ns - SURE_AFTER_NS


class FileBytes:
    """What a file holds, known by the digest that was taken when it was looked at."""

    def __init__(self, path: Path, digest: str) -> None:
        self._path, self._digest = path, digest

    @cached_property
    def fingerprint(self) -> bytes:
        """Of its bytes."""
        return fingerprint(self._digest.encode())

    def __call__(self) -> bytes:
        """Its bytes. Raises FileChangedError."""
        try:
            data = self._path.read_bytes()
        except OSError as error:
            raise FileChangedError from error
        if digest_of(data) != self._digest:
            raise FileChangedError
        return data


def stamps(paths: Iterable[tuple[str, str]], known: Mapping[str, FileStamp]) -> dict[str, FileStamp]:
    """Every file by a name of its own, from pairs of name and path; bytes are read only where `known` isn't sure."""
    now_ns = kept_ns(time.time_ns())  # for comparing with files' times only; it reaches no output
    found: dict[str, FileStamp] = {}
    for name, path in paths:
        try:
            seen = os.stat(path)  # noqa: PTH116 a Path for each of thousands would cost more than the look itself
            was = known.get(name)
            if was is not None and was.still(seen):
                found[name] = was
                continue
            digest = digest_of_plain(path)
        except NotPlainError:
            digest = "not a file"
        except OSError:
            seen, digest = os.lstat(path), "not to be read"
        times = kept_ns(seen.st_mtime_ns), kept_ns(seen.st_ctime_ns)
        found[name] = FileStamp(seen.st_ino, seen.st_size, *times, now_ns, digest)
    return found


def files_under(folder: Path, name: str, suffix: str = "") -> Iterator[tuple[str, str]]:
    """Name and path of all files in a folder and below, the folder having this name.

    A link to a file counts as one, a link to a folder is not gone into. An empty folder counts as a file where all
    are asked for: it may stand where one belongs.
    """
    waiting = [(str(folder), name)]
    while waiting:
        here, lead = waiting.pop()
        try:
            entries = list(os.scandir(here))
        except OSError as refused:
            if refused.errno not in _NOTHING_THERE:
                raise
            continue
        if not entries and not suffix:
            yield lead, here
        for entry in entries:
            if entry.is_dir(follow_symlinks=False):
                waiting.append((entry.path, f"{lead}/{entry.name}"))
            elif entry.name.endswith(suffix):
                yield f"{lead}/{entry.name}", entry.path
