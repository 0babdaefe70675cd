"""What earlier publishes made, so that nothing is made again that would come out the same.

A step is known by the fingerprints of what it is given, and its result by the fingerprint of the result's bytes. A
later step is known by that, so a change stops at the first step whose result stays the same. Results are kept in the
book's result file; they are decoded when they are needed, only into the type their step gives.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Generic, Protocol, TypeVar

import msgspec

from bowbook.book.values import Bound, Given, Value, encoded, fingerprint
from bowbook.storage.result_file import DamagedError, ResultFile

T = TypeVar("T")

_PENDING = 16_000_000  # bytes of results that wait to be written together
_AT_HAND = 200  # results that stay decoded: a page or a list looks at one kite for a while, then at the next
_SMALL = 100_000  # bytes: a larger result is fetched again

Row = tuple[bytes, bytes, bytes]
"""A step's fingerprint, its result's, and the result's bytes."""


class ShareOut(Protocol):
    """Does many tasks alike, perhaps in several processes."""

    def __call__(self, tasks: Sequence[Callable[[], T]], what: str, first: Sequence[int] = ()) -> list[T]:
        """What each task gives, in their order; those numbered in `first` are done before any process is started."""


class Cache:
    """The results that are kept of one book, and those of this publish that are still to be written."""

    def __init__(self, file: Path | None, book: str) -> None:
        """`book` says whose results these are; without a file nothing is kept."""
        self._file = ResultFile(file, book)
        self._process = os.getpid()
        self._share: ShareOut = one_by_one
        self.failed = False  # to write
        self._results: dict[bytes, bytes] | None = None  # fingerprints, by the step's; None until they are read
        self._used: set[bytes] = set()
        self.asked: list[bytes] = []  # steps asked for since somebody last emptied this
        self._fresh: dict[bytes, bytes] = {}  # results' bytes that are not written yet
        self._rows: list[tuple[bytes, bytes]] = []  # steps and results that are not written yet
        self._size = 0
        self._handed: list[Row] = []
        self._recent: dict[bytes, Any] = {}

    def of_version(self, version: str, share: ShareOut) -> None:
        """Keep only what this version of the program made. `share` is how many tasks alike are done."""
        self._share = share
        if self.note(str, "version") != version:
            self._file.empty(version=version)

    # steps ------------------------------------------------------------------------------------------------------------
    def run(self, gives: type[T], step: Bound[T], worth: Callable[[T], bool] = lambda _: True) -> Value[T]:
        """The step's result: kept from before where what it is given is as it was, else made now.

        `worth` says of a result whether to keep it: one that may be another the next time is only given.
        """
        found = self.known(step)
        if found is None:
            made = step()
            if not worth(made):
                return Given(made)
            found = self._keep(step, made)
        return Result(self, gives, found)

    def run_all(self, gives: type[T], steps: Sequence[Bound[T]]) -> list[Value[T]]:
        """The results of many steps alike: those that have to be made are shared out."""
        missing = {step.fingerprint: step for step in steps if self.known(step) is None}
        self.share([partial(self._make, step) for step in missing.values()], "kites", (0,))
        return [Result(self, gives, self._known()[step.fingerprint]) for step in steps]

    def later(self, gives: type[T], step: Bound[T]) -> Value[T]:
        """The step's result, made only when it is needed; until then it is known by what the step is given."""
        self._used.add(step.fingerprint)
        return _Later(self, gives, step)

    def known(self, step: Bound[Any]) -> bytes | None:
        """The fingerprint of the step's result, if it is kept."""
        self._used.add(step.fingerprint)
        self.asked.append(step.fingerprint)
        return self._known().get(step.fingerprint)

    def hold(self, steps: Iterable[bytes]) -> None:
        """Keep the results of these steps, which a file that stands was made from."""
        self._used.update(steps)

    def _known(self) -> dict[bytes, bytes]:
        if self._results is None:
            self._results = self._file.fingerprints()
        return self._results

    def _make(self, step: Bound[Any]) -> bytes:
        return self._keep(step, step())

    def _keep(self, step: Bound[Any], made: object) -> bytes:
        data = encoded(made)
        row = step.fingerprint, fingerprint(data), data
        self._take_in([row])
        if os.getpid() != self._process:
            self._handed.append(row)
        return row[1]

    def load(self, gives: type[T], result: bytes) -> T:
        """A result by its fingerprint. Raises DamagedError."""
        if result in self._recent:
            found: T = self._recent[result]
            return found
        data = self._fresh.get(result)
        if data is None:
            data = self._file.data(result)
        try:
            found = msgspec.msgpack.decode(data, type=gives)
        except msgspec.DecodeError as error:
            raise DamagedError from error
        if len(data) < _SMALL:
            if len(self._recent) >= _AT_HAND:
                del self._recent[next(iter(self._recent))]
            self._recent[result] = found
        return found

    # between processes ------------------------------------------------------------------------------------------------
    def share(self, tasks: Sequence[Callable[[], T]], what: str, first: Sequence[int] = ()) -> list[T]:
        """What each task gives, in their order; the results of steps that they ran are kept, in whatever process."""
        found = []
        for given, rows in self._share([partial(self._with_rows, task) for task in tasks], what, first):
            self._take_in(rows)
            found.append(given)
        return found

    def _with_rows(self, task: Callable[[], T]) -> tuple[T, list[Row]]:
        """What a task gives; if this is a worker, with the results that the process that started it has to keep."""
        given = task()
        rows, self._handed = self._handed, []
        for step, result, _ in rows:  # a worker makes too much to hold it all
            self._known().pop(step, None)
            self._fresh.pop(result, None)
        return given, rows

    def _take_in(self, rows: Iterable[Row]) -> None:
        results = self._known()
        for step, result, data in rows:
            self._used.add(step)
            results[step] = result
            self._fresh[result] = data
            self._rows.append((step, result))
            self._size += len(data)
        if self._size > _PENDING and os.getpid() == self._process:
            self.write()

    # the file ---------------------------------------------------------------------------------------------------------
    def note(self, gives: type[T], name: str) -> T | None:
        """A record kept under a name, if it is there as it was kept."""
        return self._file.note(gives, name)

    def write(self, **notes: object) -> None:
        """Write everything that waits, and records under names, in one go; a file that takes nothing is left alone."""
        self.failed = self.failed or not self._file.write(self._fresh, self._rows, notes)
        if not self.failed:
            self._fresh, self._rows, self._size = {}, [], 0

    def drop_unused(self) -> None:
        """Forget what this publish had no use for, once that is much."""
        unused = (self._results or {}).keys() - self._used
        if not self.failed and len(unused) > len(self._used) // 4:
            self._file.drop(unused)

    def forget(self) -> None:
        """Take all that is kept away."""
        self._file.delete()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()


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


def one_by_one(tasks: Sequence[Callable[[], T]], what: str, first: Sequence[int] = ()) -> list[T]:  # noqa: ARG001
    """What each task gives, one after another."""
    return [task() for task in tasks]
