"""A command that is killed while it edits a maker's files leaves each of them as it was, or as it was to be."""

from __future__ import annotations

import contextlib
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from failing import Cut, Disk, failing

from bowbook.cli import main
from bowbook.format.read_book import read_book
from field_sessions import tap, write_session
from helpers import bytes_under, small_book

RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\n"
STRIPS = "first: {rod: carbon-1.5, length: 640 mm, bench: [{on: 2026-04-01, left: 212 g, right: 213 g}]}\n"
KITE = "---\nname: {}\nstage: planned\nbow: {{rod: carbon-1.5, length: 640 mm}}   # kept\n---\nIts story.\n"
TABLE = "name,left,right\nNib,212 g,213 g\nNova,220 g,221 g\n"

COMMANDS = [
    ("bench", "nib", "--left", "212, 214 g", "--right", "7.5 oz"),
    ("fly", "--from", "s.json", "--yes"),
    ("change", "nib", "--bow", "first"),
    ("take", "old.csv", "--yes"),
    ("add", "Tern"),
    ("undo",),
]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of two kites and a loose strip, in which one command has written already."""
    root = small_book(tmp_path / "book", {"nib": KITE.format("Nib"), "kluut": KITE.format("Kluut")}, rods=RODS)
    (root / "content" / "stock" / "strips.yaml").write_text(STRIPS, encoding="utf-8")
    (root / "old.csv").write_text(TABLE, encoding="utf-8")
    write_session(root / "s.json", tap("nib", 6, "liked"), tap("kluut", 7, "much"))
    for words in (("fly", "nib", "--best", "5-7 mph"), ("fly", "kluut", "--best", "5-7 mph")):
        assert run(root, *words) == 0
    return root


def run(root: Path, *words: str) -> int:
    """The exit status of a command in a book."""
    result = CliRunner().invoke(main, [*words, "--book", str(root)])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result.exit_code


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_each_file_is_the_old_one_or_the_new_one(
    words: tuple[str, ...], book: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At every thing that is asked of the disk the power is cut, once; then the same command may be given again."""
    monkeypatch.chdir(book)  # sessions and tables are named from there

    def cut_at(number: int) -> tuple[Disk, Path]:
        root = tmp_path / f"cut-{number}"
        shutil.copytree(book, root)
        disk = Disk(below=root, fails_at=number, code=None)
        with failing(disk), contextlib.suppress(Cut):
            run(root, *words)
        return disk, root

    whole, done = cut_at(0)
    old, new = bytes_under(book / "content"), bytes_under(done / "content")
    assert old != new
    assert whole.asked > 5
    seen: set[bool] = set()
    for number in range(1, whole.asked + 1):
        _, root = cut_at(number)
        found = {name: data for name, data in bytes_under(root / "content").items() if not name.endswith(".part")}
        for name, data in found.items():
            assert data in (old.get(name), new.get(name)), (number, name)
        assert set(found) >= {name for name in old if name in new}, number
        seen.add(found == new)
        assert read_book(root).problems == ()
        assert run(root, *words) in (0, 1, 2), number  # whatever is left to do is done, or refused in a sentence
        assert read_book(root).problems == ()
        shutil.rmtree(root)
    assert seen == {True, False}
