"""Every question can be left at any moment: what was read is kept, and nothing is half-written."""

from __future__ import annotations

import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result

from helpers import bytes_under

Run = Callable[..., Result]
Terminal = Callable[..., Any]
CTRL_C, CTRL_D = "\x03", "\x04"
NONSENSE = ("gibberish", "-5", "0", "1e400", "nan", "0x1F", "12:30", "1_000", "€€€", "\x1b[31m", "9" * 3000, "- -", "g")


def content(book: Path) -> dict[str, bytes]:
    """Every file of the book that the maker owns."""
    return bytes_under(book / "content")


@pytest.mark.parametrize("key", [CTRL_C, CTRL_D], ids=["Ctrl-C", "Ctrl-D"])
def test_the_bench_is_left_in_the_middle_and_taken_up(key: str, own_book: Path, terminal: Terminal, run: Run) -> None:
    """Ctrl-C or Ctrl-D after two readings leaves the kite's file alone; the next start goes on with both."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    before = content(own_book)
    child = terminal(own_book, "bench", "ruff")
    child.expect_exact("whole (Enter")
    child.sendline("")
    child.expect_exact("left (Enter")
    child.sendline("214")
    child.expect_exact("left once more")
    child.sendline("212")
    child.expect_exact("left once more")
    child.send(key)
    child.expect_exact("Left the bench")
    child.wait()
    assert child.exitstatus == 1
    assert content(own_book) == before

    again = run(own_book, "bench", "ruff", given="\n213\n213\n\n\n")
    assert "going on with the round you left" in again.output
    text = (own_book / "content" / "kites" / "ruff.md").read_text(encoding="utf-8")
    assert "left: 214, 212 g" in text
    assert "right: 213, 213 g" in text


@pytest.mark.parametrize("answers", range(10))
def test_answers_that_run_out_anywhere_leave_the_file_whole(answers: int, own_book: Path, run: Run) -> None:
    """However many answers come before the end of input, the file holds the whole round or none of it."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    before = content(own_book)
    given = ["", "214", "212", "", "150", "", "", "yes", "middle third", "20"]
    result = run(own_book, "bench", "ruff", given="".join(f"{line}\n" for line in given[:answers]))
    after = content(own_book)
    assert result.exit_code == 1
    assert "Left the bench" in result.output
    if answers < 7:
        assert after == before
    else:
        assert b"right: 150 g" in after["kites/ruff.md"]
        assert b"shave" not in after["kites/ruff.md"]
    assert run(own_book, "check").exit_code == 0


def test_nonsense_at_every_reading_is_answered_with_a_sentence(own_book: Path, run: Run) -> None:
    """What is no reading is refused each time, asks again, and never becomes one."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    given = "".join(f"{line}\n" for line in ("", *NONSENSE, "214", *NONSENSE, "", "213", "", ""))
    result = run(own_book, "bench", "ruff", given=given)
    assert result.output.count("  ! ") == 2 * len(NONSENSE)
    assert "`␛[31m` is not a weight" in result.output
    text = (own_book / "content" / "kites" / "ruff.md").read_text(encoding="utf-8")
    assert "left: 214 g\n" in text
    assert "right: 213 g\n" in text


def test_nothing_read_is_nothing_written(own_book: Path, run: Run) -> None:
    """Enter alone at every question ends the round without a trace."""
    before = content(own_book)
    result = run(own_book, "bench", "dunlin", given="\n\n\n")
    assert result.exit_code == 0
    assert "Nothing was read" in result.output
    assert content(own_book) == before


def test_a_reading_can_be_taken_back(own_book: Path, run: Run) -> None:
    """A slip of the finger is taken back with - before anything is written."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    result = run(own_book, "bench", "ruff", given="\n-\n214\n270\n-\n213\n\n213\n\n\n")
    assert "There is no reading to take back" in result.output
    assert "far from the others" in result.output
    assert "left: 214, 213 g" in (own_book / "content" / "kites" / "ruff.md").read_text(encoding="utf-8")


def test_a_half_is_read_again_before_the_round_is_written(own_book: Path, run: Run) -> None:
    """Asked whether to read a half again, the maker can, and the round holds the further readings."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    run(own_book, "bench", "ruff", given="\n214\n\n213\n\nright\n212\n\n\n")
    text = (own_book / "content" / "kites" / "ruff.md").read_text(encoding="utf-8")
    assert "right: 213, 212 g" in text
    assert text.count("    left:") == 1


def test_a_shaving_said_later_is_written_where_it_belongs(own_book: Path, run: Run) -> None:
    """The round is written before the shaving; coming back, the bench asks for it first."""
    run(own_book, "add", "Ruff", "--from", "dunlin")
    run(own_book, "bench", "ruff", "--left", "320, 321, 319, 320 g", "--right", "260, 261, 259, 260 g")
    result = run(own_book, "bench", "ruff", given="left\nwhole\n12\n\nscraper\n\n300\n\n290\n\n\n\n")
    assert "the left half was the stiffer one" in result.output
    text = (own_book / "content" / "kites" / "ruff.md").read_text(encoding="utf-8")
    assert text.index("strokes: 12") < text.index("left: 300 g")
    assert "zone: whole half" in text
    assert "tool: scraper" in text


def test_a_file_changed_meanwhile_is_not_written_over(
    own_book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """If an editor saves the kite's file while the bench is asking, the bench refuses and keeps its readings."""
    from bowbook.terminal import bench_session

    file = own_book / "content" / "kites" / "dunlin.md"
    real = bench_session.more_wanted

    def saved_by_an_editor(*words: Any) -> bool:
        file.write_text(file.read_text(encoding="utf-8") + "\nOne more line.\n", encoding="utf-8")
        return real(*words)

    monkeypatch.setattr(bench_session, "more_wanted", saved_by_an_editor)
    refused = run(own_book, "bench", "dunlin", given="\n300\n\n300\n\n\n")
    assert refused.exit_code == 1
    assert "changed meanwhile" in refused.output
    assert file.read_text(encoding="utf-8").endswith("One more line.\n")
    monkeypatch.undo()
    assert "going on with the round you left" in run(own_book, "bench", "dunlin", given="\n").output


def test_a_spoilt_session_is_as_if_it_were_not_there(own_book: Path, run: Run) -> None:
    """Whatever stands in the kept session's file, the bench starts afresh rather than fall over."""
    for text in ("", "{", "[]", '{"rounds": 2, "left": [true], "right": [], "whole": [], "done": []}', "9" * 5000):
        kept = own_book / ".bowbook" / "bench" / "dunlin.json"
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_text(text, encoding="utf-8")
        assert "Dunlin, round 3" in run(own_book, "bench", "dunlin", given="\n\n\n").output


def test_begin_can_be_left_before_anything_is_written(tmp_path: Path, terminal: Terminal) -> None:
    """Ctrl-C at the second question leaves an empty folder."""
    child = terminal(tmp_path, "begin", "kites")
    child.expect_exact("Your name")
    child.sendline("Jo")
    child.expect_exact("Lengths")
    child.send(CTRL_C)
    child.expect_exact("Nothing was written")
    child.wait()
    assert child.exitstatus == 1
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("key", [CTRL_C, CTRL_D], ids=["Ctrl-C", "Ctrl-D"])
def test_a_flight_can_be_left_before_anything_is_written(key: str, own_book: Path, terminal: Terminal) -> None:
    """Leaving at the third question writes no flight."""
    before = content(own_book)
    child = terminal(own_book, "fly", "dunlin")
    child.expect_exact("Who flew?")
    child.sendline("MK")
    child.expect_exact("What wind blew")
    child.sendline("4-9")
    child.expect_exact("best")
    child.send(key)
    child.expect_exact("Nothing was written")
    child.wait()
    assert content(own_book) == before


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such signals on Windows")
def test_ctrl_c_that_a_library_takes_for_an_error_of_its_own_still_ends_quietly(
    own_book: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A publish that is left says so, and the site stands as it did; a fault of the program is still raised as one."""
    run(own_book, "publish")
    before = bytes_under(own_book / "output")

    def publish(*_: object, **__: object) -> None:
        try:
            if asked:
                signal.raise_signal(signal.SIGINT)
        except KeyboardInterrupt:
            raise ValueError("no transformation") from None
        raise ValueError("no transformation")

    monkeypatch.setattr("bowbook.build.publish.publish", publish)
    asked = True
    left = run(own_book, "publish")
    assert (left.exit_code, left.output.strip(), bytes_under(own_book / "output")) == (1, "Aborted!", before)
    asked = False
    with pytest.raises(ValueError, match="no transformation"):
        run(own_book, "publish")
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
