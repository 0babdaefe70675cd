"""The one way to open a file that somebody else may have put there: plain files only, never more than can be used."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

_BLOCK = 1 << 20
_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)


class NotPlainError(OSError):
    """A folder, a pipe, a device or a socket where a plain file belongs."""


class TooLargeError(OSError):
    """A file of more bytes than may be read."""


def read_plain(path: Path | str, most: int) -> bytes:
    """All bytes of a plain file. Raises TooLargeError for more than `most`, NotPlainError for what is no plain file.

    A pipe without a writer is not waited for. Any other OSError is the system's own.
    """
    handle = _open_plain(path)
    try:
        size = os.fstat(handle).st_size
        if size > most:
            raise TooLargeError(errno.EFBIG, f"it holds {size / 1e6:.1f} MB", str(path))
        data = b"".join(_blocks(handle, most + 1))
    finally:
        os.close(handle)
    if len(data) > most:  # it has grown since, or its size is not what it says
        raise TooLargeError(errno.EFBIG, f"it holds more than {most / 1e6:.1f} MB", str(path))
    return data


@contextlib.contextmanager
def opened_plain(path: Path | str) -> Iterator[BinaryIO]:
    """A plain file, open for reading. Raises NotPlainError for what is none."""
    with os.fdopen(_open_plain(path), "rb") as file:
        yield file


def digest_of_plain(path: Path | str) -> str:
    """SHA-256 of a plain file, in hexadecimal, read block by block. Raises NotPlainError for what is none."""
    whole = hashlib.sha256()
    handle = _open_plain(path)
    try:
        for block in _blocks(handle, os.fstat(handle).st_size):  # what is written behind it meanwhile is not awaited
            whole.update(block)
    finally:
        os.close(handle)
    return whole.hexdigest()


def _open_plain(path: Path | str) -> int:
    """A handle to read a plain file by; nothing that could wait or act on being opened is opened."""
    kind = os.stat(path).st_mode  # noqa: PTH116 paths of all kinds come here
    if stat.S_ISREG(kind):
        handle = os.open(path, _FLAGS)
        kind = os.fstat(handle).st_mode
        if stat.S_ISREG(kind):
            return handle
        os.close(handle)  # it was changed for something else in between
    raise NotPlainError(errno.EISDIR if stat.S_ISDIR(kind) else errno.EINVAL, what_it_is(kind), str(path))


def what_it_is(mode: int) -> str:
    """What stands in the place of a plain file, as a sentence goes on after "this is".

    >>> what_it_is(stat.S_IFIFO)
    'a pipe, not a file'
    """
    kinds = ((stat.S_ISDIR, "a folder"), (stat.S_ISFIFO, "a pipe"), (stat.S_ISSOCK, "a socket"))
    kind = next((name for test, name in kinds if test(mode)), "a device")
    return f"{kind}, not a file"


def _blocks(handle: int, most: int) -> Iterator[bytes]:
    while most > 0 and (block := os.read(handle, min(_BLOCK, most))):
        most -= len(block)
        yield block
