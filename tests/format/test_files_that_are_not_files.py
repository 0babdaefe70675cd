"""Names, links, folders, sizes: what may lie in a book's folder instead of a plain text file."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from bowbook.book.problems import Problem
from bowbook.format.read_book import read_book


def only(root: Path) -> Problem:
    """The one problem of a book."""
    problems = read_book(root).problems
    assert len(problems) == 1, problems
    return problems[0]


def test_a_folder_named_like_a_kite_is_told_apart(book_root: Path) -> None:
    """A folder named x.md is no file to read."""
    (book_root / "content" / "kites" / "turnstone.md").mkdir()

    problem = only(book_root)

    assert (problem.location.file, problem.message) == ("content/kites/turnstone.md", "this is a folder, not a file")


def test_a_file_of_ten_megabytes_is_not_read(book_root: Path) -> None:
    """Its size is said, and reading the book takes no longer for it."""
    (book_root / "content" / "kites" / "turnstone.md").write_bytes(b"---\nname: x\n---\n" + b"x" * 10_000_000)

    began = time.perf_counter()
    problem = only(book_root)

    assert "10.0 MB" in problem.message
    assert time.perf_counter() - began < 1


def test_a_pipe_does_not_hold_the_reader_up(book_root: Path) -> None:
    """A named pipe in place of a file would never end: it is refused unopened."""
    os.mkfifo(book_root / "content" / "kites" / "turnstone.md")

    assert only(book_root).message == "this is a pipe, not a file"


@pytest.mark.parametrize(
    "words",
    [
        ("fly", "--from", "pipe", "--yes"),
        ("take", "pipe", "--yes"),
        ("take", "table.csv", "--plan", "pipe", "--yes"),
        ("add", "Tern", "--from", "pipe"),
        ("sheet", "knot", "--to", "pipe", "--force"),
    ],
)
def test_a_pipe_named_to_a_command_is_refused_unopened(words: tuple[str, ...], book_root: Path) -> None:
    """Whichever file a maker names: a pipe without a writer would never be opened."""
    (book_root / "content/kites/knot.md").write_text("---\nname: Knot\n---\n", encoding="utf-8")
    (book_root / "table.csv").write_text("name\nTern\n", encoding="utf-8")
    os.mkfifo(book_root / "pipe")
    program = [sys.executable, "-c", "from bowbook.cli import main; main()", *words]

    ended = subprocess.run(
        program, cwd=book_root, timeout=60, capture_output=True, text=True, check=False, stdin=subprocess.DEVNULL
    )

    assert ended.returncode in (1, 2)
    assert "pipe" in ended.stderr + ended.stdout
    assert "Traceback" not in ended.stderr


def test_a_link_out_of_the_book_is_not_followed(book_root: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    """A link inside the content is fine; one that leads out of it is refused, of a file or of a folder."""
    outside = tmp_path_factory.mktemp("outside")
    (outside / "secret.md").write_text("---\nname: secret\n---\n", encoding="utf-8")
    kites = book_root / "content" / "kites"
    (kites / "turnstone.md").write_text("---\nname: Turnstone\n---\n", encoding="utf-8")
    (kites / "alias.md").symlink_to(kites / "turnstone.md")
    (kites / "leak.md").symlink_to(outside / "secret.md")
    (book_root / "content" / "pages").symlink_to(outside)

    book = read_book(book_root)

    assert list(book.kites) == ["alias", "turnstone"]
    assert book.pages == {}
    assert {problem.location.file for problem in book.problems} == {"content/kites/leak.md", "content/pages/secret.md"}
    assert {problem.message for problem in book.problems} == {"this is a link that leads out of the book"}


def test_a_photo_linked_from_outside_is_refused(book_root: Path, put_kite: Callable[..., Path]) -> None:
    """A photo that is really a file elsewhere on the machine never gets onto the site."""
    put_kite("turnstone", "name: Turnstone\nphotos: [{file: me.jpg, alt: Me.}]\n")
    (book_root / "elsewhere.jpg").touch()
    (book_root / "content" / "kites" / "turnstone").mkdir()
    (book_root / "content" / "kites" / "turnstone" / "me.jpg").symlink_to(book_root / "elsewhere.jpg")

    assert "leads out of the book" in only(book_root).message


@pytest.mark.parametrize("target", ["nowhere.md", "turnstone.md"])
def test_a_link_that_leads_nowhere_is_said_to_be_unreadable(target: str, book_root: Path) -> None:
    """A dangling link and one that leads to itself get a sentence."""
    link = book_root / "content" / "kites" / "turnstone.md"
    link.symlink_to(link.parent / target)

    assert "the file cannot be read" in only(book_root).message


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that another user may enter, for the one test that reads as somebody else."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


def test_an_unreadable_file_gets_a_sentence(open_folder: Path) -> None:
    """A file that the maker may not read is named; the rest of the book is read."""
    kites = open_folder / "content" / "kites"
    kites.mkdir(parents=True)
    (kites / "sanderling.md").write_text("---\nname: Sanderling\n---\n", encoding="utf-8")
    shut = kites / "turnstone.md"
    shut.write_text("---\nname: Turnstone\n---\n", encoding="utf-8")
    shut.chmod(0)
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(65534)  # root reads everything: look with the eyes of nobody
    try:
        book = read_book(open_folder)
    finally:
        if is_root:
            os.seteuid(0)

    assert list(book.kites) == ["sanderling"]
    assert [(f.location.file, f.message) for f in book.problems] == [
        ("content/kites/turnstone.md", "the file cannot be read: Permission denied")
    ]


@pytest.mark.parametrize(
    ("name", "better"),
    [
        ("Sea Swallow.md", "sea-swallow.md"),
        ("a&b.md", "a-b.md"),
        ("what?.md", "what.md"),
        ("<script>.md", "script.md"),
        ("-.md", "a-short-name.md"),
        ("con.md", "a-short-name.md"),
        ("x" * 150 + ".md", "x" * 100 + ".md"),
        ("turn\u202estone.md", "turn-stone.md"),
    ],
)
def test_a_name_that_makes_no_address_gets_a_better_one(name: str, better: str, book_root: Path) -> None:
    """Blanks, signs, reserved and endless names are refused, and a usable one is offered."""
    (book_root / "content" / "kites" / name).write_text("---\nname: x\n---\n", encoding="utf-8")

    assert only(book_root).hint == f"Rename it to {better}."


@pytest.mark.parametrize("name", ["turnstone", "Turnstone-2", "kite_3.b", "凧", "Übermut", "сова", "חסידה", "1"])
def test_a_name_in_any_script_is_a_key(name: str, book_root: Path) -> None:
    """Letters and figures of every script make an address."""
    (book_root / "content" / "kites" / f"{name}.md").write_text("---\nname: x\n---\n", encoding="utf-8")

    book = read_book(book_root)

    assert book.problems == ()
    assert list(book.kites) == [name]


@pytest.mark.parametrize(
    ("one", "two"), [("tern", "Tern"), ("u\u0308ber", "\u00fcber"), ("strasse", "straße"), ("ﬁn", "fin")]
)
def test_two_names_that_are_one_on_other_machines_are_refused(one: str, two: str, book_root: Path) -> None:
    """Letter case, composed and decomposed letters, ligatures: two files, one address."""
    for name in (one, two):
        (book_root / "content" / "kites" / f"{name}.md").write_text("---\nname: x\n---\n", encoding="utf-8")

    assert "too much like" in only(book_root).message


def test_a_name_with_letters_that_only_look_alike_is_refused(book_root: Path) -> None:
    """A Cyrillic letter among Latin ones cannot be seen, so the name is refused."""
    (book_root / "content" / "kites" / "t\u0435rn.md").write_text("---\nname: x\n---\n", encoding="utf-8")

    assert "two alphabets" in only(book_root).message


@pytest.mark.parametrize("name", ["turnstone.MD", "turnstone.markdown"])
def test_a_kite_that_would_be_overlooked_is_named(name: str, book_root: Path) -> None:
    """A file that is nearly a kite's is said not to be read, instead of missing in silence."""
    (book_root / "content" / "kites" / name).write_text("---\nname: x\n---\n", encoding="utf-8")

    assert only(book_root).hint == "Rename it to end in .md."


def test_other_files_are_left_alone(book_root: Path) -> None:
    """Notes, backups and hidden files beside the kites are nobody's business."""
    for name in ("notes.txt", ".turnstone.md.swp", ".hidden.md", "turnstone.md~", "drawing.svg"):
        (book_root / "content" / "kites" / name).write_text("anything", encoding="utf-8")

    assert read_book(book_root).problems == ()


def test_a_name_that_is_no_text_is_said_readably(book_root: Path) -> None:
    """A file name in an old encoding becomes a problem that can be printed as UTF-8."""
    path = os.fsencode(book_root / "content" / "kites") + b"/f\xfcr.md"
    try:
        with open(path, "wb") as file:
            file.write(b"---\nname: x\n---\n")
    except OSError:
        pytest.skip("this file system takes only UTF-8 names")

    only(book_root).location.file.encode("utf-8")
