"""A step is run once for what it is given, by one program, and a change stops where a result stays the same."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import Struct

from bowbook.book.records import Kite, Press, Round, Sag
from bowbook.book.values import Given, Value, bind
from bowbook.build.cache import Cache
from bowbook.storage.result_file import DamagedError


def doubled(number: int) -> int:
    """Twice a number; counts how often it is asked."""
    CALLS.append(number)
    return 2 * number


CALLS: list[int] = []


def opened(folder: Path) -> Cache:
    """A cache of a book that is not there."""
    cache = Cache(folder / "c.sqlite", "a book")
    OPENED.append(cache)
    cache.of_version("1")
    return cache


OPENED: list[Cache] = []


@pytest.fixture(autouse=True)
def closed() -> Iterator[None]:
    """What a test opened is closed after it."""
    yield
    while OPENED:
        OPENED.pop().file.close()


def test_a_step_is_run_once_for_what_it_is_given(tmp_path: Path) -> None:
    """In this process and in a later one; other inputs, another function or another program run it anew."""
    CALLS.clear()
    for _ in range(2):
        cache = opened(tmp_path)
        assert [cache.run(int, bind(doubled, Given(n)))() for n in (1, 2, 1)] == [2, 4, 2]
        cache.write()
        cache.file.close()
    assert CALLS == [1, 2]
    cache = Cache(tmp_path / "c.sqlite", "a book")
    OPENED.append(cache)
    cache.of_version("2")
    assert cache.run(int, bind(doubled, Given(1)))() == 2
    assert CALLS == [1, 2, 1]


def half(number: int) -> int:
    """Half a number, rounded down."""
    return number // 2


def test_a_change_stops_where_the_result_stays_the_same(tmp_path: Path) -> None:
    """A step that gives what it gave before leaves the steps after it as they were."""
    cache = opened(tmp_path)
    CALLS.clear()
    for number in (6, 7):
        assert cache.run(int, bind(doubled, cache.run(int, bind(half, Given(number)))))() == 6
    assert CALLS == [3]


def test_a_result_is_what_its_bytes_say_at_once_and_later(tmp_path: Path) -> None:
    """The first publish works with the very values that a later one reads back, whole numbers as what they are."""
    kite = Kite("knot", "Knot", mass_kg=1, bench=(Round(left=Press((2, 3)), right=Sag(1, 0.5, (0.01,))),))
    first = opened(tmp_path)
    result = first.run(Kite, bind(same, Given(kite)))
    assert (result(), repr(result().mass_kg)) == (kite, "1.0")
    first.write()
    first.file.close()
    later = opened(tmp_path)
    assert repr(later.run(Kite, bind(same, Given(kite)))()) == repr(result())


def same(kite: Kite) -> Kite:
    """The kite."""
    return kite


class Halves(Struct, frozen=True):
    """A number as two parts."""

    half: Value[int]
    rest: Value[int]


def halved(number: int) -> Halves:
    """Half a number, and what is left over."""
    CALLS.append(number)
    return Halves(Given(number // 2), Given(number % 2))


def test_a_change_of_one_part_leaves_the_steps_after_the_others(tmp_path: Path) -> None:
    """A result that is kept in parts is found again, and a later step is given one part of it."""
    CALLS.clear()
    for number in (6, 7, 6):
        cache = opened(tmp_path)
        (parts,) = cache.run_split(Halves, [bind(halved, Given(number))])
        assert (cache.run(int, bind(doubled, parts.half))(), parts.rest()) == (6, number % 2)
        assert cache.opened([parts.half, parts.rest, Given(5)]) == [3, number % 2, 5]
        cache.write()
        cache.file.close()
    assert CALLS == [6, 3, 7]


def test_parts_of_a_result_that_are_not_as_they_were_kept_count_as_damaged(tmp_path: Path) -> None:
    """Too few of them, or text in the place of bytes: everything is then made anew."""
    for damaged in ("substr(fingerprint, 1, 16)", "hex(fingerprint)"):
        cache = opened(tmp_path)
        cache.run_split(Halves, [bind(halved, Given(6))])
        cache.write()
        cache.file.close()
        with contextlib.closing(sqlite3.connect(tmp_path / "c.sqlite")) as db, db:
            db.execute(f"UPDATE result SET fingerprint = {damaged}")
        cache = opened(tmp_path)
        with pytest.raises(DamagedError):
            cache.run_split(Halves, [bind(halved, Given(6))])
        cache.file.delete()


def test_what_is_not_worth_keeping_is_only_given(tmp_path: Path) -> None:
    """The next one asked for it makes it anew."""
    CALLS.clear()
    cache = opened(tmp_path)
    for _ in range(2):
        assert cache.run(int, bind(doubled, Given(4)), lambda result: result != 8)() == 8
    assert CALLS == [4, 4]
    CALLS.clear()
    for _ in range(2):
        (parts,) = cache.run_split(Halves, [bind(halved, Given(4))], lambda result: result.half() != 2)
        assert parts.half() == 2
    assert CALLS == [4, 4]


def test_what_is_used_no_more_is_dropped(tmp_path: Path) -> None:
    """A cache does not grow with every change ever made."""
    cache = opened(tmp_path)
    for number in range(100):
        cache.run(int, bind(doubled, Given(number)))
    cache.write()
    cache.file.close()
    cache = opened(tmp_path)
    cache.run(int, bind(doubled, Given(1)))
    cache.drop_unused()
    cache.file.close()
    with contextlib.closing(sqlite3.connect(tmp_path / "c.sqlite")) as db:
        assert db.execute("SELECT count(*) FROM result").fetchone() == (1,)
        assert db.execute("SELECT count(*) FROM value").fetchone() == (1,)
