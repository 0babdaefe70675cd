"""Whatever has become of what bowbook keeps in a book: the same site, the next command works, and nobody waits."""

from __future__ import annotations

import contextlib
import os
import random
import shutil
import signal
import socket
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from bowbook.build.publish import publish
from bowbook.cli import main
from bowbook.format.read_book import read_book
from bowbook.storage.files import remove
from bowbook.storage.result_file import VARIABLE, file_for
from helpers import BOWBOOK, bytes_under, small_book
from sample_book import BOOK, RODS, SKINS, kite

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(sys.platform == "win32", reason="pipes, sockets and modes as POSIX has them"),
]

Site = dict[str, bytes]
FILE = "content/kites/knot.md"
LIMIT_S = 60  # an hour would be no worse


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Site]:
    """A published book, which a command has written into, and its site after a change, as made from nothing."""
    root, cold = tmp_path_factory.mktemp("made") / "book", tmp_path_factory.mktemp("cold")
    small_book(root, {"knot": kite("Knot")}, BOOK.replace("compare", "# "))
    (root / "content" / "stock" / "rods.yaml").write_text(RODS)
    (root / "content" / "stock" / "skins.yaml").write_text(SKINS)
    assert command(root, "fly", "knot", "--wind", "4-9 mph") == ""
    assert publish(root).wrote
    shutil.copytree(root, root.with_name("kept"))
    shutil.copytree(root / "content", cold / "content")
    change(cold)
    assert publish(cold).wrote
    return root, bytes_under(cold / "output")


@pytest.fixture
def book(made: tuple[Path, Site]) -> Path:
    """The book as it was, in its folder, to be damaged; a page changed by hand will have to be set aside."""
    root = made[0]
    for folder in root.iterdir():
        remove(folder)
    shutil.copytree(root.with_name("kept"), root, dirs_exist_ok=True)
    (root / "output" / "index.html").write_text("mine now")
    return root


def change(root: Path) -> None:
    """One more reading, and a word of the story."""
    text = (root / FILE).read_text()
    assert "214, 213, 215 g" in text
    (root / FILE).write_text(text.replace("214, 213, 215 g", "214, 213, 215, 214 g") + "\nOne more.\n")


def command(root: Path, *words: str) -> str:
    """What a command said, if it refused."""
    result = CliRunner().invoke(main, [*words, "--book", str(root)], input="")
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result.output if result.exit_code else ""


@contextlib.contextmanager
def in_time() -> Iterator[None]:
    """Who waits for ever is woken, and fails."""

    def wake(*_: object) -> None:
        raise TimeoutError

    before = signal.signal(signal.SIGALRM, wake)
    signal.alarm(LIMIT_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def a_socket(path: Path) -> None:
    with contextlib.chdir(path.parent), socket.socket(socket.AF_UNIX) as server:  # a whole path may be too long for one
        server.bind(path.name)


def a_folder(path: Path) -> None:
    (path / "deep").mkdir(parents=True)
    (path / "deep" / "x").write_text("x")


THINGS: dict[str, Callable[[Path], object]] = {
    "file": lambda path: path.write_text("in the way"),
    "empty file": lambda path: path.touch(),
    "folder": a_folder,
    "pipe": os.mkfifo,
    "socket": a_socket,
    "link to a folder": lambda path: path.symlink_to("/etc"),
    "link to nothing": lambda path: path.symlink_to("/nowhere/at/all"),
    "a hundred thousand brackets": lambda path: path.write_text("[" * 100_000),
    "brackets in an unknown key": lambda path: path.write_text('{"zzz": ' + "[" * 100_000),
    "braces": lambda path: path.write_text('{"new": ' * 50_000),
    "no text": lambda path: path.write_bytes(b'{"run": "\xff\xfe", "command": "\xed\xa0\x80"}\n\x00\x00'),
    "zeros": lambda path: path.write_bytes(bytes(100_000)),
    "noise": lambda path: path.write_bytes(random.Random(1).randbytes(50_000)),
}
OUTER = ["aside", "journal", "journal.new", "lock", "writing", "kept", "bench", "schema", "elsewhere", "set-aside"]
INNER = ["aside/kites", "aside/index.html", "kept/written.jsonl", "kept/knot.1.md", "bench/knot.json", ".gitignore"]


@pytest.mark.parametrize("thing", THINGS)
@pytest.mark.parametrize("places", [OUTER, INNER], ids=["outer", "inner"])
def test_whatever_stands_where_bowbook_keeps_things(
    places: list[str], thing: str, made: tuple[Path, Site], book: Path, tmp_path: Path
) -> None:
    """Files where folders belong and the other way round, pipes, noise: the same site, and all commands go on."""
    for place in places:
        path = book / ".bowbook" / place
        remove(path)
        path.parent.mkdir(exist_ok=True)
        THINGS[thing](path)
    change(book)
    with in_time():
        report = publish(book)
        assert report.problems == ()
        assert bytes_under(book / "output") == made[1]
        assert (book / report.set_aside[0]).read_text() == "mine now"
        before = (book / FILE).read_bytes()
        for words in (("fly", "knot", "--wind", "4-9 mph"), ("bench", "knot", "--left", "200 g", "--right", "201 g")):
            assert command(book, *words) == ""
        assert command(book, "undo") == command(book, "undo") == ""
        assert (book / FILE).read_bytes() == before
        assert publish(book, tmp_path / "web" / "site").problems == ()


@pytest.mark.parametrize("thing", [name for name in THINGS if name != "empty file"])
def test_a_damaged_unfinished_round_is_begun_anew(thing: str, book: Path) -> None:
    """Whatever stands in its place, the questions begin at the first, and the round is written."""
    path = book / ".bowbook" / "bench" / "knot.json"
    path.parent.mkdir(exist_ok=True)
    THINGS[thing](path)
    nothing_shaved, no_whole_press = "\n", "\n"
    typed = f"{nothing_shaved}{no_whole_press}214\n213\n\n215\n214\n\n\n\n"
    with in_time():
        result = CliRunner().invoke(main, ["bench", "knot", "--book", str(book)], input=typed)
    assert "written in" in result.output, result.output


def without_rights(*words: str, cwd: Path, **env: str) -> subprocess.CompletedProcess[str]:
    """A command run by somebody whom modes hold back, as they do not hold back root."""
    lead: tuple[str, ...] = ()
    if os.geteuid() == 0:
        if shutil.which("setpriv") is None:
            pytest.skip("root writes anywhere, and there is no setpriv here to give that up")
        lead = ("setpriv", "--bounding-set=-dac_override,-dac_read_search", "--")
    return subprocess.run(
        [*lead, *BOWBOOK, *words],
        cwd=cwd,
        env={**os.environ, **env},
        capture_output=True,
        text=True,
        timeout=LIMIT_S,
        check=False,
    )


def test_what_a_refusal_left_read_only_is_no_obstacle(made: tuple[Path, Site], book: Path) -> None:
    """An output that may not be written is refused; once it may, the next publish is as any, folders within too."""
    change(book)
    output = book / "output"
    output.chmod(0o500)
    refused = without_rights("publish", cwd=book)
    output.chmod(0o700)
    assert (refused.returncode, "Traceback" in refused.stderr) == (1, False), refused.stderr
    assert "may not write" in refused.stderr
    for folder in sorted((book / ".bowbook" / "aside").rglob("*/"), reverse=True):
        folder.chmod(0o500)
    (book / ".bowbook" / "aside").chmod(0o500)
    done = without_rights("publish", cwd=book)
    assert done.returncode == 0, done.stderr
    assert bytes_under(output) == made[1]


@pytest.mark.parametrize("what", ["file", "folder", "both"])
def test_a_cache_that_may_only_be_read_costs_time_at_most(
    what: str, made: tuple[Path, Site], book: Path, tmp_path: Path
) -> None:
    """With the results of the last publish in it, or none: the same bytes, again and again."""
    caches = tmp_path / "caches"
    caches.mkdir()
    (book / "output" / "index.html").unlink()
    assert without_rights("publish", cwd=book, **{VARIABLE: str(caches)}).returncode == 0
    (file,) = caches.iterdir()
    assert file.name == file_for(book).name
    if what != "folder":
        file.chmod(0o400)
    if what != "file":
        caches.chmod(0o500)
    change(book)
    for _ in range(2):
        done = without_rights("publish", cwd=book, **{VARIABLE: str(caches)})
        assert (done.returncode, "Traceback" in done.stderr) == (0, False), done.stderr
        assert bytes_under(book / "output") == made[1]
    caches.chmod(0o700)


PLACES = [
    *("content/book.yaml", "content/stock/rods.yaml", "content/stock/strips.yaml", "content/stock", "content/kites"),
    *(FILE, "content/kites/new.md", "content/kites/knot", "content/kites/knot/unnamed.jpg", "content/pages"),
    *("content/pages/words.md", "content/unnamed.bin", "themes", "output/index.html", "output/kites", "output/data"),
]
COMMANDS = [
    *(("check",), ("fly", "knot", "--wind", "4-9 mph"), ("bench", "knot", "--left", "200 g", "--right", "201 g")),
    ("bench", "--strip", "first", "--length", "640 mm", "--left", "200 g", "--right", "201 g"),
    *(("change", "knot", "--span", "590 mm"), ("sheet", "knot", "--force"), ("add", "New"), ("choose", "6 mph")),
    *(("undo",), ("publish",)),
]


@pytest.mark.parametrize(
    "thing",
    ["pipe", "link to itself", *(pytest.param(t, marks=pytest.mark.long) for t in ("socket", "link to a device"))],
)
def test_what_is_no_file_in_a_book_holds_nobody_up(
    thing: str, book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Wherever a book has a file or a folder: every command ends, in words, and what checking passes is published."""
    monkeypatch.chdir(tmp_path)
    things = {
        **THINGS,
        "link to a device": lambda path: path.symlink_to("/dev/zero"),
        "link to itself": lambda path: path.symlink_to(path.name),
    }
    for place in PLACES:
        path, kept = book / place, tmp_path / "kept"
        path.parent.mkdir(exist_ok=True)
        if path.exists():
            path.rename(kept)
        things[thing](path)
        with in_time():
            passes = not read_book(book).problems
            assert (not publish(book).problems) == passes, place
            for words in COMMANDS:
                command(book, *words)
        remove(path)
        if kept.exists():
            kept.rename(path)
