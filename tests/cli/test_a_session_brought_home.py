"""`bowbook fly --from`: a session from the field into the kites' files, once, shown before it is written."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from field_sessions import KITE, tap, write_session
from helpers import bytes_under, run_bowbook, small_book


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of two kites that nobody has flown."""
    return small_book(tmp_path / "book", {"nib": KITE.format("Nib"), "kluut-2": KITE.format("Kluut the second")})


def test_it_is_shown_then_written_then_never_again(book: Path) -> None:
    """Kite by kite with the phone's count, after a yes; the file then checks well and a second reading leaves it be."""
    file = write_session(book / "s.json", tap("nib", 6, "liked"), tap("nib", 7, "liked", turn=3), tap("nib", 9, "much"))
    before = bytes_under(book)
    no = run_bowbook("fly", "--from", "s.json", cwd=book, given="no\n")
    assert no.returncode == 1
    assert bytes_under(book) == before
    yes = run_bowbook("fly", "--from", "s.json", cwd=book, given="\n")
    assert yes.returncode == 0, yes.stderr
    assert "3 taps, 1 kite" in yes.stdout
    assert "liked at 6 and 7 mph, too much at 9 mph" in yes.stdout
    assert "its top lies between" in yes.stdout.lower()
    text = (book / "content/kites/nib.md").read_text(encoding="utf-8")
    assert "wind: 6-9 mph" in text
    assert "best: 6-7 mph" in text
    assert "6 mph liked, 7 mph liked, 9 mph much" in text
    assert text.endswith("---\nIts story.\n")
    assert run_bowbook("check", cwd=book).returncode == 0
    held = bytes_under(book / "content")
    again = run_bowbook("fly", "--from", file.name, "--yes", cwd=book)
    assert again.returncode == 0
    assert "nothing to write" in again.stdout
    assert bytes_under(book / "content") == held


def test_an_unknown_kite_is_asked_for_and_left_out_where_nobody_answers(book: Path) -> None:
    """With a terminal it asks, naming the nearest; with --yes its taps are left out, said, and the exit status is 1."""
    write_session(book / "s.json", tap("kluut", 5, "liked"), tap("nib", 5, "liked"))
    scripted = run_bowbook("fly", "--from", "s.json", "--yes", cwd=book)
    assert scripted.returncode == 1
    assert "There is no kite Kluut in this book. Did you mean kluut-2?" in scripted.stderr
    assert "taps: 5 mph liked" in (book / "content/kites/nib.md").read_text(encoding="utf-8")
    asked = run_bowbook("fly", "--from", "s.json", cwd=book, given="kluut-2\nyes\n")
    assert asked.returncode == 0, asked.stderr
    assert "taps: 5 mph liked" in (book / "content/kites/kluut-2.md").read_text(encoding="utf-8")
    assert (book / "content/kites/nib.md").read_text(encoding="utf-8").count("taps:") == 1


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("{", "broken"),
        ('{"kind": "something else"}', "no session of the field page"),
        ("[" * 10_000_000, "far too large"),
        ("bowbook session 1 | zz", "not whole"),
    ],
    ids=["broken", "foreign", "ten megabytes", "torn"],
)
def test_what_is_no_session_writes_nothing(book: Path, text: str, sentence: str) -> None:
    """A sentence on standard error, exit status 1, every file as it was."""
    (book / "s.json").write_text(text, encoding="utf-8")
    before = bytes_under(book)
    done = run_bowbook("fly", "--from", "s.json", "--yes", cwd=book)
    assert done.returncode == 1
    assert sentence in done.stderr
    assert "Traceback" not in done.stderr
    assert bytes_under(book) == before


def test_hostile_words_are_written_as_words(book: Path) -> None:
    """Names and words that look like YAML, a path or a terminal's orders end up as text, or are refused."""
    nasty = 'x", private: true, note: "y # {no} : - ../../etc'
    write_session(book / "s.json", tap("nib", 5, "liked", word=nasty, flyer="- no: yes"))
    assert run_bowbook("fly", "--from", "s.json", "--yes", cwd=book).returncode == 0
    data = json.loads(run_bowbook("check", "--json", cwd=book).stdout)
    (flight,) = data["kites"]["nib"]["inputs"]["flights"]
    assert flight["note"] == f"14:33 {nasty}"
    assert flight["flyer"] == "- no: yes"
    write_session(book / "s.json", tap("../../../etc/passwd", 5, "liked", name="\u001b[2J"))
    refused = run_bowbook("fly", "--from", "s.json", "--yes", cwd=book)
    assert refused.returncode == 1
    assert "\u001b" not in refused.stdout + refused.stderr


def test_a_file_that_is_not_there_and_a_day_that_cannot_be(book: Path) -> None:
    """Each gets its sentence; --on sets the day."""
    assert "cannot be read" in run_bowbook("fly", "--from", "none.json", cwd=book).stderr
    write_session(book / "s.json", tap("nib", 5, "liked"), on="1970-01-01")
    wrong = run_bowbook("fly", "--from", "s.json", "--yes", cwd=book)
    assert wrong.returncode == 1
    assert "--on" in wrong.stderr
    assert run_bowbook("fly", "--from", "s.json", "--yes", "--on", "2026-06-14", cwd=book).returncode == 0
    assert "on: 2026-06-14" in (book / "content/kites/nib.md").read_text(encoding="utf-8")


def test_one_undo_takes_the_whole_session_back(book: Path) -> None:
    """Two kites written by one session are both as they were after one undo, every byte."""
    before = bytes_under(book / "content")
    write_session(book / "s.json", tap("nib", 6, "liked"), tap("kluut-2", 7, "much"), place="the dunes")
    assert run_bowbook("fly", "--from", "s.json", "--yes", cwd=book).returncode == 0
    assert bytes_under(book / "content") != before
    undone = run_bowbook("undo", cwd=book, given="yes\n")
    assert undone.returncode == 0, undone.stderr
    assert bytes_under(book / "content") == before
