"""Every step of putting a site in place may fail: the old site or the new one stands, whole, and the next succeeds."""

from __future__ import annotations

from pathlib import Path

import pytest
from failing import Disk, failing

from bowbook.storage import exchange, files
from bowbook.storage.folder_swap import FolderSwap
from bowbook.storage.os_errors import StorageError

OLD = {"index.html": "old", "same.html": "same", "kites/a/index.html": "a"}
NEW = {"index.html": "new", "same.html": "same", "kites/b/index.html": "b"}
THEIRS = {"mine.txt": "mine", "kites/a/notes.txt": "notes", "own/x.txt": "x"}


def shelve(root: Path, pages: dict[str, str]) -> None:
    """Put a site of these pages in place as publishing does: what is the same stays, the rest is written."""
    with FolderSwap(root, root / "output", exchange.state_folder(root)) as shelf:
        shelf.open(lambda *_: None)
        present = shelf.look({})
        digests = {address: files.digest_of(text.encode()) for address, text in pages.items()}
        kept = {a: held for a, held in present.files.items() if digests.get(a) == held.digest}
        shelf.begin(kept, [*pages, files.MANIFEST])
        for address, text in pages.items():
            if address not in kept:
                shelf.write(address, text.encode())
        shelf.write(files.MANIFEST, files.manifest_text(digests))
        shelf.swap()


def standing(root: Path) -> dict[str, str]:
    """Every file of the output but the site's own list."""
    output = root / "output"
    files = (path for path in output.rglob("*") if path.is_file() and path.name != "files.json")
    return {path.relative_to(output).as_posix(): path.read_text() for path in files}


def book(folder: Path) -> Path:
    """A book with an old site and things of the maker's own in it."""
    folder.mkdir()
    shelve(folder, OLD)
    for address, text in THEIRS.items():
        path = folder / "output" / address
        path.parent.mkdir(exist_ok=True)
        path.write_text(text)
    return folder


@pytest.mark.parametrize("for_good", [False, True], ids=["once", "from then on"])
def test_at_every_step_a_disk_may_fail(tmp_path: Path, for_good: bool) -> None:
    """The k-th request fails, for every k: the site is the old or the new one, and nothing of others is lost."""
    with failing(Disk(tmp_path)) as disk:
        steps = book(tmp_path / "count")
        before = disk.asked
        shelve(steps, NEW)
        count = disk.asked - before
    assert count > 30
    sites = set()
    for k in range(1, count + 1):
        root = book(tmp_path / f"{k}")
        disk = Disk(tmp_path, fails_at=k, for_good=for_good)
        said = ""
        with failing(disk):
            try:
                shelve(root, NEW)
            except StorageError as error:
                said = error.message
        assert disk.failed, k
        found = standing(root)
        sites.add(found["index.html"])
        assert found in ({**OLD, **THEIRS}, {**NEW, **THEIRS}), (k, disk.failed)
        if said:
            assert found == {**OLD, **THEIRS}, (k, disk.failed, said)
        shelve(root, NEW)
        assert standing(root) == {**NEW, **THEIRS}, (k, disk.failed)
        assert not (root / ".bowbook" / "journal").exists()
    assert sites == {"old", "new"}
