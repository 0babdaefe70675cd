"""Two folders changing places in one step, and which folders may be written at all."""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable
from pathlib import Path

from bowbook.storage.files import remove, replace
from bowbook.storage.os_errors import StorageError, explained

Say = Callable[[str], None]

NOTES = "Copy the book to where you may write: bowbook keeps its notes beside content/, wherever the site goes."
_AT_FDCWD = -100  # "relative to the working folder", linux/fcntl.h
_RENAME_EXCHANGE = 2  # linux/fs.h
_RENAME_SWAP = 2  # macOS sys/stdio.h
_FOLDERS = {"aside", "old", "kept", "bench", "schema", "elsewhere", "set-aside"}  # inside the state folder
_FILES = {"lock", "writing", "journal", "journal.new", ".gitignore"}
_CANNOT = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP}


def refusal(root: Path, output: Path) -> tuple[str, str] | None:
    """Why a site may not be put at `output`, and what to do instead; None if it may."""
    if output.is_symlink():
        return "This is a link, and a site is never put in place through one.", "Name the folder itself with --to."
    if output.exists() and not output.is_dir():
        return "This is a file, not a folder.", "Move it, or name another folder with --to."
    real, book = output.resolve(), root.resolve()
    if real == book or real in book.parents:
        return "The book itself lies in this folder.", "Name a folder of its own with --to."
    if real in (Path.home().resolve(), Path(real.anchor)):
        return "A site needs a folder of its own.", "Name one with --to."
    for name in ("content", "themes", ".bowbook", ".git"):
        if book / name == real or book / name in real.parents:
            return f"The book keeps its own files in {name}/.", "Name another folder with --to."
    return None


def state_folder(root: Path) -> Path:
    """The book's folder for what bowbook keeps between publishes, made if need be. Raises StorageError.

    A folder in it where a file belongs, a file or a pipe where a folder does, was never made here, and goes.
    """
    state = root / ".bowbook"
    if state.is_symlink() or (state.exists() and not state.is_dir()):
        raise StorageError(str(state), "This is not a folder of bowbook's own.", "Remove it; it is made anew.")
    with explained(state, NOTES):
        state.mkdir(exist_ok=True)
        for entry in os.scandir(state):
            odd = not entry.is_dir() if entry.name in _FOLDERS else entry.name in _FILES and not entry.is_file()
            if odd or entry.is_symlink():  # a link that came with a book may lead anywhere
                remove(Path(entry))
        ignore = state / ".gitignore"
        if not ignore.exists():  # what is kept here is of use on this machine alone
            replace(ignore, b"*\n")
    return state


def own_folder(path: Path) -> Path:
    """A folder inside the state folder, made if need be; a file or a link in its place is no maker's, and goes."""
    if path.is_symlink() or not path.is_dir():
        path.unlink(missing_ok=True)
        path.mkdir()
    return path


def own_file(path: Path) -> Path:
    """A file's place in a folder of bowbook's own; a folder that stands there is no maker's, and goes."""
    if path.is_dir():
        remove(path)
    return path


def change(new: Path, old: Path, spare: Path) -> None:
    """Put the folder `new` at `old` and what was at `old` at `new`, at once.

    Where the system has no such step the old folder goes to `spare` first: two steps, for a journal to watch over.
    """
    if not os.path.lexists(old):
        new.rename(old)
    elif not exchange(new, old):
        old.rename(spare)
        try:
            new.rename(old)
        except OSError:
            spare.rename(old)
            raise


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change names in a single step; False where the system or the disk can't."""
    import ctypes

    a, b = os.fsencode(one), os.fsencode(other)
    system = ctypes.CDLL(None, use_errno=True) if sys.platform in ("linux", "darwin") else None
    if system is not None and hasattr(system, "renameat2"):
        failed = system.renameat2(_AT_FDCWD, a, _AT_FDCWD, b, _RENAME_EXCHANGE)
    elif system is not None and hasattr(system, "renamex_np"):
        failed = system.renamex_np(a, b, _RENAME_SWAP)
    else:
        return False
    if not failed:
        return True
    code = ctypes.get_errno()
    if code in _CANNOT:
        return False
    raise OSError(code, os.strerror(code), str(other))


def flush_all(folder: Path) -> None:
    """Have everything under a folder reach the disk: in one go where the system can, else everything there is.

    Thousands of small files flushed one by one take seconds; their whole disk at once takes milliseconds.
    """
    if sys.platform == "linux":
        import ctypes

        handle = os.open(folder, os.O_RDONLY)
        try:
            failed = ctypes.CDLL(None, use_errno=True).syncfs(handle)
        finally:
            os.close(handle)
        if failed:
            code = ctypes.get_errno()
            raise OSError(code, os.strerror(code), str(folder))
    elif hasattr(os, "sync"):
        os.sync()
