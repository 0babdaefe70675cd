"""Notes in a book's `.bowbook/`: JSON that counts only in the folder it was written in, and for what it was written.

Who reads one takes any of `UNREADABLE` for "there is no such note": whatever stands in its place counts for nothing.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from bowbook.storage import files

UNREADABLE = (OSError, ValueError, TypeError, KeyError, AttributeError, RecursionError)


def read_note(path: Path, **of: object) -> dict[str, Any]:
    """The note at `path`, if it was written in this very folder and says all of `of`. Raises one of UNREADABLE."""
    note: dict[str, Any] = json.loads(path.read_bytes())
    for name, value in {**of, "home": home_of(path.parent)}.items():
        if note[name] != value:
            raise ValueError(f"this note is of another {name}")
    return note


def write_note(path: Path, **said: object) -> None:
    """Write a note down, at once. Raises OSError."""
    note = {**said, "home": home_of(path.parent)}
    # Names that are no text (bytes a file system allowed) are written as escapes and come back the same.
    files.replace(path, json.dumps(note, separators=(",", ":")).encode())


def home_of(folder: Path) -> list[int]:
    """What tells one folder from a copy of it."""
    seen = folder.stat()
    return [seen.st_dev, seen.st_ino]
