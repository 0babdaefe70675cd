"""A disk that fails on purpose: at the k-th time something is asked of it, once or from then on."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from bowbook.site import places

# Everything publishing asks of a disk beyond reading: through `os`, and through the two calls Python has no name for.
_ASKED = [
    "open",
    "write",
    "fsync",
    "link",
    "unlink",
    "remove",
    "rename",
    "replace",
    "mkdir",
    "rmdir",
    "chmod",
    "scandir",
]
_ASKED_OF_THE_SYSTEM = ["exchange", "flush_all"]
_FULL = {"open", "write", "mkdir", "link", "fsync", "flush_all", "rename", "replace"}


@dataclass(slots=True)
class Disk:
    """Counts what is asked of it. `fails_at` is the number of the request that fails, from 1; 0 for none."""

    fails_at: int = 0
    for_good: bool = False
    asked: int = 0
    failed: list[str] = field(default_factory=list)

    def ask(self, what: str) -> None:
        """Count one request; fail where it is its turn."""
        self.asked += 1
        if self.fails_at and (self.asked == self.fails_at or (self.for_good and self.asked > self.fails_at)):
            self.failed.append(what)
            code = errno.ENOSPC if what in _FULL else errno.EIO
            raise OSError(code, os.strerror(code), what)


def _asking(disk: Disk, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
    def ask(*args: Any, **settings: Any) -> Any:
        # Reading is not counted: what is tested is that nothing of the site is lost when writing fails.
        reads = name == "open" and len(args) > 1 and isinstance(args[1], int) and args[1] & 3 == os.O_RDONLY
        if not reads:
            disk.ask(name)
        return real(*args, **settings)

    return ask


@contextlib.contextmanager
def failing(disk: Disk) -> Iterator[Disk]:
    """Let everything asked of the real disk go through this one first."""
    rooms: list[tuple[Any, str]] = [(os, name) for name in _ASKED] + [(places, name) for name in _ASKED_OF_THE_SYSTEM]
    real = {(room, name): getattr(room, name) for room, name in rooms}
    try:
        for room, name in rooms:
            setattr(room, name, _asking(disk, name, real[room, name]))
        yield disk
    finally:
        for room, name in rooms:
            setattr(room, name, real[room, name])
