"""Which files outside the book bowbook wrote itself: their digests, kept in the book's own folder for such notes."""

from __future__ import annotations

import hashlib
from pathlib import Path

from bowbook.storage.backups import write_whole
from bowbook.storage.exchange import state_folder
from bowbook.storage.regular import digest_of_plain, read_plain

_MOST = 1000  # of the last files
_MOST_BYTES = 200_000


def is_own(root: Path, path: Path) -> bool:
    """Whether a file holds, byte for byte, what was noted as written."""
    try:
        return not path.is_symlink() and digest_of_plain(path) in _noted(root)
    except OSError:
        return False


def note_own(root: Path, data: bytes) -> None:
    """Note what is about to be written. Raises OSError, StorageError."""
    digests = [*_noted(root), hashlib.sha256(data).hexdigest()][-_MOST:]
    write_whole(state_folder(root) / "written", "\n".join(digests).encode(), 0o600)


def _noted(root: Path) -> list[str]:
    try:
        return read_plain(root / ".bowbook" / "written", _MOST_BYTES).decode("ascii", "replace").split()
    except OSError:
        return []
