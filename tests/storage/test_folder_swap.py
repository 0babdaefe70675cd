"""A site is put in place whole, or the old one stays, and nothing that bowbook did not write is lost."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from bowbook.storage import exchange, files
from bowbook.storage.folder_swap import FolderSwap
from bowbook.storage.os_errors import StorageError


def silent(what: str, done: int = 0, total: int = 0) -> None:
    """Hears and says nothing."""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A book's folder, ready for a site."""
    book = tmp_path / "book"
    (book / "content").mkdir(parents=True)
    return book


def shelve(root: Path, pages: dict[str, str], output: Path | None = None) -> FolderSwap:
    """Put a site of these pages in place, as publishing does, and give the shelf it stood on."""
    output = output or root / "output"
    with FolderSwap(root, output, exchange.state_folder(root)) as shelf:
        shelf.open(silent)
        shelf.look({})
        shelf.begin({}, pages)
        digests = {}
        for address, text in pages.items():
            shelf.write(address, text.encode())
            digests[address] = files.digest_of(text.encode())
        (shelf.aside / "data").mkdir(exist_ok=True)
        shelf.write(files.MANIFEST, files.manifest_text(digests))
        shelf.swap()
    return shelf


def standing(output: Path) -> dict[str, str]:
    """Every file in a folder, by address, its own list left out."""
    files = (path for path in output.rglob("*") if path.is_file() and path.name != "files.json")
    return {path.relative_to(output).as_posix(): path.read_text() for path in files}


def test_a_new_site_takes_the_old_ones_place(root: Path) -> None:
    """After a second site the first one's pages are gone and the second's are there."""
    shelve(root, {"index.html": "one", "kites/a/index.html": "a"})
    shelve(root, {"index.html": "two", "kites/b/index.html": "b"})
    assert standing(root / "output") == {"index.html": "two", "kites/b/index.html": "b"}


def test_what_bowbook_did_not_write_stays(root: Path) -> None:
    """Files, folders and links of the maker's own are in the new site as they were."""
    output = root / "output"
    shelve(root, {"index.html": "one", "kites/a/index.html": "a"})
    (output / ".gitkeep").write_text("")
    (output / "kites" / "a" / "notes.txt").write_text("mine")
    (output / "old" / "deep").mkdir(parents=True)
    (output / "old" / "deep" / "x").write_text("x")
    (output / "empty").mkdir()
    (output / "away").symlink_to("/nowhere/at/all")
    shelve(root, {"index.html": "two"})
    assert standing(output) == {"index.html": "two", ".gitkeep": "", "kites/a/notes.txt": "mine", "old/deep/x": "x"}
    assert (output / "empty").is_dir()
    assert (output / "away").readlink() == Path("/nowhere/at/all")


def test_a_page_changed_by_hand_is_kept_beside(root: Path) -> None:
    """A page somebody wrote into is no longer bowbook's own: the new page takes its place, theirs is set aside."""
    shelve(root, {"index.html": "one"})
    (root / "output" / "index.html").write_text("mine now")
    shelf = shelve(root, {"index.html": "two"})
    assert standing(root / "output") == {"index.html": "two"}
    assert [(root / kept).read_text() for kept in shelf.set_aside.values()] == ["mine now"]


def test_a_folder_a_page_needs_keeps_what_was_in_it(root: Path) -> None:
    """A maker's own folder called as one of the site's is shared, not replaced."""
    (root / "output" / "kites").mkdir(parents=True)
    (root / "output" / "kites" / "mine.txt").write_text("mine")
    shelve(root, {"kites/a/index.html": "a"})
    assert standing(root / "output") == {"kites/a/index.html": "a", "kites/mine.txt": "mine"}


def test_a_file_where_a_folder_must_be_is_set_aside(root: Path) -> None:
    """A maker's own file called as one of the site's folders is kept beside."""
    (root / "output").mkdir()
    (root / "output" / "kites").write_text("mine")
    shelf = shelve(root, {"kites/a/index.html": "a"})
    assert standing(root / "output") == {"kites/a/index.html": "a"}
    assert (root / shelf.set_aside["kites"]).read_text() == "mine"


def test_what_is_put_there_meanwhile_stays(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file put into the output after it was looked at, just before the change of places, is in the new site."""
    shelve(root, {"index.html": "one"})
    change = exchange.change

    def late(new: Path, old: Path, spare: Path) -> None:
        (old / "late.txt").write_text("late")
        change(new, old, spare)

    monkeypatch.setattr(exchange, "change", late)
    shelve(root, {"index.html": "two"})
    assert standing(root / "output") == {"index.html": "two", "late.txt": "late"}


@pytest.mark.parametrize("after", ["first step", "second step"])
def test_a_change_in_two_steps_is_finished_by_the_next(root: Path, monkeypatch: pytest.MonkeyPatch, after: str) -> None:
    """Where two folders can't change places at once, a publish stopped between the steps is finished by the next."""
    shelve(root, {"index.html": "one"})
    (root / "output" / "mine.txt").write_text("mine")

    def stopped(new: Path, old: Path, spare: Path) -> None:
        old.rename(spare)
        if after == "second step":
            new.rename(old)
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(exchange, "change", stopped)
        with pytest.raises(KeyboardInterrupt):
            shelve(root, {"index.html": "two"})
    with FolderSwap(root, root / "output", exchange.state_folder(root)) as shelf:
        shelf.open(silent)
    assert standing(root / "output") == {"index.html": "two", "mine.txt": "mine"}


def test_without_an_exchange_the_site_still_changes(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a system that can't exchange two folders in one step, two steps lead to the same."""
    monkeypatch.setattr(exchange, "exchange", lambda *_: False)
    shelve(root, {"index.html": "one"})
    (root / "output" / "mine.txt").write_text("mine")
    shelve(root, {"index.html": "two"})
    assert standing(root / "output") == {"index.html": "two", "mine.txt": "mine"}


def test_the_output_is_there_at_every_moment(root: Path) -> None:
    """Whoever looks while sites change places finds one whole site each time, never none and never a mixture.

    Who looks for so long that the site has changed meanwhile looks again: once changed, the folder is another by then;
    changed twice, it may be the first again with other pages, so nothing is said of a look that began a site earlier.
    """
    pages = [f"page-{n}.html" for n in range(5)]
    shelve(root, dict.fromkeys(pages, "0"))
    wrong: list[str] = []
    put_in_place = [-1]  # the newest number that was asked for
    stop = threading.Event()

    def watch() -> None:
        while not stop.is_set():
            newest = put_in_place[-1]
            handle = os.open(root / "output", os.O_RDONLY)
            seen = Path(f"/proc/self/fd/{handle}")
            try:
                texts = [path.read_text() for path in seen.iterdir() if path.name.startswith("page")]
            except FileNotFoundError:
                texts = []
            same = os.path.samestat(os.fstat(handle), (root / "output").stat())
            os.close(handle)
            if same and newest == put_in_place[-1] and (len(texts) != len(pages) or len(set(texts)) != 1):
                wrong.append(str(texts))

    watcher = threading.Thread(target=watch)
    watcher.start()
    for number in range(12):
        put_in_place.append(number)
        shelve(root, dict.fromkeys(pages, str(number)))
    stop.set()
    watcher.join()
    assert wrong == []


@pytest.mark.parametrize(
    ("place", "sentence"),
    [
        ("", "The book itself lies in this folder."),
        ("..", "The book itself lies in this folder."),
        ("content", "The book keeps its own files in content/."),
        ("content/kites", "The book keeps its own files in content/."),
        (".bowbook/x", "The book keeps its own files in .bowbook/."),
        ("link", "This is a link, and a site is never put in place through one."),
        ("file", "This is a file, not a folder."),
    ],
)
def test_some_places_are_refused(root: Path, place: str, sentence: str) -> None:
    """A site is not put over the book, nor through a link, nor in a file's place."""
    (root / "link").symlink_to(root.parent)
    (root / "file").write_text("mine")
    with pytest.raises(StorageError) as refused:
        shelve(root, {"index.html": "one"}, Path(os.path.normpath(root / place)))
    assert refused.value.message == sentence
    assert (root / "file").read_text() == "mine"


def test_a_site_elsewhere_leaves_nothing_beside_it(root: Path, tmp_path: Path) -> None:
    """Where the output lies outside the book, what was needed to build it is gone afterwards."""
    shelve(root, {"index.html": "one"}, tmp_path / "www" / "site")
    shelve(root, {"index.html": "two"}, tmp_path / "www" / "site")
    assert [path.name for path in (tmp_path / "www").iterdir()] == ["site"]
    assert standing(tmp_path / "www" / "site") == {"index.html": "two"}


def test_files_that_stay_are_the_very_same_files(root: Path) -> None:
    """A file that stays keeps its inode, and so its time: what copies a site elsewhere sees nothing new."""
    shelve(root, {"index.html": "one", "same.html": "same"})
    before = (root / "output" / "same.html").stat().st_ino
    with FolderSwap(root, root / "output", exchange.state_folder(root)) as shelf:
        shelf.open(silent)
        present = shelf.look({})
        shelf.begin({"same.html": present.files["same.html"]}, ["same.html", "index.html"])
        shelf.write("index.html", b"two")
        shelf.swap()
    assert (root / "output" / "same.html").stat().st_ino == before
    assert (root / "output" / "index.html").read_text() == "two"


def test_where_links_are_refused_files_are_copied(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a disk without hard links the site is the same."""

    def refuse(*_args: object, **_settings: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    shelve(root, {"index.html": "one"})
    (root / "output" / "mine.txt").write_text("mine")
    (root / "output" / "away").symlink_to("nowhere")
    monkeypatch.setattr(os, "link", refuse)
    shelve(root, {"index.html": "two"})
    assert standing(root / "output") == {"index.html": "two", "mine.txt": "mine"}
    assert (root / "output" / "away").is_symlink()


_HOLD = """
import sys, time
from pathlib import Path
from bowbook.storage.lock import Lock
lock = Lock(Path(sys.argv[1]))
assert lock.take(print)
print("held", flush=True)
time.sleep(float(sys.argv[2]))
"""


def test_a_second_publish_waits_for_the_first_and_says_so(root: Path) -> None:
    """A publish that finds another one at work says that it waits, and goes on when that one ends."""
    state = exchange.state_folder(root)
    with subprocess.Popen(
        [sys.executable, "-c", _HOLD, str(state / "lock"), "0.4"], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        said: list[str] = []
        with FolderSwap(root, root / "output", state) as shelf:
            shelf.open(said.append)
    assert said == ["Another publish is at work here; waiting for it to end."]


def test_the_lock_of_a_dead_process_holds_nobody_up(root: Path) -> None:
    """A publish that was killed leaves no lock behind."""
    state = exchange.state_folder(root)
    with subprocess.Popen(
        [sys.executable, "-c", _HOLD, str(state / "lock"), "60"], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        other.kill()
        other.wait()
        start = time.monotonic()
        with FolderSwap(root, root / "output", state) as shelf:
            shelf.open(silent)
        assert time.monotonic() - start < 2


def test_an_unreadable_journal_is_no_obstacle(root: Path) -> None:
    """A journal that is damaged, or that somebody else made up, is dropped, and the site stays as it is."""
    shelve(root, {"index.html": "one"})
    (root / ".bowbook" / "journal").write_text('{"new": "x"')
    shelve(root, {"index.html": "two"})
    assert standing(root / "output") == {"index.html": "two"}


def test_the_folder_between_publishes_may_not_be_a_link(root: Path, tmp_path: Path) -> None:
    """A book handed over with .bowbook leading elsewhere is refused: nothing is written or removed there."""
    precious = tmp_path / "precious"
    (precious / "aside").mkdir(parents=True)
    (precious / "aside" / "letter.txt").write_text("dear")
    (root / ".bowbook").symlink_to(precious)
    with pytest.raises(StorageError, match="not a folder"):
        exchange.state_folder(root)
    assert (precious / "aside" / "letter.txt").read_text() == "dear"


def test_a_link_in_place_of_the_folder_aside_is_not_followed(root: Path, tmp_path: Path) -> None:
    """What is aside is bowbook's to clear, but never through a link."""
    precious = tmp_path / "precious"
    precious.mkdir()
    (precious / "letter.txt").write_text("dear")
    exchange.state_folder(root)
    (root / ".bowbook" / "aside").symlink_to(precious)
    shelve(root, {"index.html": "one"})
    assert (precious / "letter.txt").read_text() == "dear"
    assert not (root / "output").is_symlink()


@pytest.mark.parametrize("may_not", ["mkdir", "open"])
def test_a_book_that_may_only_be_read_says_where_the_notes_go(
    root: Path, monkeypatch: pytest.MonkeyPatch, may_not: str
) -> None:
    """Where the book itself may not be written, publishing elsewhere does not help, and is not what is advised."""

    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(errno.EACCES, "no", str(path))

    if may_not == "open":
        exchange.state_folder(root)
    monkeypatch.setattr(os, may_not, refuse)
    with pytest.raises(StorageError) as refused:
        FolderSwap(root, root / "output", exchange.state_folder(root)).open(silent)
    assert refused.value.message.startswith("You may not write here.")
    assert "Copy the book" in refused.value.hint


def test_a_list_that_cannot_be_read_makes_no_page_the_makers(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk does not give the site's own list, publishing stops: old pages would stay for ever else."""
    shelve(root, {"index.html": "old", "gone.html": "gone"})
    real = os.open

    def broken(path: str | Path, *rest: int) -> int:
        if str(path).endswith("files.json"):
            raise OSError(errno.EIO, "no", str(path))
        return real(path, *rest)

    monkeypatch.setattr(os, "open", broken)
    with pytest.raises(StorageError):
        shelve(root, {"index.html": "new"})
    monkeypatch.undo()
    shelve(root, {"index.html": "new"})
    assert standing(root / "output") == {"index.html": "new"}
