"""Which looks that came with a book were agreed to on this machine: by digest, in the user's own folder."""

from __future__ import annotations

import os
from pathlib import Path

from bowbook.storage.regular import read_plain

_MOST_BYTES = 1_000_000


def is_trusted(digest: str) -> bool:
    """Whether this very theme was agreed to before."""
    try:
        return digest in read_plain(_file(), _MOST_BYTES).decode("ascii", "replace").split()
    except OSError:
        return False


def trust(digest: str) -> None:
    """Remember that this theme may be used. Raises OSError."""
    file = _file()
    file.parent.mkdir(parents=True, exist_ok=True)
    with file.open("a", encoding="ascii") as known:
        known.write(f"{digest}\n")


def _file() -> Path:
    """Where agreed themes are listed: in the user's state folder, or where BOWBOOK_STATE says."""
    named = os.environ.get("BOWBOOK_STATE")
    if named:
        return Path(named) / "trusted-themes"
    from platformdirs import user_state_path

    return user_state_path("bowbook", appauthor=False) / "trusted-themes"
