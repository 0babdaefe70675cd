"""Whatever lies where bowbook works, whatever a site's list claims: what bowbook did not write is not deleted."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from bowbook.build.publish import publish
from bowbook.cli import main
from bowbook.storage.files import MANIFEST, digest_of
from helpers import bytes_under, small_book

KITE = {"knot": "---\nname: Knot\n---\n"}


@pytest.fixture
def other_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder on another disk than the book's."""
    shared = Path("/dev/shm")
    if not shared.is_dir() or shared.stat().st_dev == tmp_path.stat().st_dev:
        pytest.skip("there is no other disk here")
    folder = Path(tempfile.mkdtemp(dir=shared))
    yield folder
    shutil.rmtree(folder)


def test_a_folder_called_like_ours_stays(tmp_path: Path) -> None:
    """A user's own folder beside the output, called as bowbook once called its own, is left alone."""
    root = small_book(tmp_path / "book", KITE)
    web = tmp_path / "web"
    (web / ".kites.bowbook" / "aside").mkdir(parents=True)
    (web / ".kites.bowbook" / "aside" / "thesis.txt").write_text("years of work", encoding="utf-8")
    before = bytes_under(web / ".kites.bowbook")
    for _ in range(2):
        assert publish(root, output=web / "kites").problems == ()
    assert bytes_under(web / ".kites.bowbook") == before
    assert sorted(path.name for path in web.iterdir()) == [".kites.bowbook", "kites"]


def test_nothing_of_ours_stands_in_a_web_root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While a site is built for a folder that is served, nothing but the site is ever seen there."""
    root, web = small_book(tmp_path / "book", KITE), tmp_path / "web"
    web.mkdir()
    seen: set[str] = set()
    real = os.open

    def watching(*words: object, **named: object) -> int:
        seen.update(path.name for path in web.iterdir())
        return real(*words, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "open", watching)
    assert publish(root, output=web / "kites", workers=1).wrote
    assert seen <= {"kites"}


@pytest.mark.parametrize("thing", ["folder", "file", "link"])
def test_on_another_disk_a_thing_in_the_way_is_named(thing: str, tmp_path: Path, other_disk: Path) -> None:
    """Where bowbook must work beside the output, what is called like its folder stops it, and stays."""
    root = small_book(tmp_path / "book", KITE)
    way = other_disk / ".kites.bowbook"
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "thesis.txt").write_text("years of work", encoding="utf-8")
    {
        "folder": lambda: shutil.copytree(elsewhere, way),
        "file": lambda: way.write_text("years of work", encoding="utf-8"),
        "link": lambda: way.symlink_to(elsewhere),
    }[thing]()
    (problem,) = publish(root, output=other_disk / "kites").problems
    assert "in the way" in problem.message
    assert way.read_text(encoding="utf-8") if thing == "file" else (way / "thesis.txt").is_file()
    way.unlink() if thing != "folder" else shutil.rmtree(way)
    assert publish(root, output=other_disk / "kites").wrote
    assert [path.name for path in other_disk.iterdir()] == ["kites"]


@pytest.mark.parametrize("where", ["letter.txt", "kites/knot/letter.txt", "data/letter.txt", "kites/gone/index.html"])
def test_a_list_that_names_what_we_did_not_write_deletes_nothing(where: str, tmp_path: Path) -> None:
    """A list with the right digest of somebody's file, from elsewhere or changed by hand, is no reason to delete."""
    root = small_book(tmp_path / "book", KITE)
    output = root / "output"
    letter = output / where
    letter.parent.mkdir(parents=True)
    letter.write_bytes(b"dear friend")
    (output / "data").mkdir(exist_ok=True)
    forged = {"format": 1, "files": {where: digest_of(b"dear friend")}}
    (output / MANIFEST).write_text(json.dumps(forged), encoding="utf-8")
    assert publish(root).wrote
    assert letter.read_bytes() == b"dear friend"
    listed = json.loads((output / MANIFEST).read_bytes())
    listed["files"][where] = digest_of(b"dear friend")
    (output / MANIFEST).write_text(json.dumps(listed), encoding="utf-8")
    shutil.rmtree(root / ".bowbook")
    assert publish(root).problems == ()
    assert letter.read_bytes() == b"dear friend"


_OUTSIDE = {
    "its whole path": lambda path, _: str(path),
    "climbing out": lambda path, root: os.path.relpath(path, root),
    "climbing out of content": lambda path, root: f"content/{os.path.relpath(path, root / 'content')}",
    "through a linked folder": lambda path, _: f"content/away/{path.name}",
    "through a link": lambda *_: "content/kites/link.md",
    "a name that can be none": lambda path, _: f"{path}\0",
}


@pytest.mark.parametrize("part", ["file", "copy"])
@pytest.mark.parametrize("way", _OUTSIDE)
def test_a_list_of_what_commands_wrote_leads_nowhere_else(way: str, part: str, tmp_path: Path) -> None:
    """A list that names other files, in a book from elsewhere: taking back changes, deletes and shows none of them."""
    root = small_book(tmp_path / "book", KITE)
    letter = tmp_path / "letter.txt"
    letter.write_bytes(b"dear friend")
    (root / "content" / "away").symlink_to(tmp_path)
    (root / "content" / "kites" / "link.md").symlink_to(letter)
    kept = root / ".bowbook" / "kept"
    kept.mkdir(parents=True)
    (kept / "knot.1.md").write_bytes(b"of theirs")
    named = _OUTSIDE[way](letter, root)
    knot, was = "content/kites/knot.md", KITE["knot"].encode()
    entry = {"file": named, "copy": ".bowbook/kept/knot.1.md"} if part == "file" else {"file": knot, "copy": named}
    forged = [
        {"run": "1", "command": "fly", "after": digest_of(b"dear friend" if part == "file" else was), **entry},
        {"run": "1", "command": "fly", "after": digest_of(was), "file": knot, "copy": named},
    ]
    for lines in (forged[:1], [{**forged[0], "copy": None}], forged):
        (kept / "written.jsonl").write_text("".join(json.dumps(line) + "\n" for line in lines))
        result = CliRunner().invoke(main, ["undo", "--book", str(root)])
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        if part == "file" or lines[0]["copy"] is not None:
            assert result.exit_code == 1, result.output
            assert "dear friend" not in result.output
        assert letter.read_bytes() == b"dear friend"
