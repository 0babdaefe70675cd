"""Whatever a disk refuses during a publish, the old site or the new one stands, whole, and the next one succeeds."""

from __future__ import annotations

import dataclasses
import errno
import itertools
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from drawn_photo import draw_photo
from failing import Cut, Disk, failing
from msgspec.structs import replace

from bowbook.build.publish import publish
from bowbook.build.report import PublishReport
from bowbook.pages import site_files
from bowbook.pages.targets import Target
from bowbook.storage import exchange
from bowbook.storage.result_file import file_for
from helpers import bytes_under, small_book
from sample_book import BOOK, RODS, SKINS, kite

THEIRS = {"mine.txt": "mine", "own/x.txt": "x", "kites/knot/notes.txt": "notes"}


@dataclass(frozen=True)
class Ways:
    """How a disk fails."""

    code: int | None
    for_good: bool = False
    reads: bool = False

    def __str__(self) -> str:
        name = "the power is cut" if self.code is None else errno.errorcode[self.code]
        return name + (" from then on" if self.for_good else "") + (" at reading" if self.reads else "")


WAYS = [
    Ways(errno.ENOSPC),
    Ways(errno.EIO),
    Ways(errno.EACCES),
    Ways(errno.ENOSPC, for_good=True),
    Ways(errno.EROFS, for_good=True),
    Ways(errno.EIO, reads=True),
    Ways(errno.EACCES, for_good=True, reads=True),
    Ways(None),
]


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each file is made once and remembered: what is tested is how it gets to the disk."""
    made: dict[tuple[str, bytes], bytes] = {}
    real = site_files.SiteFiles.of

    class Once:
        """A file's bytes in the place of its model."""

        def __init__(self, target: Target) -> None:
            self.target, self.fingerprint = target, target.made_from

        def __call__(self) -> bytes:
            key = self.target.address, self.fingerprint
            if key not in made:
                made[key] = self.target.render(self.target.model())
            return made[key]

    def remembered(files: site_files.SiteFiles, group: str) -> list[Target]:
        return [replace(one, model=Once(one), render=bytes, beside=b"", shown=None) for one in real(files, group)]

    monkeypatch.setattr(site_files.SiteFiles, "of", remembered)


class Desk:
    """A tiny book that goes to and fro between two states, with the whole site of each as made from nothing."""

    def __init__(self, folder: Path, outside: bool = False) -> None:
        self.folder = folder
        self.root = small_book(
            folder / "book", {"knot": kite("Knot", photo="beach.jpg")}, BOOK.replace("compare", "# ")
        )
        self._stock()
        self.output = folder / "elsewhere" / "site" if outside else self.root / "output"
        self.state = 0
        self.sites = []
        for state in (0, 1):
            self.become(state)
            shutil.copytree(self.root / "content", folder / f"cold-{state}" / "content")
            assert publish(folder / f"cold-{state}").wrote
            self.sites.append(bytes_under(folder / f"cold-{state}" / "output"))
        assert self.sites[0] != self.sites[1]
        self.become(0)

    def _stock(self) -> None:
        content = self.root / "content"
        (content / "stock" / "rods.yaml").write_text(RODS)
        (content / "stock" / "skins.yaml").write_text(SKINS)
        draw_photo(content / "kites" / "knot" / "beach.jpg")

    def become(self, state: int) -> None:
        """Write the book of this state: one kite leaves and another comes, and a page is rewritten."""
        self.state = state
        kites = self.root / "content" / "kites"
        (kites / "turnstone.md").unlink(missing_ok=True)
        (kites / "dunlin.md").unlink(missing_ok=True)
        (kites / ("dunlin.md" if state else "turnstone.md")).write_text(kite("Dunlin" if state else "Turnstone"))

    def from_nothing(self) -> None:
        """Take away every trace of publishing."""
        for folder in (self.root / ".bowbook", self.output, self.output.parent / ".site.bowbook"):
            shutil.rmtree(folder, ignore_errors=True)
        file_for(self.root).unlink(missing_ok=True)

    def leave_things(self) -> None:
        """Put things of the maker's own among the pages."""
        for address, text in THEIRS.items():
            path = self.output / address
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text)
        (self.output / "way").symlink_to("own/x.txt")

    def publish(self) -> PublishReport:
        """Publish, without a problem."""
        report = publish(self.root, self.output)
        assert not report.problems
        assert self.standing() == self.sites[self.state]
        return report

    def standing(self) -> dict[str, bytes] | None:
        """The site that stands, made sure that what is the maker's own stands in it too; None where there is none."""
        if not self.output.exists():
            return None
        found = bytes_under(self.output)
        if (way := self.output / "way").is_symlink():
            assert way.readlink() == Path("own/x.txt")
            for address, text in {**THEIRS, "way": "x"}.items():
                assert found.pop(address) == text.encode()
        return found


def fails_once(desk: Desk, disk: Disk, before: dict[str, bytes] | None, gone: bool = False) -> bool:
    """Publish on a disk that fails, look at what stands, publish again; whether the disk failed at all.

    `gone`: there may be no site at all until the next publish, as where two folders cannot change places in one step.
    """
    report = None
    with failing(disk):
        try:
            report = publish(desk.root, desk.output)
        except Cut:
            assert disk.code is None
    found, new = desk.standing(), desk.sites[desk.state]
    told = (disk.fails_at, disk.failed[:2], report and report.problems)
    if report is None or (gone and disk.for_good):
        assert found in (before, new) or (gone and found is None), told
    else:
        assert found == (before if report.problems else new), told
        assert all(
            problem.message and "Errno" not in problem.message and "Traceback" not in problem.message
            for problem in report.problems
        )
    desk.publish()
    return bool(disk.failed)


def ways_to_fail(way: Ways, desk: Desk, step: int) -> Iterator[Disk]:
    """A disk for each number of the request that fails, one in `step`."""
    for k in itertools.count(1, step):
        yield Disk(desk.folder, k, way.code, way.for_good, way.reads)


def first_publish(desk: Desk, way: Ways, step: int) -> int:
    """Of a book that has no site yet."""
    for number, disk in enumerate(ways_to_fail(way, desk, step)):
        desk.from_nothing()
        if not fails_once(desk, disk, None):
            return number
    return 0


def over_an_old_site(desk: Desk, way: Ways, step: int, gone: bool = False) -> int:
    """Of a book whose site stands, with things of the maker's own in it."""
    desk.publish()
    if not (desk.output / "way").is_symlink():
        desk.leave_things()
    for number, disk in enumerate(ways_to_fail(way, desk, step)):
        failed = []
        for _ in range(2):  # to the other state and back, so that both ways are seen
            before = desk.sites[desk.state]
            desk.become(1 - desk.state)
            failed.append(fails_once(desk, dataclasses.replace(disk, failed=[], open=set()), before, gone))
        if not any(failed):
            return 2 * number
    return 0


def nothing_changed(desk: Desk, way: Ways, step: int) -> int:
    """Of a book whose site stands and that says nothing new."""
    desk.publish()
    for number, disk in enumerate(ways_to_fail(way, desk, step)):
        for path in (desk.root / "content").rglob("*.md"):
            os.utime(path, ns=(0, number))  # as a copy would have it: another time, the same bytes
        if not fails_once(desk, disk, desk.sites[desk.state]):
            return number
    return 0


def after_a_cut(desk: Desk, way: Ways, step: int) -> int:
    """Of a book whose last publish ended right after the old site and the new one had changed places."""
    desk.publish()
    for number, disk in enumerate(ways_to_fail(way, desk, step)):
        desk.become(1 - desk.state)
        real = exchange.change

        def change(*folders: Path, real: Callable[..., None] = real) -> None:
            real(*folders)
            raise Cut

        exchange.change = change
        try:
            with pytest.raises(Cut):
                publish(desk.root, desk.output)
        finally:
            exchange.change = real
        before = desk.sites[desk.state]
        desk.become(1 - desk.state)
        if not fails_once(desk, disk, before):
            return number
    return 0


SITUATIONS = [first_publish, over_an_old_site, nothing_changed, after_a_cut]


@pytest.mark.usefixtures("quick")
def test_now_and_then_the_disk_fails(tmp_path: Path) -> None:
    """One request in sixty fails, in one way after the other, in a first publish and in one over an old site."""
    desk = Desk(tmp_path)
    assert first_publish(desk, WAYS[7], 60) >= 3
    assert over_an_old_site(desk, WAYS[3], 60) >= 4


@pytest.mark.kill
@pytest.mark.usefixtures("quick")
@pytest.mark.parametrize(
    ("way", "outside"),
    [(w, False) for w in WAYS] + [(w, True) for w in WAYS if not w.reads and w.code != errno.EACCES],
    ids=lambda told: ("outside" if told else "inside") if isinstance(told, bool) else str(told),
)
@pytest.mark.parametrize("situation", SITUATIONS, ids=lambda s: s.__name__)
def test_at_every_request_the_disk_fails(
    tmp_path: Path, situation: Callable[[Desk, Ways, int], int], way: Ways, outside: bool
) -> None:
    """The k-th request fails, for every k: the old site or the new one, nothing of others lost, a sentence."""
    count = situation(Desk(tmp_path, outside), way, 1)
    print(f"{count} times")
    assert count >= 2  # as few as a publish of an unchanged book reads


@pytest.mark.kill
@pytest.mark.usefixtures("quick")
@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere this is the only way there is, or is not")
@pytest.mark.parametrize("way", WAYS, ids=str)
def test_where_two_folders_cannot_change_places_in_one_step(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, way: Ways
) -> None:
    """The same where it takes two steps; only between these may there be no site, until the next publish."""
    monkeypatch.setattr(exchange, "exchange", lambda *_: False)
    count = over_an_old_site(Desk(tmp_path), way, 1, gone=True)
    print(f"{count} times")
    assert count >= 3
