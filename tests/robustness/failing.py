"""A disk that fails on purpose: at the k-th time something is asked of it, once or from then on."""

from __future__ import annotations

import builtins
import contextlib
import errno
import io
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from bowbook.storage import exchange

# What is asked of a disk by a path, by a path after another, by an open file, and by calls Python has no name for.
_BY_PATH = ["unlink", "remove", "mkdir", "rmdir", "chmod", "utime", "rename", "replace", "link", "scandir"]
_BY_SECOND = ["symlink"]
_BY_FILE = ["write", "fsync", "close", "sendfile", "copy_file_range"]
_BY_SYSTEM = ["exchange", "flush_all"]


class Cut(BaseException):
    """The power is gone: nothing that is asked for from now on is done, and nobody is there to hear of it."""


@dataclass(slots=True)
class Disk:
    """Counts what is asked of it below a folder. `fails_at` is the number of the request that fails; 0 for none.

    `code` is the error it fails with, None for a power cut. `reads` counts opening for reading, and nothing else.
    A write that fails has written half.
    """

    below: Path = Path("/")
    fails_at: int = 0
    code: int | None = errno.ENOSPC
    for_good: bool = False
    reads: bool = False
    asked: int = 0
    failed: list[str] = field(default_factory=list)
    open: set[int] = field(default_factory=set)

    def ask(self, what: str, before: Callable[[], object] = lambda: None) -> None:
        """Count one request; fail where it is its turn, after doing what is done `before` it fails."""
        self.asked += 1
        for_good = self.for_good or self.code is None
        if not self.fails_at or self.asked < self.fails_at or (self.asked > self.fails_at and not for_good):
            return
        self.failed.append(what)
        if self.code is None:
            if self.asked == self.fails_at:
                before()
            raise Cut(what)
        before()
        raise OSError(self.code, os.strerror(self.code), what)

    def holds(self, path: object) -> bool:
        """Whether a path is below the folder this disk stands for."""
        return isinstance(path, str | os.PathLike) and Path(os.fspath(path)).is_relative_to(self.below)


def _wrapped(disk: Disk, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
    """The system's call `name`, asking the disk first."""

    def by_path(*args: Any, **settings: Any) -> Any:
        path = args[1 if name in _BY_SECOND else 0]
        if not disk.reads and (disk.holds(path) or settings.get("dir_fd") is not None):
            disk.ask(f"{name} {path}")
        return real(*args, **settings)

    def by_file(*args: Any, **settings: Any) -> Any:
        file = args[0]
        if name == "close":
            ours = file in disk.open
            disk.open.discard(file)
            real(*args)  # a file is closed even where that fails
            if ours and not disk.reads:
                disk.ask(name)
            return None
        if file in disk.open and not disk.reads:
            half = (lambda: real(file, memoryview(args[1])[: len(args[1]) // 2])) if name == "write" else lambda: None
            disk.ask(name, half)
        return real(*args, **settings)

    def opening(path: Any, flags: int, *args: Any, **settings: Any) -> Any:
        reads = flags & 3 == os.O_RDONLY
        if disk.holds(path) and reads == disk.reads:
            disk.ask(f"open {path}")
        file = real(path, flags, *args, **settings)
        if disk.holds(path):
            disk.open.add(file)
        return file

    def by_name(path: Any, mode: str = "r", *args: Any, **settings: Any) -> Any:
        reads = not set(mode) & set("wax+")
        if disk.holds(path) and reads == disk.reads:
            disk.ask(f"open {path}")
        return real(path, mode, *args, **settings)

    def by_system(*args: Any) -> Any:
        if not disk.reads:
            disk.ask(name)
        return real(*args)

    if name == "open":
        return opening
    if name == "by name":
        return by_name
    return by_file if name in _BY_FILE else by_system if name in _BY_SYSTEM else by_path


@contextlib.contextmanager
def failing(disk: Disk) -> Iterator[Disk]:
    """Let everything asked of the real disk go through this one first."""
    rooms: list[tuple[Any, str, str]] = [(os, name, name) for name in ["open", *_BY_PATH, *_BY_SECOND, *_BY_FILE]]
    rooms += [(exchange, name, name) for name in _BY_SYSTEM]
    rooms += [(io, "open", "by name"), (builtins, "open", "by name")]
    real = [getattr(room, attribute) for room, attribute, _ in rooms]
    try:
        for (room, attribute, name), call in zip(rooms, real, strict=True):
            setattr(room, attribute, _wrapped(disk, name, call))
        yield disk
    finally:
        for (room, attribute, _), call in zip(rooms, real, strict=True):
            setattr(room, attribute, call)
