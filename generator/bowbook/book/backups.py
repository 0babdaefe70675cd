"""Files written whole or not at all, and copies of what they held before."""

from __future__ import annotations

import contextlib
import os
import re
import tempfile
from pathlib import Path

MOST_KEPT = 50  # copies of one file under .bowbook/kept; the oldest go first


def keep(path: Path, old: bytes) -> Path:
    """A copy of the file as it was, under .bowbook/kept of its book; returns its path."""
    root = next((p.parent for p in path.parents if p.name == "content"), path.parent)
    folder = root / ".bowbook" / "kept"
    folder.mkdir(parents=True, exist_ok=True)
    name = re.compile(re.escape(path.stem) + r"\.([0-9]{1,9})\.md")
    numbers = sorted(int(found[1]) for entry in os.scandir(folder) if (found := name.fullmatch(entry.name)))
    kept = folder / f"{path.stem}.{(numbers[-1] if numbers else 0) + 1}.md"
    write_whole(kept, old, 0o600)
    for number in numbers[: max(0, len(numbers) + 1 - MOST_KEPT)]:
        (folder / f"{path.stem}.{number}.md").unlink(missing_ok=True)
    return kept


def write_whole(path: Path, data: bytes, mode: int) -> None:
    """Writes a file beside its place, makes sure of it on the disk, and only then gives it its name."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".bowbook.", suffix=".part")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(name).chmod(mode)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    _sync_folder(path.parent)


def _sync_folder(folder: Path) -> None:
    """Makes sure that a new name in a folder is on the disk, where the system lets a folder be opened for it."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
