"""A publish that is killed, at any moment, leaves one whole site; the next one makes it as from nothing."""

from __future__ import annotations

import contextlib
import os
import random
import select
import shutil
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from drawn_photo import draw_photo

from bowbook.build.publish import publish
from bowbook.storage.files import digest_of
from helpers import BOWBOOK, bytes_under
from sample_book import kite, lively_book

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL on Windows")

THEIRS = b"of the maker's own"
STATES = 3
Site = dict[str, str]


def site_at(output: Path) -> Site:
    """Address and digest of every file of a site but what is the maker's own, which is made sure to be there."""
    found = bytes_under(output)
    if (output.parent / "left-something").exists():
        assert found.pop("mine.txt") == THEIRS
    return {address: digest_of(data) for address, data in found.items()}


def become(root: Path, state: int) -> None:
    """Write one of the book's states: a kite that comes and goes, new readings, stories, a photo, a page."""
    kites = root / "content" / "kites"
    (kites / "turnstone.md").write_text(kite("Turnstone", left=220).replace("mass: 21 g", f"mass: {21 + state} g"))
    (kites / "plain.md").write_text(f"---\nname: Plain\nsummary: In its state {state}.\n---\nStory {state}.\n")
    (kites / "guest.md").unlink(missing_ok=True)
    if state:
        (kites / "guest.md").write_text(f"---\nname: Guest {state}\n---\n")
    (root / "content" / "pages" / "words.md").write_text(f"# Words\n\n{state} of [Knot](../kites/knot.md).\n")
    draw_photo(kites / "knot" / "beach.jpg", 90 + state)


@dataclass
class Child:
    """A publish in a process of its own, which says when it begins to put the site in place."""

    pid: int
    pipe: int
    began: float

    def waits(self, seconds: float) -> bool:
        """Wait for the child to say something, or to end; whether it has within this time."""
        return bool(select.select([self.pipe], [], [], max(seconds, 0.0))[0])

    def end(self, kill: bool = False) -> bool:
        """Wait for its end, or end it now; whether it was this that ended it."""
        if kill:
            os.kill(self.pid, signal.SIGKILL)
        status = os.waitpid(self.pid, 0)[1]
        os.close(self.pipe)
        assert os.WIFSIGNALED(status) or status == 0
        return os.WIFSIGNALED(status)


def child(root: Path, workers: int) -> Child:
    """Publish in a forked process: all is imported there already, so that its moments are those of the work."""
    ours, theirs = os.pipe()
    began = time.monotonic()
    pid = os.fork()
    if pid == 0:
        os.close(ours)
        failed = 1
        with contextlib.suppress(BaseException):

            def tell(what: str, *_: int) -> None:
                if what == "putting the site in place":
                    os.write(theirs, b".")

            failed = int(bool(publish(root, workers=workers, progress=tell).problems))
        os._exit(failed)
    os.close(theirs)
    return Child(pid, ours, began)


@dataclass
class Lengths:
    """How long publishes have taken lately, all of it and its end, in seconds."""

    whole: list[float] = field(default_factory=list)
    last: list[float] = field(default_factory=list)

    def publish(self, root: Path, workers: int) -> None:
        """Publish to the end, and note how long that took."""
        one = child(root, workers)
        one.waits(3600)
        placing = time.monotonic()
        assert not one.end()
        now = time.monotonic()
        self.whole.append(now - one.began)
        self.last.append(now - placing)


def killed(root: Path, workers: int, lengths: Lengths, dice: random.Random, near_the_end: bool) -> bool:
    """Publish, and kill it at a random moment, of all of it or of its end; whether it was killed in time."""
    one = child(root, workers)
    if near_the_end:
        one.waits(3600)
        time.sleep(dice.uniform(0.0, statistics.median(lengths.last[-9:])))
    else:
        time.sleep(dice.uniform(0.0, statistics.median(lengths.whole[-9:])))
    return one.end(kill=True)


def cold(root: Path, scratch: Path, states: int) -> Iterator[Site]:
    """The site of each state of a book, made from nothing in a folder of its own."""
    for state in range(states):
        become(root, state)
        shutil.copytree(root / "content", scratch / str(state) / "content")
        assert publish(scratch / str(state), workers=2).wrote
        yield site_at(scratch / str(state) / "output")


def killed_again_and_again(root: Path, times: int, seed: int, scratch: Path, states: int = STATES) -> int:
    """Kill publish after publish, look at what stands, publish again; how many times the new site stood already."""
    dice = random.Random(seed)
    sites = list(cold(root, scratch, states))
    assert len({tuple(site.items()) for site in sites}) == states
    assert publish(root, workers=2).wrote
    (root / "output" / "mine.txt").write_bytes(THEIRS)
    (root / "left-something").touch()
    lengths = Lengths()
    for state in range(states):
        become(root, state)
        lengths.publish(root, 1)
    number = renewed = 0
    while number < times:
        old, state = state, dice.choice([other for other in range(states) if other != state])
        become(root, state)
        if not killed(root, 1 + number % 2, lengths, dice, near_the_end=number % 2 == 1):
            assert site_at(root / "output") == sites[state]
            continue
        number += 1
        now = site_at(root / "output")
        assert now in (sites[old], sites[state])
        renewed += now == sites[state]
        lengths.publish(root, 1 + number % 2)
        assert site_at(root / "output") == sites[state]
        print(f"{number} killed, {renewed} renewed, {lengths.whole[-1]:.1f} s, {lengths.last[-1]:.2f} s", flush=True)
    return renewed


def two_hundred_kites(folder: Path) -> Path:
    """The lively book, and kites to make it two hundred, of which little is known: what counts is their files."""
    root = lively_book(folder / "book")
    for number in range(197):
        text = (
            f"---\nname: Kite {number}\nmass: {20 + number % 9} g\nbow: {{length: {600 + number}}}\n---\nIts story.\n"
        )
        (root / "content" / "kites" / f"kite-{number}.md").write_text(text)
    return root


@pytest.mark.long
def test_a_few_times(tmp_path: Path) -> None:
    """Killed a few times: each time a whole site, with the maker's own file in it, and then a site as from nothing."""
    killed_again_and_again(lively_book(tmp_path / "book"), 2, 11, tmp_path / "cold", 2)


def test_the_command_itself(tmp_path: Path) -> None:
    """The same for the command as a maker gives it, killed while it makes files with two workers."""
    root = lively_book(tmp_path)
    assert publish(root).wrote
    before = bytes_under(root / "output")
    for path in (root / "content" / "kites").glob("*.md"):
        path.write_text(path.read_text().replace("name: ", "name: Another "))
    command = [*BOWBOOK, "publish", "--workers", "2"]
    with subprocess.Popen(command, cwd=root, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
        while process.poll() is None and not list((root / ".bowbook" / "aside").glob("kites/*/sheet.pdf")):
            time.sleep(0.005)
        process.kill()
    assert process.returncode == -signal.SIGKILL
    assert bytes_under(root / "output") == before
    assert publish(root).wrote


@pytest.mark.kill
def test_two_hundred_times_with_two_hundred_kites(tmp_path: Path) -> None:
    """The same, two hundred times, on a book of two hundred kites: half the times near the end of the publish."""
    renewed = killed_again_and_again(two_hundred_kites(tmp_path), 200, 12, tmp_path / "cold")
    assert 10 < renewed < 190


@pytest.mark.kill
def test_a_first_publish_of_two_hundred_kites(tmp_path: Path) -> None:
    """A first publish, killed at random moments: no site at all or a whole one, and then a site as from nothing."""
    root, dice = two_hundred_kites(tmp_path), random.Random(13)
    became = next(cold(root, tmp_path / "cold", 1))
    lengths = Lengths()
    lengths.publish(root, 2)
    number = 0
    while number < 4:
        for folder in ("output", ".bowbook"):
            shutil.rmtree(root / folder, ignore_errors=True)
        one = child(root, 2)
        time.sleep(dice.uniform(0.0, min(lengths.whole)))
        number += one.end(kill=True)
        assert not (root / "output").exists() or site_at(root / "output") == became
        lengths.publish(root, 2)
        assert site_at(root / "output") == became
        print(f"{number} killed, {lengths.whole[-1]:.1f} s", flush=True)
