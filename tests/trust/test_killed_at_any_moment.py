"""A publish that is killed, at any moment, leaves one whole site; the next one makes it as from nothing."""

from __future__ import annotations

import json
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from bowbook.site.publish import publish
from bowbook.site.tree import MANIFEST, digest_of
from helpers import BOWBOOK, ROOT, bytes_under
from lively import kite, lively_book

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL on Windows")

THEIRS = b"of the maker's own"


def whole(output: Path) -> str:
    """The digest of a site's own list, after making sure that every file on it is there, as listed, and no other."""
    site = bytes_under(output)
    assert site.pop("mine.txt") == THEIRS
    listing = site.pop(MANIFEST)
    assert {address: digest_of(data) for address, data in site.items()} == json.loads(listing)["files"]
    return digest_of(listing)


def kill(root: Path, after_s: float, workers: int) -> bool:
    """Publish, and kill it after some time; whether it was killed before it had ended."""
    with subprocess.Popen(
        [*BOWBOOK, "publish", "--workers", str(workers)],
        cwd=root, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    ) as process:  # fmt: skip
        try:
            return process.wait(after_s) == -signal.SIGKILL
        except subprocess.TimeoutExpired:
            process.kill()
            return process.wait() == -signal.SIGKILL


def change_all(root: Path, number: int) -> None:
    """Change the book so that every page of it is made anew."""
    (root / "content" / "kites" / "turnstone.md").write_text(kite("Turnstone", left=205 + number % 17))
    with (root / "content" / "kites" / "knot.md").open("a") as file:
        file.write(f"\nEdit {number}.\n")


def killed_again_and_again(root: Path, times: int, seed: int, scratch: Path) -> tuple[int, int]:
    """Kill publish after publish at random moments; how many were killed in time, and how many new sites stood then."""
    dice = random.Random(seed)
    assert publish(root).wrote
    (root / "output" / "mine.txt").write_bytes(THEIRS)
    start = time.monotonic()
    change_all(root, 0)
    assert not kill(root, 600, 2)
    takes_s = time.monotonic() - start
    standing = whole(root / "output")
    killed = renewed = 0
    for number in range(1, times + 1):
        change_all(root, number)
        killed += kill(root, dice.uniform(0.0, takes_s * 1.05), 1 + number % 2)
        now = whole(root / "output")
        renewed += now != standing
        standing = now
        if number % max(times // 8, 1) == 0:
            report = publish(root)
            assert not report.faults
            shutil.rmtree(scratch, ignore_errors=True)
            shutil.copytree(root / "content", scratch / "content")
            publish(scratch)
            found = bytes_under(root / "output")
            assert found.pop("mine.txt") == THEIRS
            assert found == bytes_under(scratch / "output")
            standing = whole(root / "output")
    return killed, renewed


def test_a_few_times(tmp_path: Path) -> None:
    """Killed a few times: each time a whole site, with the maker's own file in it, and then a site as from nothing."""
    killed, _ = killed_again_and_again(lively_book(tmp_path / "book"), 4, 11, tmp_path / "scratch")
    assert killed >= 1


@pytest.mark.kill
def test_two_hundred_times_with_two_hundred_kites(tmp_path: Path) -> None:
    """The same, two hundred times, on a book of two hundred kites."""
    root = lively_book(tmp_path / "book")
    command = [sys.executable, ROOT / "tests" / "making" / "large_book.py", tmp_path / "large", "--kites", "197"]
    subprocess.run(command, check=True)
    for path in (tmp_path / "large" / "content" / "kites").iterdir():
        if path.is_file():
            shutil.copy(path, root / "content" / "kites")
    for path in (tmp_path / "large" / "content" / "stock").iterdir():
        with (root / "content" / "stock" / path.name).open("a") as file:
            file.write(path.read_text())
    killed, renewed = killed_again_and_again(root, 200, 12, tmp_path / "scratch")
    assert killed > 100
    assert renewed > 5


@pytest.mark.kill
@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_a_disk_that_fails_anywhere_in_a_publish(tmp_path: Path, for_good: bool) -> None:
    """Every request to the disk fails in turn, all through a publish: old or new site, then as from nothing."""
    sys.path.insert(0, str(Path(__file__).parent))
    from failing import Disk, failing

    root = lively_book(tmp_path / "book")
    publish(root)
    (root / "output" / "mine.txt").write_bytes(THEIRS)
    change_all(root, 0)
    with failing(Disk()) as disk:
        assert publish(root).wrote
        count = disk.asked
    assert count > 60
    old = whole(root / "output")
    for k in range(1, count + 1):
        change_all(root, k)
        disk = Disk(fails_at=k, for_good=for_good)
        with failing(disk):
            report = publish(root)
        now = whole(root / "output")
        assert (now == old) if report.faults else (now != old), (k, disk.failed, report.faults)
        assert not publish(root).faults
        old = whole(root / "output")
    shutil.copytree(root / "content", tmp_path / "cold" / "content")
    publish(tmp_path / "cold")
    found = bytes_under(root / "output")
    assert found.pop("mine.txt") == THEIRS
    assert found == bytes_under(tmp_path / "cold" / "output")
