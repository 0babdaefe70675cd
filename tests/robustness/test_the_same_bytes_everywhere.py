"""One book gives one site, byte for byte: in any folder, language, time zone and order, with any number of workers."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from bowbook.build.publish import publish
from helpers import BOWBOOK, bytes_under, small_book
from sample_book import lively_book

PLACES = {
    "elsewhere, in another language and time": {
        "LC_ALL": "tr_TR.UTF-8",
        "LANG": "tr_TR.UTF-8",
        "TZ": "Pacific/Kiritimati",
        "PYTHONHASHSEED": "1",
        "USER": "somebody",
        "HOME": "/nowhere",
        "COLUMNS": "40",
    },
    "in the plainest of environments": {"LC_ALL": "C", "TZ": "UTC", "PYTHONHASHSEED": "4242", "PYTHONUTF8": "0"},
}


def published(root: Path, environment: dict[str, str], workers: int) -> dict[str, bytes]:
    """The site that a process of its own makes of a book."""
    clean = {name: value for name, value in os.environ.items() if name in ("PATH", "VIRTUAL_ENV")}
    done = subprocess.run(
        [*BOWBOOK, "publish", "--workers", str(workers)],
        cwd=root, env=clean | environment, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return bytes_under(root / "output")


@pytest.mark.skipif(sys.platform == "win32", reason="locales and time zones are named otherwise on Windows")
@pytest.mark.long
def test_two_machines_make_the_same_site(tmp_path: Path) -> None:
    """Folder, user, language, time zone, hash seed, order of files on the disk and workers make no difference."""
    one = lively_book(tmp_path / "one")
    sites = [published(one, {"LC_ALL": "C.UTF-8", "TZ": "America/Lima", "PYTHONHASHSEED": "0"}, 1)]
    for number, (place, environment) in enumerate(PLACES.items()):
        root = tmp_path / f"{number} ünd {place}"
        for path in sorted((one / "content").rglob("*"), reverse=True):
            if path.is_file():
                copy = root / path.relative_to(one)
                copy.parent.mkdir(parents=True, exist_ok=True)
                shutil.copyfile(path, copy)
        sites.append(published(root, environment, 2 + number))
    for site in sites[1:]:
        assert [address for address in sites[0] if site.get(address) != sites[0][address]] == []
        assert set(site) == set(sites[0])


def test_nothing_of_the_makers_machine_is_in_the_site(tmp_path: Path) -> None:
    """Neither the folder's name, nor the user's, nor the machine's, nor today's date is anywhere in the output."""
    import datetime
    import getpass
    import platform

    root = lively_book(tmp_path / "tell-tale-folder")
    site = published(root, {"USER": "tell-tale-user", "LOGNAME": "tell-tale-user", "HOME": "/tell-tale"}, 1)
    words = [b"tell-tale", str(tmp_path).encode(), datetime.date.today().isoformat().encode()]
    words += [name.encode() for name in (platform.node(), getpass.getuser()) if len(name) > 5]
    for address, data in site.items():
        assert [word for word in words if word in data] == [], address


@pytest.mark.parametrize(
    "put",
    [
        lambda file: file.write_text("lines.linewidth: 30\nsvg.fonttype: none\nfont.size: 40\nsavefig.dpi: 30\n"),
        lambda file: file.write_bytes(b"\xff\xfe nothing at all"),
        lambda file: os.mkfifo(file),
    ],
    ids=["other settings", "noise", "a pipe"],
)
@pytest.mark.parametrize("place", [".", "home/.config/matplotlib"])
def test_settings_of_the_drawing_library_are_its_own(put: Callable[[Path], None], place: str, tmp_path: Path) -> None:
    """What a book's folder, the user or the environment brings of them changes no chart, and holds nobody up."""
    kite = "---\nname: Knot\nbow: {length: 640, span: 600}\nbench: [{left: '214, 213 g', right: '205, 204 g'}]\n---\n"
    roots = [small_book(tmp_path / name, {"knot": kite}) for name in ("plain", "set")]
    (roots[1] / place).mkdir(parents=True, exist_ok=True)
    put(roots[1] / place / "matplotlibrc")
    said = {"MPLBACKEND": "nonsense", "MATPLOTLIBRC": str(roots[1] / place)}
    caches = [
        {"BOWBOOK_CACHE": str(tmp_path / f"cache {number}"), "HOME": str(roots[number] / "home")} for number in (0, 1)
    ]

    assert published(roots[1], caches[1] | said, 1) == published(roots[0], caches[0], 1)


_SLIP = "raise SystemExit('this was run')\n"
_NOT_IMPORTED = (
    "sitecustomize",
    "reportlab_mods",
    "reportlab_settings",
    "rlextra",
    "_rl_accel",
    "lxml",
    "PIL",
    "cairo",
)
_RUN = (".reportlab_mods", ".reportlab_settings")
_HOME: dict[str, Callable[[Path], object]] = {
    "a folder": lambda home: home.mkdir(),
    "a file": lambda home: home.write_text(""),
    "holds files that are run": lambda home: [_put(home / name).write_text(_SLIP) for name in _RUN],
    "holds pipes": lambda home: [os.mkfifo(_put(home / name)) for name in _RUN],
}


def _put(file: Path) -> Path:
    file.parent.mkdir(exist_ok=True)
    return file


@pytest.mark.parametrize("home", _HOME)
def test_nothing_that_lies_about_is_run(home: str, tmp_path: Path) -> None:
    """A module in the book's folder, a file of a library's in the user's, a variable of its: no byte is otherwise."""
    kite = "---\nname: Knot\nbow: {length: 640, span: 600}\nbench: [{left: '214, 213 g', right: '205, 204 g'}]\n---\n"
    roots = [small_book(tmp_path / name, {"knot": kite}) for name in ("plain", "littered")]
    for name in _NOT_IMPORTED:
        (roots[1] / f"{name}.py").write_text(_SLIP)
    _HOME[home](tmp_path / "home")
    said = {"HOME": str(tmp_path / "home"), "RL_invariant": "none", "RL_pageCompression": "0", "PYTHONSAFEPATH": "1"}
    caches = [{"BOWBOOK_CACHE": str(tmp_path / f"cache {n}"), "BOWBOOK_STATE": str(tmp_path / "state")} for n in (0, 1)]

    assert published(roots[1], caches[1] | said, 1) == published(roots[0], caches[0], 1)


@pytest.mark.parametrize("epoch", ["yesterday", "1e3", "9" * 30, "-1", ""])
def test_a_source_date_that_is_no_number_is_as_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, epoch: str
) -> None:
    """What SOURCE_DATE_EPOCH holds is somebody's slip or an odd build's, and no reason to fall over."""
    root = small_book(tmp_path, {"knot": "---\nname: Knot\n---\n"})
    monkeypatch.setenv("SOURCE_DATE_EPOCH", epoch)
    assert publish(root).wrote
    assert b"/CreationDate" not in (root / "output" / "kites" / "knot" / "sheet.pdf").read_bytes()


@pytest.mark.parametrize("years", [-10, 10])
def test_a_clock_that_was_put_back_or_on_hides_no_change(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, years: int
) -> None:
    """A file changed while the clock is wrong, to as many bytes and the very times of before, is read again."""
    root = small_book(tmp_path, {"knot": "---\nname: Knot\n---\n"})
    file = root / "content" / "kites" / "knot.md"
    real = time.time_ns
    monkeypatch.setattr(time, "time_ns", lambda: real() + years * 365 * 86_400 * 10**9)
    assert publish(root).wrote
    before = file.stat()
    for name in ("Knut", "Knit"):
        file.write_text(f"---\nname: {name}\n---\n")
        os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
        assert publish(root).wrote
        assert name in (root / "output" / "kites" / "knot" / "index.html").read_text()
        monkeypatch.setattr(time, "time_ns", real)


@pytest.mark.parametrize("day", [-12_000_000_000, 10_000_000_000, 32_000_000_000])
def test_files_of_another_age_are_published(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, day: int) -> None:
    """A file's time may be anything, as out of a damaged archive, and the machine's too: a change of it is seen."""
    root = small_book(tmp_path, {"knot": "---\nname: Knot\n---\n"}, "title: A book\n")
    file = root / "content" / "kites" / "knot.md"
    monkeypatch.setattr(time, "time_ns", lambda: day * 10**9)
    page = root / "output" / "kites" / "knot" / "index.html"
    for name in ("Knot", "Knut"):
        file.write_text(f"---\nname: {name}\n---\n")
        os.utime(file, (day, day))
        assert publish(root).wrote
        assert name in page.read_text()
        os.utime(page, (day, day))
        assert not publish(root).wrote
