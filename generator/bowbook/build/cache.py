"""What earlier publishes made, so that nothing is made again that would come out the same.

A step is known by the fingerprints of what it is given, and its result by the fingerprint of the result's bytes. A
later step is known by that, so a change stops at the first step whose result stays the same. One SQLite file in the
user's own cache folder keeps the results of one book; nothing of it is ever in the book. Results are decoded when they
are needed, only into the type their step gives, and only if their bytes are still those that were kept. A file that is
another book's, another program's, damaged or not to be read counts as empty: everything is made anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import sqlite3
import zlib
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Generic, TypeVar

import msgspec

from bowbook.book.values import Bound, Value, encoded, fingerprint

T = TypeVar("T")

VARIABLE = "BOWBOOK_CACHE"
"""The environment variable that names another folder for caches."""

_TABLES = (
    "CREATE TABLE about(name TEXT PRIMARY KEY, data BLOB NOT NULL) WITHOUT ROWID",
    "CREATE TABLE trace(step BLOB PRIMARY KEY, result BLOB NOT NULL) WITHOUT ROWID",
    "CREATE TABLE value(result BLOB PRIMARY KEY, data BLOB NOT NULL)",
)
_PENDING = 16_000_000  # bytes of results that wait to be written together
_AT_HAND = 200  # results that stay decoded: a page or a list looks at one kite for a while, then at the next
_SMALL = 100_000  # bytes: a larger result is fetched again
_WORTH_PACKING = 4000  # bytes
_LARGEST = 200_000_000  # bytes that one result may unpack to

Row = tuple[bytes, bytes, bytes]
"""A step's fingerprint, its result's, and the result's bytes."""


Share = Callable[[Sequence[Callable[[], bytes]]], list[bytes]]
"""How many tasks alike are done: what each gives, in their order."""


class CacheDamagedError(Exception):
    """A result that was kept is not there as it was kept; everything has to be made anew."""


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


class Cache:
    """The results that are kept of one book, and those of this publish that are still to be written."""

    def __init__(self, file: Path | None, book: str) -> None:
        """`book` says whose results these are; without a file nothing is kept."""
        self._file, self._book = file, _signed(os.fsencode(book))
        self._process = self._parent = os.getpid()
        self._share: Share = one_by_one
        self.failed = False  # to write
        self._connection = None if file is None else self._opened(file)
        self._traces: dict[bytes, bytes] | None = None
        self._used: set[bytes] = set()
        self.asked: list[bytes] = []  # steps asked for since somebody last emptied this
        self._fresh: dict[bytes, bytes] = {}  # results' bytes that are not written yet
        self._rows: list[tuple[bytes, bytes]] = []  # traces that are not written yet
        self._size = 0
        self._handed: list[Row] = []
        self._recent: dict[bytes, Any] = {}

    def of_version(self, version: str, share: Share) -> None:
        """Keep only what this version of the program made. `share` is how many steps alike are run."""
        self._share = share
        if self._connection is None or self.note(str, "version") == version:
            return
        with contextlib.suppress(sqlite3.Error), self._connection as db:
            db.execute("BEGIN IMMEDIATE")
            for table in ("trace", "value", "about"):
                db.execute(f"DELETE FROM {table} WHERE TRUE")
            rows = [("book", self._book), ("version", _signed(encoded(version)))]
            db.executemany("INSERT INTO about VALUES(?,?)", rows)
            return
        self.close()  # it takes nothing, and what it holds is another program's

    # steps ------------------------------------------------------------------------------------------------------------
    def run(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result: kept from before where what it is given is as it was, else made now."""
        found = self.known(step)
        if found is None:
            data = encoded(step())
            found = self._keep(step.fingerprint, data)
        return Result(self, gives, found)

    def run_all(self, gives: type[T], steps: Sequence[Bound[T]]) -> list[Value[T]]:
        """The results of many steps alike: those that have to be made are shared out."""
        missing = list({step.fingerprint: step for step in steps if self.known(step) is None}.values())
        made = self._share([partial(_encoded, step) for step in missing])
        for step, data in zip(missing, made, strict=True):
            self._keep(step.fingerprint, data)
        return [Result(self, gives, self._traces_now()[step.fingerprint]) for step in steps]

    def later(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result, made only when it is needed; until then it is known by what the step is given."""
        self._used.add(step.fingerprint)
        return _Later(self, gives, step)

    def known(self, step: Bound[Any]) -> bytes | None:
        """The fingerprint of the step's result, if it is kept."""
        self._used.add(step.fingerprint)
        self.asked.append(step.fingerprint)
        return self._traces_now().get(step.fingerprint)

    def hold(self, steps: Iterable[bytes]) -> None:
        """Keep the results of these steps, which a file that stands was made from."""
        self._used.update(steps)

    def _traces_now(self) -> dict[bytes, bytes]:
        if self._traces is None:
            self._traces = self._recall()
        return self._traces

    def _keep(self, step: bytes, data: bytes) -> bytes:
        result = fingerprint(data)
        self.take_in([(step, result, data)])
        if os.getpid() != self._parent:
            self._handed.append((step, result, data))
        return result

    def load(self, gives: type[T], result: bytes) -> T:
        """A result by its fingerprint. Raises CacheDamagedError."""
        if result in self._recent:
            found: T = self._recent[result]
            return found
        try:
            data = self._bytes(result)
            found = msgspec.msgpack.decode(data, type=gives)
        except (msgspec.DecodeError, sqlite3.Error, zlib.error) as error:
            raise CacheDamagedError from error
        if len(data) < _SMALL:
            if len(self._recent) >= _AT_HAND:
                del self._recent[next(iter(self._recent))]
            self._recent[result] = found
        return found

    # between processes ------------------------------------------------------------------------------------------------
    def hand_over(self) -> list[Row]:
        """What this process made since it was last asked: what a worker has to give to the one that started it."""
        made, self._handed = self._handed, []
        for step, result, _ in made:  # a worker makes too much to hold it all
            self._traces_now().pop(step, None)
            self._fresh.pop(result, None)
        return made

    def take_in(self, rows: Iterable[Row]) -> None:
        """Keep results, made here or by a worker."""
        traces = self._traces_now()
        for step, result, data in rows:
            self._used.add(step)
            traces[step] = result
            self._fresh[result] = data
            self._rows.append((step, result))
            self._size += len(data)
        if self._size > _PENDING and os.getpid() == self._parent:
            self.write()

    # the file ---------------------------------------------------------------------------------------------------------
    def note(self, gives: type[T], name: str) -> T | None:
        """A record kept under a name, if it is there as it was kept."""
        try:
            row = self._reading().execute("SELECT data FROM about WHERE name=?", (name,)).fetchone()
            return None if row is None else msgspec.msgpack.decode(_checked(row[0]), type=gives)
        except (sqlite3.Error, msgspec.DecodeError, ValueError, TypeError):
            return None

    def write(self, **notes: object) -> None:
        """Write everything that waits, and records under names, in one go; a file that takes nothing is left alone."""
        if self._connection is None or self.failed:
            self.failed = True
            return
        try:
            with self._connection as db:
                db.execute("BEGIN IMMEDIATE")
                db.executemany("INSERT OR REPLACE INTO value VALUES(?,?)", map(_packed, self._fresh.items()))
                db.executemany("INSERT OR REPLACE INTO trace VALUES(?,?)", self._rows)
                for name, record in notes.items():
                    db.execute("INSERT OR REPLACE INTO about VALUES(?,?)", (name, _signed(encoded(record))))
        except sqlite3.Error:
            self.failed = True
            return
        self._fresh, self._rows, self._size = {}, [], 0

    def drop_unused(self) -> None:
        """Forget what this publish had no use for, once that is much."""
        unused = (self._traces or {}).keys() - self._used
        if self._connection is None or self.failed or len(unused) <= len(self._used) // 4:
            return
        with contextlib.suppress(sqlite3.Error), self._connection as db:
            db.execute("BEGIN IMMEDIATE")
            db.executemany("DELETE FROM trace WHERE step=?", ((step,) for step in unused))
            db.execute("DELETE FROM value WHERE result NOT IN (SELECT result FROM trace)")

    def forget(self) -> None:
        """Take all that is kept away."""
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
        """The file if it is this book's; a new one in place of any other; None where none can be."""
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
                db.execute("INSERT INTO about VALUES('book', ?)", (self._book,))
        except sqlite3.Error:
            db.close()
            return None
        return db

    def _is_own(self, db: sqlite3.Connection) -> bool:
        tables = [row[0] for row in db.execute("SELECT sql FROM sqlite_master WHERE sql IS NOT NULL ORDER BY rowid")]
        if tables != list(_TABLES):
            return False
        found: tuple[object, ...] | None = db.execute("SELECT data FROM about WHERE name='book'").fetchone()
        return found == (self._book,)

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

    def _recall(self) -> dict[bytes, bytes]:
        """Which step gave which result: names only, no values."""
        if self._connection is None:
            return {}
        try:
            return dict(self._reading().execute("SELECT step, result FROM trace"))
        except (sqlite3.Error, ValueError, TypeError) as error:
            raise CacheDamagedError from error

    def _bytes(self, result: bytes) -> bytes:
        data = self._fresh.get(result)
        if data is not None:
            return data
        row = self._reading().execute("SELECT data FROM value WHERE result=?", (result,)).fetchone()
        data = b"" if row is None else _unpacked(row[0])
        if fingerprint(data) != result:
            raise CacheDamagedError
        return data


class Result(Generic[T]):
    """What a step gave; called, it is decoded."""

    __slots__ = ("_cache", "_gives", "fingerprint")

    def __init__(self, cache: Cache, gives: type[T], of: bytes) -> None:
        self._cache, self._gives, self.fingerprint = cache, gives, of

    def __call__(self) -> T:
        return self._cache.load(self._gives, self.fingerprint)


class _Later(Generic[T]):
    """What a step will give; called, it is run if its result is not kept."""

    __slots__ = ("_cache", "_gives", "_step")

    def __init__(self, cache: Cache, gives: type[T], step: Bound[T]) -> None:
        self._cache, self._gives, self._step = cache, gives, step

    @property
    def fingerprint(self) -> bytes:
        return self._step.fingerprint

    def __call__(self) -> T:
        return self._cache.run(self._gives, self._step)()


def one_by_one(tasks: Sequence[Callable[[], bytes]]) -> list[bytes]:
    """What each task gives, one after another."""
    return [task() for task in tasks]


def _encoded(step: Bound[Any]) -> bytes:
    return encoded(step())


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
    if fingerprint(data[16:]) != data[:16]:
        raise ValueError("this is not what was kept")
    return data[16:]


def _packed(row: tuple[bytes, bytes]) -> tuple[bytes, bytes]:
    result, data = row
    return result, b"z" + zlib.compress(data, 1) if len(data) > _WORTH_PACKING else b"p" + data


def _unpacked(data: bytes) -> bytes:
    if data[:1] != b"z":
        return data[1:]
    unpacking = zlib.decompressobj()
    unpacked = unpacking.decompress(data[1:], _LARGEST)
    if unpacking.unconsumed_tail:
        raise CacheDamagedError
    return unpacked
