"""One at a time: locks that the system itself lets go of when their process ends, however it ends."""

from __future__ import annotations

import contextlib
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from bowbook.storage.exchange import state_folder
from bowbook.storage.os_errors import StorageError

try:
    import fcntl
except ImportError:  # Windows has its own
    fcntl = None  # type: ignore[assignment]

PATIENCE_S = 60.0
WRITING_S = 15.0  # that one command waits for another to be done with the maker's files
BETWEEN_S = 0.05


class Lock:
    """A lock on a file, made if need be, or on a folder."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._handle: int | None = None

    @property
    def held(self) -> bool:
        """Whether this process has it."""
        return self._handle is not None

    def take(self, waiting: Callable[[], None], patience_s: float = PATIENCE_S) -> bool:
        """Take the lock, waiting for whoever has it; False if that takes longer than `patience_s`.

        `waiting` is called once, if another process has it.
        """
        flags = os.O_RDONLY if self._path.is_dir() else os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
        handle = os.open(self._path, flags, 0o644)
        end = time.monotonic() + patience_s
        said = False
        while not _try(handle):
            if time.monotonic() > end:
                os.close(handle)
                return False
            if not said:
                waiting()
                said = True
            time.sleep(BETWEEN_S)
        self._handle = handle
        return True

    def give(self) -> None:
        """Let the lock go."""
        if self._handle is not None:
            handle, self._handle = self._handle, None
            with contextlib.suppress(OSError):  # nothing was written through it, and it is closed whatever is said
                os.close(handle)


def _try(handle: int) -> bool:
    """Take the lock if nobody has it."""
    try:
        if fcntl is not None:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        else:
            import msvcrt

            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined,unused-ignore]
    except OSError:
        return False
    return True


@contextlib.contextmanager
def book_lock(root: Path) -> Iterator[None]:
    """Hold the book's lock for writing: whoever changes a file under content/ reads it and replaces it within this.

    Raises StorageError where another command keeps it for longer than WRITING_S, or nothing may be written.
    Not to be taken twice by one process.
    """
    lock = Lock(state_folder(root) / "writing")
    if not lock.take(lambda: None, WRITING_S):
        what = f"Another command has been writing into this book for {WRITING_S:g} seconds."
        raise StorageError(str(root), what, "Wait for it to end, then give this command again.")
    try:
        yield
    finally:
        lock.give()
