"""Whatever becomes of the cache, publishing gives the very bytes of publishing without one, and no traceback."""

from __future__ import annotations

import contextlib
import os
import random
import resource
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bowbook.book.values import encoded, fingerprint
from bowbook.build.publish import publish
from bowbook.storage.files import remove
from bowbook.storage.result_file import VARIABLE, DamagedError, ResultFile, file_for
from helpers import bytes_under, run_bowbook, small_book
from sample_book import BOOK, RODS, SKINS, kite

FILE = "content/kites/knot.md"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Path, dict[str, bytes]]]:
    """A tiny published book with a cache of its own, and its site after a change, as made from nothing."""
    root = tmp_path_factory.mktemp("made") / "book"
    small_book(root, {"knot": kite("Knot")}, BOOK.replace("compare", "# "))
    (root / "content" / "stock" / "rods.yaml").write_text(RODS)
    (root / "content" / "stock" / "skins.yaml").write_text(SKINS)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(VARIABLE, str(tmp_path_factory.mktemp("nothing")))
        change(root)
        assert publish(root).wrote
        site = bytes_under(root / "output")
        change(root, back=True)
        patch.setenv(VARIABLE, str(root.with_name("caches")))
        assert publish(root).wrote
        shutil.copytree(root, root.with_name("kept"))
        shutil.copy(file_for(root), root.with_name("cache"))
        yield root, site


@pytest.fixture
def book(made: tuple[Path, dict[str, bytes]]) -> Path:
    """The book as it was published, and its cache."""
    root, file = made[0], file_for(made[0])
    for folder in (*root.iterdir(), file.parent):
        remove(folder)
    shutil.copytree(root.with_name("kept"), root, dirs_exist_ok=True)
    file.parent.mkdir()
    shutil.copy(root.with_name("cache"), file)
    return root


def change(root: Path, back: bool = False) -> None:
    """One more reading of a kite and a word of its story; or what was there before."""
    file = root / FILE
    text = file.read_text()
    before, after = ("214, 213, 215 g", "214, 213, 215, 214 g")[:: -1 if back else 1]
    assert before in text
    text = text.replace(before, after)
    file.write_text(text.removesuffix("\nOne more.\n") if back else text + "\nOne more.\n")


@contextlib.contextmanager
def database(file: Path) -> Iterator[sqlite3.Connection]:
    """A cache as what it is, to be written into and closed."""
    with contextlib.closing(sqlite3.connect(file)) as db, db:
        yield db


def cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])


def noise(file: Path) -> None:
    file.write_bytes(random.Random(1).randbytes(file.stat().st_size))


def noise_within(file: Path) -> None:
    data, dice = bytearray(file.read_bytes()), random.Random(2)
    for _ in range(200):
        data[dice.randrange(100, len(data))] ^= 0xFF
    file.write_bytes(data)


def emptied(file: Path) -> None:
    file.write_bytes(b"")


def folder_in_its_place(file: Path) -> None:
    file.unlink()
    (file / "x").mkdir(parents=True)


def pipe_in_its_place(file: Path) -> None:
    file.unlink()
    os.mkfifo(file)


def noise_beside(file: Path) -> None:
    """What SQLite would take back after a cut, were it its own."""
    file.with_name(f"{file.name}-journal").write_bytes(random.Random(3).randbytes(9000))
    file.with_name(f"{file.name}-wal").write_bytes(random.Random(4).randbytes(9000))


def folder_beside(file: Path) -> None:
    (file.with_name(f"{file.name}-journal") / "x").mkdir(parents=True)


def cut_at_a_page(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:8192])


def zeros_within(file: Path) -> None:
    """As a power cut leaves what was not flushed."""
    data = file.read_bytes()
    file.write_bytes(data[:4096] + bytes(len(data) // 2 - 4096) + data[len(data) // 2 :])


def link_in_its_place(file: Path) -> None:
    elsewhere = file.with_name("elsewhere")
    file.rename(elsewhere)
    file.symlink_to(elsewhere)


def values_swapped(file: Path) -> None:
    """Each result has the bytes of another."""
    with database(file) as db:
        rows = db.execute("SELECT fingerprint, data FROM value ORDER BY fingerprint").fetchall()
        moved = [(data, of) for (of, _), (_, data) in zip(rows, rows[1:] + rows[:1], strict=True)]
        db.executemany("UPDATE value SET data=? WHERE fingerprint=?", moved)


def values_gone(file: Path) -> None:
    with database(file) as db:
        db.execute("DELETE FROM value")


def wrong_types(file: Path) -> None:
    with database(file) as db:
        db.execute("UPDATE note SET data='text'")
        db.execute("UPDATE value SET data=7")


def another_layout(file: Path) -> None:
    file.unlink()
    with database(file) as db:
        db.execute("CREATE TABLE note(name, data)")
        db.execute("CREATE TABLE trap(x)")
        db.execute("CREATE TRIGGER t AFTER INSERT ON note BEGIN INSERT INTO trap VALUES(1); END")


def another_program(file: Path) -> None:
    with database(file) as db:
        data = encoded("another")
        db.execute("UPDATE note SET data=? WHERE name='version'", (fingerprint(data) + data,))
        db.execute("UPDATE value SET data=x'70c0'")


def another_book(file: Path) -> None:
    with database(file) as db:
        data = encoded("/another/book 12")
        db.execute("UPDATE note SET data=? WHERE name='owner'", (fingerprint(data) + data,))
        db.execute("UPDATE value SET data=x'70c0'")


def bombs(file: Path) -> None:
    """Results that unpack to far more than they are."""
    import zlib

    with database(file) as db:
        db.execute("UPDATE value SET data=?", (b"z" + zlib.compress(bytes(300_000_000), 9),))


HARMS: list[Callable[[Path], None]] = [
    *(cut, cut_at_a_page, zeros_within, noise, noise_within, emptied, Path.unlink),
    *(folder_in_its_place, link_in_its_place, pipe_in_its_place, noise_beside, folder_beside),
    *(values_swapped, values_gone, wrong_types, another_layout, another_program, another_book, bombs),
]


@pytest.mark.parametrize("harm", HARMS, ids=lambda harm: harm.__name__)
def test_whatever_harms_the_cache_the_site_is_the_same(
    harm: Callable[[Path], None], made: tuple[Path, dict[str, bytes]], book: Path
) -> None:
    """Cut, noise, another's, another program's, swapped: a change gives the bytes that it gives from nothing."""
    harm(file_for(book))
    change(book)
    report = publish(book)
    assert not report.problems
    assert bytes_under(book / "output") == made[1]
    assert not publish(book).wrote


@pytest.mark.skipif(not hasattr(os, "geteuid"), reason="modes as POSIX has them")
def test_a_cache_that_may_not_be_written_is_done_without(made: tuple[Path, dict[str, bytes]], book: Path) -> None:
    """The site is the same, and one sentence says that the next publish starts anew."""
    folder = file_for(book).parent
    file_for(book).unlink()
    shutil.rmtree(folder)
    folder.write_text("in the way")
    said: list[str] = []
    change(book)
    report = publish(book, progress=lambda what, *_: said.append(what))
    assert not report.problems
    assert bytes_under(book / "output") == made[1]
    assert [what for what in said if "could not be kept" in what]


def test_a_full_disk_under_the_cache_costs_only_time(
    made: tuple[Path, dict[str, bytes]], book: Path, tmp_path: Path
) -> None:
    """With no room for a file as large as the cache a publish ends well, with the bytes of any other."""
    root = tmp_path / "book"
    shutil.copytree(book / "content", root / "content")
    change(root)
    most = max(map(len, made[1].values())) + 1
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({most}, {most}))"
    assert resource.getrlimit(resource.RLIMIT_FSIZE)[1] == resource.RLIM_INFINITY
    (tmp_path / "sitecustomize.py").write_text(limit)
    for _ in range(2):
        done = run_bowbook("publish", cwd=root, env={"PYTHONPATH": str(tmp_path), VARIABLE: str(tmp_path / "c")})
        assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
        assert bytes_under(root / "output") == made[1]


def test_a_book_handed_over_brings_no_cache(book: Path, tmp_path: Path) -> None:
    """Nothing that publishing keeps to be quick the next time lies in the book's folder."""
    kept = {path.name for path in (book / ".bowbook").iterdir()}
    assert kept <= {".gitignore", "lock", "aside", "writing"}
    assert file_for(book).parent == book.with_name("caches")
    shutil.copytree(book, tmp_path / "copy")
    assert file_for(tmp_path / "copy") != file_for(book)


@pytest.fixture
def file(tmp_path: Path) -> Iterator[ResultFile]:
    """A file with one result, as a later process opens it."""
    first = ResultFile(tmp_path / "c.sqlite", "an owner")
    assert first.write({fingerprint(b"four"): b"four"}, [(b"key", fingerprint(b"four"))], {"said": "yes"})
    first.close()
    again = ResultFile(tmp_path / "c.sqlite", "an owner")
    yield again
    again.close()


def test_what_was_written_is_there(file: ResultFile) -> None:
    """Results by their keys, bytes by their fingerprints, records by their names."""
    assert file.fingerprints() == {b"key": fingerprint(b"four")}
    four = fingerprint(b"four")
    assert file.data((four,)) == {four: b"four"}
    with pytest.raises(DamagedError):
        file.data((four, fingerprint(b"five")))
    assert file.note(str, "said") == "yes"
    assert file.note(int, "said") is None


def test_a_damaged_result_is_not_given_out(file: ResultFile, tmp_path: Path) -> None:
    """One bit is enough."""
    with database(tmp_path / "c.sqlite") as db:
        db.execute("UPDATE value SET data=?", (b"pfouR",))
    with pytest.raises(DamagedError):
        file.data((fingerprint(b"four"),))


def test_a_file_of_another_owner_counts_as_empty(file: ResultFile, tmp_path: Path) -> None:
    """And belongs from then on to the one that opened it."""
    file.close()
    for _ in range(2):
        other = ResultFile(tmp_path / "c.sqlite", "another")
        assert (other.fingerprints(), other.note(str, "said")) == ({}, None)
        other.close()
