"""What earlier publishes made, so that nothing is made again that would come out the same.

A step is known by the fingerprints of what it is given, and its result by the fingerprint of the result's bytes; a
result can be a record whose fields are kept one by one. A later step is known by the fingerprints it is given, so a
change stops at the first step whose result stays the same. Results are kept in the book's result file; they are decoded
when they are needed, only into the type their step gives.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Generic, TypeVar, get_args

import msgspec
from msgspec.structs import fields

from bowbook.book.values import Bound, Gathered, Given, Value, encoded, fingerprint
from bowbook.build.report import Progress, silent
from bowbook.storage.result_file import DamagedError, ResultFile, each

T = TypeVar("T")
U = TypeVar("U")
R = TypeVar("R", bound=msgspec.Struct)

_PENDING = 16_000_000  # bytes of results that wait to be written together
_AT_HAND = 200  # results that stay decoded: a page or a list looks at one kite for a while, then at the next
_AT_ONCE = 500  # results that are read together
_SMALL = 100_000  # bytes: a larger result is fetched again

Row = tuple[bytes, tuple[tuple[bytes, bytes], ...]]
"""A step's fingerprint, and of each value of its result the fingerprint and the bytes."""


class Cache:
    """The results that are kept of one book, and those of this publish that are still to be written."""

    def __init__(self, file: Path | None, book: str, workers: int = 1, tell: Progress = silent) -> None:
        """`book` says whose results these are; without a file nothing is kept. `workers` share what has to be made."""
        self.file = ResultFile(file, book)
        self._process = os.getpid()
        self._workers, self._tell = workers, tell
        self.failed = False  # to write
        self._results: dict[bytes, bytes] | None = None  # fingerprints, by the step's; None until they are read
        self._used: set[bytes] = set()
        self.asked: list[bytes] = []  # steps asked for since somebody last emptied this
        self._fresh: dict[bytes, bytes] = {}  # results' bytes that are not written yet
        self._rows: list[tuple[bytes, bytes]] = []  # steps and results that are not written yet
        self._size = 0
        self._handed: list[Row] = []
        self._recent: dict[bytes, Any] = {}

    def of_version(self, version: str) -> None:
        """Keep only what this version of the program made."""
        if self.file.note(str, "version") != version:
            self.file.empty(version=version)

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
        self._run_missing(steps, lambda step: self._keep(step, step()))
        return [Result(self, gives, self._known()[step.fingerprint]) for step in steps]

    def run_split(
        self, gives: type[R], steps: Sequence[Bound[R]], worth: Callable[[R], bool] = lambda _: True
    ) -> list[R]:
        """The results of many steps alike, each a record of values that are kept, and known, one by one."""

        def make(step: Bound[R]) -> R | None:
            made = step()
            if not worth(made):
                return made
            self._keep(step, *[getattr(made, name)() for name in gives.__struct_fields__])
            return None

        given = self._run_missing(steps, make)
        types = [get_args(field.type)[0] for field in fields(gives)]

        def kept(step: Bound[R]) -> R:
            parts = each(self._known()[step.fingerprint], len(types))
            return gives(*[Result(self, one, of) for one, of in zip(types, parts, strict=True)])

        return [given.get(step.fingerprint) or kept(step) for step in steps]

    def later(self, gives: type[T], step: Bound[T], worth: Callable[[T], bool] = lambda _: True) -> Value[T]:
        """The step's result, made only when it is needed; until then it is known by what the step is given."""
        self.hold((step.fingerprint,))
        self.asked.append(step.fingerprint)
        return _Later(step, lambda: self.run(gives, step, worth))

    def opened(self, values: Sequence[Value[T]]) -> list[T]:
        """Many values at once: what is kept of them is read together."""
        found: list[T] = []
        for first in range(0, len(values), _AT_ONCE):
            some = values[first : first + _AT_ONCE]
            kept = {
                one.fingerprint: one.gives
                for one in some
                if isinstance(one, Result) and one.fingerprint not in self._fresh
            }
            read = self.file.data(tuple(kept)) if kept else {}
            found += [decoded(kept[at], read[at]) if (at := one.fingerprint) in read else one() for one in some]
        return found

    def gathered(self, values: Iterable[Value[T]]) -> Value[tuple[T, ...]]:
        """Many values as one, read together when it is needed."""
        return Gathered(values, self.opened)

    def known(self, step: Bound[Any]) -> bytes | None:
        """The fingerprints of the step's result, if it is kept."""
        self._used.add(step.fingerprint)
        self.asked.append(step.fingerprint)
        return self._known().get(step.fingerprint)

    def hold(self, steps: Iterable[bytes]) -> None:
        """Keep the results of these steps, which a file that stands was made from."""
        self._used.update(steps)

    def _known(self) -> dict[bytes, bytes]:
        if self._results is None:
            self._results = self.file.fingerprints()
        return self._results

    def _run_missing(self, steps: Sequence[Bound[T]], make: Callable[[Bound[T]], U]) -> dict[bytes, U]:
        """What making each step gives whose result is not kept, by its fingerprint; the work is shared out."""
        missing = {step.fingerprint: step for step in steps if self.known(step) is None}
        made = self.share([partial(make, step) for step in missing.values()], "kites", (0,))
        return dict(zip(missing, made, strict=True))

    def _keep(self, step: Bound[Any], *made: object) -> bytes:
        """Keep the values that a step gave; gives their fingerprints."""
        row = step.fingerprint, tuple((fingerprint(data), data) for data in map(encoded, made))
        self._take_in([row])
        if os.getpid() != self._process:
            self._handed.append(row)
        return self._known()[step.fingerprint]

    def load(self, gives: type[T], result: bytes) -> T:
        """A result by its fingerprint. Raises DamagedError."""
        if result in self._recent:
            found: T = self._recent[result]
            return found
        data = self._fresh.get(result)
        if data is None:
            data = self.file.data((result,))[result]
        found = decoded(gives, data)
        if len(data) < _SMALL:
            if len(self._recent) >= _AT_HAND:
                del self._recent[next(iter(self._recent))]
            self._recent[result] = found
        return found

    def share(self, tasks: Sequence[Callable[[], T]], what: str, first: Sequence[int] = ()) -> list[T]:
        """What each task gives, in their order; the results of steps that they ran are kept, in whatever process."""
        if not tasks:
            return []
        from bowbook.build.parallel import share

        found, kept = [], [partial(self._with_rows, task) for task in tasks]
        for given, rows in share(kept, self._workers, partial(self._tell, f"making {what}"), first):
            self._take_in(rows)
            found.append(given)
        return found

    def _with_rows(self, task: Callable[[], T]) -> tuple[T, list[Row]]:
        """What a task gives; if this is a worker, with the results that the process that started it has to keep."""
        given = task()
        rows, self._handed = self._handed, []
        for step, values in rows:  # a worker makes too much to hold it all
            self._known().pop(step, None)
            for result, _ in values:
                self._fresh.pop(result, None)
        return given, rows

    def _take_in(self, rows: Iterable[Row]) -> None:
        results = self._known()
        for step, values in rows:
            self._used.add(step)
            results[step] = b"".join([result for result, _ in values])
            self._fresh.update(values)
            self._rows.append((step, results[step]))
            self._size += sum(len(data) for _, data in values)
        if self._size > _PENDING and os.getpid() == self._process:
            self.write()

    def write(self, **notes: object) -> None:
        """Write everything that waits, and records under names, in one go; a file that takes nothing is left alone."""
        self.failed = self.failed or not self.file.write(self._fresh, self._rows, notes)
        if not self.failed:
            self._fresh, self._rows, self._size = {}, [], 0

    def drop_unused(self) -> None:
        """Forget what this publish had no use for, once that is much."""
        unused = (self._results or {}).keys() - self._used
        if not self.failed and len(unused) > len(self._used) // 4:
            self.file.drop(unused)


class Result(Generic[T]):
    """One value that a step gave; called, it is decoded."""

    __slots__ = ("_cache", "fingerprint", "gives")

    def __init__(self, cache: Cache, gives: type[T], of: bytes) -> None:
        self._cache, self.gives, self.fingerprint = cache, gives, of

    def __call__(self) -> T:
        return self._cache.load(self.gives, self.fingerprint)


class _Later(Generic[T]):
    """What a step will give; called, it is run if its result is not kept."""

    __slots__ = ("_run", "fingerprint")

    def __init__(self, step: Bound[T], run: Callable[[], Value[T]]) -> None:
        self._run, self.fingerprint = run, step.fingerprint

    def __call__(self) -> T:
        return self._run()()


def decoded(gives: type[T], data: bytes) -> T:
    """What these bytes are of. Raises DamagedError."""
    try:
        return msgspec.msgpack.decode(data, type=gives)
    except msgspec.DecodeError as error:
        raise DamagedError from error
