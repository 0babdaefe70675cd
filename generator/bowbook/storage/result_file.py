"""One SQLite file of results in the user's own cache folder, kept for one owner; nothing of it is ever in the book.

Each result has a key, and is known by the fingerprints of the bytes of its one or more values: values that are equal
are kept once. Bytes are given out only if they are still those that were kept. A file that is another owner's, damaged
or not to be read counts as empty, and one that cannot be written keeps nothing.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import sqlite3
import zlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from pathlib import Path
from typing import TypeVar

import msgspec

from bowbook.book.values import FINGERPRINT_BYTES, encoded, fingerprint

T = TypeVar("T")

VARIABLE = "BOWBOOK_CACHE"
"""The environment variable that names another folder for these files."""

_TABLES = (
    "CREATE TABLE note(name TEXT PRIMARY KEY, data BLOB NOT NULL) WITHOUT ROWID",
    "CREATE TABLE result(key BLOB PRIMARY KEY, fingerprint BLOB NOT NULL) WITHOUT ROWID",
    "CREATE TABLE value(fingerprint BLOB PRIMARY KEY, data BLOB NOT NULL)",
)
_WORTH_PACKING = 4000  # bytes
_LARGEST = 200_000_000  # bytes that one result may unpack to


class DamagedError(Exception):
    """A result is not there as it was kept."""


def file_for(root: Path) -> Path:
    """Where the results of the book in this folder are kept."""
    base = os.environ.get(VARIABLE)
    if base:
        folder = Path(base).absolute()
    else:
        from platformdirs import user_cache_path

        folder = user_cache_path("bowbook", appauthor=False)
    real = root.resolve()
    name = re.sub(r"[^\w-]+", "-", real.name)[:40]
    return folder / f"{name}-{hashlib.sha256(os.fsencode(real)).hexdigest()[:16]}.sqlite"


class ResultFile:
    """The results in one file, and records under names."""

    def __init__(self, file: Path | None, owner: str) -> None:
        """`owner` says whose results these are; without a file nothing is kept."""
        self._file, self._owner = file, _signed(os.fsencode(owner))
        self._process = os.getpid()
        self._connection = None if file is None else self._opened(file)

    def fingerprints(self) -> dict[bytes, bytes]:
        """The fingerprints of each result, one behind the other, by its key. Raises DamagedError."""
        if self._connection is None:
            return {}
        try:
            found = dict(self._reading().execute("SELECT key, fingerprint FROM result"))
        except (sqlite3.Error, ValueError, TypeError) as error:
            raise DamagedError from error
        if any(type(fingerprints) is not bytes for fingerprints in found.values()):
            raise DamagedError
        return found

    def data(self, of: Sequence[bytes]) -> dict[bytes, bytes]:
        """The bytes with each of these fingerprints. Raises DamagedError."""
        asked = ",".join("?" * len(of))
        try:
            rows = self._reading().execute(f"SELECT data FROM value WHERE fingerprint IN ({asked})", of)
            found = {fingerprint(data): data for data in (_unpacked(row[0]) for row in rows)}
        except (sqlite3.Error, zlib.error, TypeError) as error:
            raise DamagedError from error
        if not found.keys() >= set(of):
            raise DamagedError
        return found

    def note(self, gives: type[T], name: str) -> T | None:
        """The record under a name, if it is there as it was kept."""
        try:
            row = self._reading().execute("SELECT data FROM note WHERE name=?", (name,)).fetchone()
            return None if row is None else msgspec.msgpack.decode(_checked(row[0]), type=gives)
        except (sqlite3.Error, msgspec.DecodeError, ValueError, TypeError):
            return None

    def write(
        self, values: Mapping[bytes, bytes], results: Collection[tuple[bytes, bytes]], notes: Mapping[str, object]
    ) -> bool:
        """Write bytes by fingerprint, fingerprints by key and records by name in one go: whether the file took them."""
        if self._connection is None:
            return False
        try:
            with self._connection as db:
                db.execute("BEGIN IMMEDIATE")
                db.executemany("INSERT OR REPLACE INTO value VALUES(?,?)", map(_packed, values.items()))
                db.executemany("INSERT OR REPLACE INTO result VALUES(?,?)", results)
                for name, record in notes.items():
                    db.execute("INSERT OR REPLACE INTO note VALUES(?,?)", (name, _signed(encoded(record))))
        except sqlite3.Error:
            return False
        return True

    def drop(self, keys: Iterable[bytes]) -> None:
        """Forget the results with these keys."""
        if self._connection is not None:
            with contextlib.suppress(sqlite3.Error, DamagedError), self._connection as db:
                db.execute("BEGIN IMMEDIATE")
                db.executemany("DELETE FROM result WHERE key=?", ((key,) for key in keys))
                kept = db.execute("SELECT fingerprint FROM result")
                named = {one for (of,) in kept for one in each(of, len(of) // FINGERPRINT_BYTES)}
                there = db.execute("SELECT fingerprint FROM value").fetchall()
                db.executemany("DELETE FROM value WHERE fingerprint=?", (row for row in there if row[0] not in named))

    def empty(self, **notes: object) -> None:
        """Forget everything but these notes; a file that does not take that is not used any more."""
        if self._connection is None:
            return
        with contextlib.suppress(sqlite3.Error), self._connection as db:
            db.execute("BEGIN IMMEDIATE")
            for table in ("result", "value", "note"):
                db.execute(f"DELETE FROM {table} WHERE TRUE")
            rows = [("owner", self._owner), *((name, _signed(encoded(record))) for name, record in notes.items())]
            db.executemany("INSERT INTO note VALUES(?,?)", rows)
            return
        self.close()

    def delete(self) -> None:
        """Take the file away."""
        self.close()
        if self._file is not None:
            _remove(self._file)

    def close(self) -> None:
        """Let go of the file."""
        if self._connection is not None and os.getpid() == self._process:
            with contextlib.suppress(sqlite3.Error):
                self._connection.close()
        self._connection = None

    def _opened(self, file: Path) -> sqlite3.Connection | None:
        """The file if it is this owner's; a new one in place of any other; None where none can be."""
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            if not file.is_symlink():
                db = _connect(file)
                with contextlib.suppress(sqlite3.Error):
                    if self._is_own(db):
                        return db
                db.close()
        except (OSError, sqlite3.Error):
            pass
        try:
            _remove(file)
            db = _connect(file)
        except (OSError, sqlite3.Error):
            return None
        try:
            with db:
                db.execute("BEGIN IMMEDIATE")
                for table in _TABLES:
                    db.execute(table)
                db.execute("INSERT INTO note VALUES('owner', ?)", (self._owner,))
        except sqlite3.Error:
            db.close()
            return None
        return db

    def _is_own(self, db: sqlite3.Connection) -> bool:
        tables = [row[0] for row in db.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY rowid")]
        if tables != list(_TABLES):
            return False
        found: tuple[object, ...] | None = db.execute("SELECT data FROM note WHERE name='owner'").fetchone()
        return found == (self._owner,)

    def _reading(self) -> sqlite3.Connection:
        """The connection of this process: what is open in one must not be used in another."""
        if self._process != os.getpid():
            self._process = os.getpid()
            self._inherited, self._connection = self._connection, None  # closed here, it would let go of its locks
            if self._inherited is not None and self._file is not None:
                self._connection = _connect(self._file)
        if self._connection is None:
            raise sqlite3.OperationalError("there is no file")
        return self._connection


def each(fingerprints: bytes, many: int) -> list[bytes]:
    """So many fingerprints that stand one behind the other. Raises DamagedError."""
    if len(fingerprints) != many * FINGERPRINT_BYTES:
        raise DamagedError
    return [fingerprints[at : at + FINGERPRINT_BYTES] for at in range(0, len(fingerprints), FINGERPRINT_BYTES)]


def _connect(file: Path) -> sqlite3.Connection:
    db = sqlite3.connect(file, timeout=5.0, isolation_level=None, check_same_thread=False)
    try:
        for setting in ("trusted_schema=OFF", "synchronous=OFF", "cell_size_check=ON"):
            db.execute(f"PRAGMA {setting}")
    except sqlite3.Error:
        db.close()
        raise
    return db


def _remove(file: Path) -> None:
    for name in (file, file.with_name(f"{file.name}-journal")):
        with contextlib.suppress(OSError):
            name.unlink()


def _signed(data: bytes) -> bytes:
    return fingerprint(data) + data


def _checked(data: bytes) -> bytes:
    if fingerprint(data[FINGERPRINT_BYTES:]) != data[:FINGERPRINT_BYTES]:
        raise ValueError("this is not what was kept")
    return data[FINGERPRINT_BYTES:]


def _packed(row: tuple[bytes, bytes]) -> tuple[bytes, bytes]:
    known_by, data = row
    return known_by, b"z" + zlib.compress(data, 1) if len(data) > _WORTH_PACKING else b"p" + data


def _unpacked(data: bytes) -> bytes:
    if data[:1] != b"z":
        return data[1:]
    unpacking = zlib.decompressobj()
    unpacked = unpacking.decompress(data[1:], _LARGEST)
    if unpacking.unconsumed_tail:
        raise DamagedError
    return unpacked
