"""What commands wrote into a book, file by file, so that it can be taken back: .bowbook/kept/written.jsonl."""

from __future__ import annotations

import shlex
import uuid
from collections.abc import Sequence
from contextvars import ContextVar
from pathlib import Path

import msgspec
from msgspec import Struct

from bowbook.storage.backups import write_whole
from bowbook.storage.exchange import own_file, own_folder, state_folder
from bowbook.storage.files import digest_of
from bowbook.storage.regular import read_plain

MOST_LINES = 2000  # of the journal; the oldest go first
_MOST_BYTES = 20_000_000

_COMMAND: ContextVar[tuple[str, str]] = ContextVar("command", default=("", ""))


class Written(Struct, frozen=True):
    """One file that a command wrote: the copy of what it held before, None where it was not there.

    `file` and `copy` are paths inside the book; `after` is the digest of what it held then; `run` is the command's own.
    """

    run: str
    command: str
    file: str
    copy: str | None
    after: str


def begin_command(words: Sequence[str]) -> None:
    """Say that from now on it is this command that writes."""
    _COMMAND.set((uuid.uuid4().hex, shlex.join(words)))


def add_to_journal(root: Path, file: Path, data: bytes, copy: Path | None = None) -> None:
    """Note that the command at work wrote `data` into a file, which held before what the copy holds.

    To be called while the book's lock is held.
    """
    run, command = _COMMAND.get()
    entry = Written(
        run or uuid.uuid4().hex,
        command,
        _inside(root, file),
        _inside(root, copy) if copy else None,
        digest_of(data),
    )
    save(root, [*journal(root), entry])


def journal(root: Path) -> list[Written]:
    """What was written and not taken back, oldest first; lines that cannot be read are left out."""
    found = []
    try:
        lines = read_plain(_file(root), _MOST_BYTES).split(b"\n")
    except OSError:
        return []
    for line in lines:
        try:
            found.append(msgspec.json.decode(line, type=Written))
        except (msgspec.DecodeError, UnicodeError, RecursionError):
            continue
    return found


def save(root: Path, entries: Sequence[Written]) -> None:
    """Make these the whole journal."""
    own_folder(state_folder(root) / "kept")
    write_whole(own_file(_file(root)), b"".join(msgspec.json.encode(e) + b"\n" for e in entries[-MOST_LINES:]), 0o600)


def _file(root: Path) -> Path:
    return root / ".bowbook" / "kept" / "written.jsonl"


def _inside(root: Path, path: Path) -> str:
    """A path from the book's folder; a file that a link leads out to keeps its whole path."""
    try:
        return path.resolve().relative_to(root.resolve()).as_posix()
    except ValueError:
        return str(path.resolve())
