"""Files of the maker's written whole or not at all, and copies of what they held before."""

from __future__ import annotations

import contextlib
import os
import re
from collections.abc import Callable
from pathlib import Path

from bowbook.storage.exchange import own_folder, state_folder
from bowbook.storage.files import remove

MOST_KEPT = 50  # copies of one file under .bowbook/kept; the oldest go first


def book_root(path: Path) -> Path:
    """The folder of the book in which a file of content/ lies; the file's own folder where it lies in none."""
    return next((folder.parent for folder in path.parents if folder.name == "content"), path.parent)


def keep(root: Path, path: Path, old: bytes) -> Path:
    """A copy of the file as it was, under .bowbook/kept of its book; returns its path."""
    folder = own_folder(state_folder(root) / "kept")
    name = re.compile(re.escape(path.stem) + r"\.([0-9]{1,9})" + re.escape(path.suffix))
    numbers = sorted(int(found[1]) for entry in os.scandir(folder) if (found := name.fullmatch(entry.name)))
    kept = folder / f"{path.stem}.{(numbers[-1] if numbers else 0) + 1}{path.suffix}"
    write_whole(kept, old, 0o600)
    for number in numbers[: max(0, len(numbers) + 1 - MOST_KEPT)]:
        remove(folder / f"{path.stem}.{number}{path.suffix}")
    return kept


def write_whole(path: Path, data: bytes, mode: int | None = None) -> None:
    """Write a file beside its place, make sure of it on the disk, and only then give it its name.

    `mode` are its permissions: where not given, those of the file it replaces, else those of any new file here.
    """
    _written(path, data, mode, lambda aside: aside.replace(path))


def write_new(path: Path, data: bytes) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError where it is there."""

    def name_it(aside: Path) -> None:
        try:
            os.link(aside, path)  # refuses to replace, unlike a rename
        except FileExistsError:
            raise
        except OSError:  # a disk without links
            if os.path.lexists(path):
                raise FileExistsError(str(path)) from None
            aside.rename(path)

    _written(path, data, None, name_it)


def _written(path: Path, data: bytes, mode: int | None, name_it: Callable[[Path], object]) -> None:
    import tempfile  # only here: it brings what a publish of nothing new has no use for

    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".bowbook.", suffix=".part")
    aside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        aside.chmod(_mode_of(path) if mode is None else mode)
        name_it(aside)
    finally:
        aside.unlink(missing_ok=True)
    _sync_folder(path.parent)


def _mode_of(path: Path) -> int:
    """The permissions of a file, or those that new files get here."""
    with contextlib.suppress(OSError):
        return path.stat().st_mode & 0o7777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    """Make sure that a new name in a folder is on the disk, where the system lets a folder be opened for it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
