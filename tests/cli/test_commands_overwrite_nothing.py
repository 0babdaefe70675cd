"""Commands overwrite what they wrote themselves, and nothing else; hidden kites are worked on like any other."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

Run = Callable[..., Result]


def test_a_sheet_overwrites_its_own_alone(own_book: Path, run: Run) -> None:
    """A sheet printed again takes the place of the last; a file of the maker's stays, until --force."""
    target = own_book / "dunlin.pdf"
    for _ in range(2):
        assert run(own_book, "sheet", "dunlin").exit_code == 0
    assert run(own_book, "sheet", "dunlin", "--paper", "letter").exit_code == 0
    target.write_bytes(target.read_bytes() + b"my remarks")
    mine = target.read_bytes()
    refused = run(own_book, "sheet", "dunlin")
    assert refused.exit_code == 1
    assert "--force" in refused.output
    assert target.read_bytes() == mine
    assert run(own_book, "sheet", "dunlin", "--force").exit_code == 0
    assert target.read_bytes() != mine


def test_a_sheet_is_printed_where_nothing_can_be_noted(
    own_book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A home that is no folder, or may not be written, keeps nobody from a sheet; then it counts as the maker's."""
    home = own_book / "home"
    home.write_bytes(b"")
    monkeypatch.setenv("BOWBOOK_STATE", str(home / "state"))
    assert run(own_book, "sheet", "dunlin").exit_code == 0
    assert (own_book / "dunlin.pdf").read_bytes().startswith(b"%PDF")
    assert "--force" in run(own_book, "sheet", "dunlin").output
    assert run(own_book, "sheet", "dunlin", "--force").exit_code == 0


@pytest.mark.parametrize("what", ["file", "empty", "link", "dangling", "pipe", "folder"])
def test_a_sheet_never_goes_over_something_else(what: str, own_book: Path, run: Run, tmp_path: Path) -> None:
    """A letter, an empty file, a link, a pipe: none is written into, none is followed, none is waited for."""
    target, elsewhere = own_book / "out.pdf", tmp_path / "letter.pdf"
    elsewhere.write_bytes(b"a letter")
    {
        "file": lambda: target.write_bytes(b"a letter"),
        "empty": lambda: target.write_bytes(b""),
        "link": lambda: target.symlink_to(elsewhere),
        "dangling": lambda: target.symlink_to(tmp_path / "nothing"),
        "pipe": lambda: os.mkfifo(target),
        "folder": target.mkdir,
    }[what]()
    before = os.lstat(target)
    assert run(own_book, "sheet", "dunlin", "--to", str(target)).exit_code in (1, 2)
    assert os.lstat(target) == before
    assert elsewhere.read_bytes() == b"a letter"
    assert not (tmp_path / "nothing").exists()


def test_a_sheet_is_whole_or_not_there(own_book: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a full disk the sheet that was there stays, and nothing half-written lies beside it."""
    assert run(own_book, "sheet", "dunlin").exit_code == 0
    before = {path: path.read_bytes() for path in own_book.iterdir() if path.is_file()}

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    refused = run(own_book, "sheet", "dunlin", "--paper", "letter")
    assert refused.exit_code == 1
    assert "No space left" in refused.output
    assert {path: path.read_bytes() for path in own_book.iterdir() if path.is_file()} == before


def test_hidden_kites_can_be_worked_on(own_book: Path, run: Run) -> None:
    """A kite kept out of the site is read, flown, planned with, printed and built after; others stay as they are."""
    file = own_book / "content" / "kites" / "dunlin.md"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("name: ", "hidden: true\nname: ", 1), encoding="utf-8")
    for name in ("dunlin", "Dunlin", "dunlin.md", "content/kites/dunlin.md"):
        assert run(own_book, "fly", name, "--wind", "4-9 mph").exit_code == 0
    assert run(own_book, "bench", "dunlin", "--left", "292, 290 g", "--right", "290, 291 g").exit_code == 0
    assert run(own_book, "choose", "dunlin", "--wind", "4-7 mph").exit_code in (0, 1)
    assert run(own_book, "choose", "--like", "dunlin").exit_code in (0, 1)
    assert run(own_book, "sheet", "dunlin", "--to", "d.pdf").exit_code == 0
    assert run(own_book, "add", "Ruff", "--from", "dunlin").exit_code == 0
    assert run(own_book, "publish").exit_code == 0
    assert not (own_book / "output" / "kites" / "dunlin").exists()


@pytest.mark.parametrize("broken", ['name: "\\e"', "mass: heavy", "name: [", "bow: {length: 1, span: 2}"])
def test_adding_from_a_broken_file_leaves_nothing(broken: str, own_book: Path, run: Run, tmp_path: Path) -> None:
    """Neither a kite nor a line of stock stays behind, and permissions are what they were."""
    friend = tmp_path / "friend.md"
    stock = "# content\n#   content/stock/rods.yaml\n#   willow-9: {material: willow, round: 2 mm}\n"
    friend.write_text(f"---\n{stock}name: Heron\nbow: {{rod: willow-9}}\n{broken}\n---\n", encoding="utf-8")
    rods = own_book / "content" / "stock" / "rods.yaml"
    rods.chmod(0o640)
    before = {path: path.read_bytes() for path in own_book.rglob("*") if path.is_file()}
    assert run(own_book, "add", "Egret", "--from", str(friend)).exit_code == 1
    assert {path: path.read_bytes() for path in own_book.rglob("*") if path.is_file()} == before
    friend.write_text(f"---\n{stock}name: Heron\nbow: {{rod: willow-9}}\n---\n", encoding="utf-8")
    assert run(own_book, "add", "Egret", "--from", str(friend)).exit_code == 0
    assert b"willow-9" in rods.read_bytes()
    assert rods.stat().st_mode & 0o777 == 0o640
    before = {path: path.read_bytes() for path in (own_book / "content").rglob("*") if path.is_file()}
    assert run(own_book, "add", "EGRET", "--from", str(friend)).exit_code == 1
    assert {path: path.read_bytes() for path in (own_book / "content").rglob("*") if path.is_file()} == before
