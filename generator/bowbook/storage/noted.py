"""What bowbook notes for its user, out of any book: digests of looks that were agreed to and of files it wrote.

A book or a site that somebody else hands over can bring none of these notes. BOWBOOK_STATE moves their folder.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Literal

from bowbook.storage.backups import write_whole
from bowbook.storage.exchange import own_file
from bowbook.storage.files import digest_of
from bowbook.storage.regular import digest_of_plain, read_plain

Kind = Literal["trusted-themes", "written-files"]
_MOST_BYTES = 1_000_000  # some fifteen thousand digests; the older half goes first


def is_noted(kind: Kind, digest: str) -> bool:
    """Whether a digest was noted."""
    return digest in _noted(kind)


def note(kind: Kind, digest: str) -> None:
    """Note a digest. Raises OSError."""
    file = _file(kind)
    file.parent.mkdir(parents=True, exist_ok=True)
    noted = _noted(kind)
    if digest not in noted:
        own_file(file)
        if len(noted) * (len(digest) + 1) > _MOST_BYTES * 0.9 or (file.exists() and not file.is_file()):
            noted = noted[len(noted) // 2 :]
        write_whole(file, "".join(f"{one}\n" for one in (*noted, digest)).encode(), 0o600)


def is_written(path: Path) -> bool:
    """Whether a file holds, byte for byte, what was noted as written."""
    try:
        return not path.is_symlink() and is_noted("written-files", digest_of_plain(path))
    except OSError:
        return False


def note_written(data: bytes) -> None:
    """Note what is about to be written. Raises OSError."""
    note("written-files", digest_of(data))


def _noted(kind: Kind) -> list[str]:
    try:
        return read_plain(_file(kind), _MOST_BYTES).decode("ascii", "replace").split()
    except OSError:
        return []


def _file(kind: Kind) -> Path:
    named = os.environ.get("BOWBOOK_STATE")
    if named:
        return Path(named) / kind
    from platformdirs import user_state_path

    return user_state_path("bowbook", appauthor=False) / kind
