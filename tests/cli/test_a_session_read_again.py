"""A session that is read again: what was corrected on the phone since is corrected in the book, and nothing doubled."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from field_sessions import KITE, tap, write_session
from helpers import bytes_under, run_bowbook, small_book

ANSA = [tap("nib", 6, "liked"), tap("nib", 7, "liked", word="gusty"), tap("nib", 9, "much"), tap("kluut", 5, "liked")]


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of two kites, and in it a session of four taps that was changed four times on the phone."""
    root = small_book(tmp_path / "book", {"nib": KITE.format("Nib"), "kluut": KITE.format("Kluut")})
    take(root, ANSA, 4)
    return root


def take(root: Path, taps: list[dict[str, Any]], edits: int, **more: Any) -> Any:
    """Read a session into the book."""
    write_session(root / "s.json", *taps, **({"edits": edits} if edits else {}), **more)
    return run_bowbook("fly", "--from", "s.json", "--yes", cwd=root)


def text_of(root: Path, key: str = "nib") -> str:
    """A kite's file."""
    return (root / "content" / "kites" / f"{key}.md").read_text(encoding="utf-8")


def taps_in(text: str) -> list[str]:
    """The taps of each flight of a file."""
    return re.findall(r"taps: (.*)", text)


def test_a_corrected_tap_is_corrected_where_it_stands(book: Path) -> None:
    """One flight before and after: its wind, its best wind, its taps and its words are those of the phone now."""
    taps = [tap("nib", 5, "liked"), tap("nib", 7, "liked", word="turned tight"), tap("nib", 8, "much"), ANSA[3]]

    done = take(book, taps, 9)

    assert done.returncode == 0, done.stderr
    assert "Nib for Ansa, corrected: liked at 5 and 7" in " ".join(done.stdout.split())
    text = text_of(book)
    assert taps_in(text) == ["5 mph liked, 7 mph liked, 8 mph much"]
    assert "wind: 5-8 mph" in text
    assert "best: 5-7 mph" in text
    assert 'note: "14:33 turned tight"' in text
    assert text.endswith("---\nIts story.\n")
    assert text_of(book, "kluut").count("taps:") == 1
    assert run_bowbook("check", cwd=book).returncode == 0


def test_a_tap_that_was_deleted_goes_and_a_kite_without_any_loses_the_flight(book: Path) -> None:
    """What was taken out on the phone is taken out of the file, and a kite left without a tap is as it was."""
    done = take(book, [ANSA[0], ANSA[1]], 6)

    assert done.returncode == 0, done.stderr
    assert taps_in(text_of(book)) == ["6 mph liked, 7 mph liked"]
    assert "Kluut for Ansa: taken out on the phone" in done.stdout
    assert "flights" not in text_of(book, "kluut")
    assert run_bowbook("undo", cwd=book, given="yes\n").returncode == 0
    assert taps_in(text_of(book, "kluut")) == ["5 mph liked"]


def test_a_kite_that_is_not_found_again_keeps_what_it_has(tmp_path: Path) -> None:
    """Named by hand the first time, not asked for the second: its taps are left out, not taken out."""
    root = small_book(tmp_path / "book", {"kluut-2": KITE.format("Kluut the second"), "nib": KITE.format("Nib")})
    write_session(root / "s.json", tap("kluut", 5, "liked"), edits=1)
    assert run_bowbook("fly", "--from", "s.json", cwd=root, given="kluut-2\nyes\n").returncode == 0
    held = text_of(root, "kluut-2")

    again = take(root, [tap("kluut", 6, "liked"), tap("nib", 5, "liked")], 3)

    assert again.returncode == 1
    assert text_of(root, "kluut-2") == held
    assert taps_in(text_of(root)) == ["5 mph liked"]


def test_a_kite_whose_file_has_problems_is_not_called_unknown(book: Path) -> None:
    """The sentence names the way to them; a day that is none is a sentence too, and nothing is written."""
    (book / "content" / "kites" / "nib.md").write_text("---\nname: Nib\nmass: 21 xx\n---\n", encoding="utf-8")
    held = bytes_under(book / "content")
    done = take(book, [*ANSA[:3], ANSA[3]], 9)
    assert done.returncode == 1
    assert "The file of Nib has problems: bowbook check." in done.stderr
    wrong = run_bowbook("fly", "--from", "s.json", "--yes", "--on", "soon", cwd=book)
    assert wrong.returncode == 1
    assert "`soon` is not a day" in wrong.stderr
    assert bytes_under(book / "content") == held


def test_an_older_file_of_the_session_changes_nothing(book: Path) -> None:
    """A file saved at noon, read after the evening's, takes nothing out of the book and puts nothing back."""
    take(book, [*ANSA, tap("nib", 8, "liked")], 5)
    held = bytes_under(book / "content")

    older = take(book, ANSA, 4)

    assert older.returncode == 1
    assert "handed over later" in " ".join(older.stderr.split())
    assert bytes_under(book / "content") == held


def test_the_same_file_again_writes_nothing_and_what_is_new_is_added(book: Path) -> None:
    """The same bytes are nothing to write; a tap that came since is added to the flight, not beside it."""
    held = bytes_under(book / "content")
    assert "nothing to write" in take(book, ANSA, 4).stdout
    assert bytes_under(book / "content") == held

    take(book, [*ANSA, tap("nib", 10, "much")], 5)

    assert taps_in(text_of(book)) == ["6 mph liked, 7 mph liked, 9 mph much, 10 mph much"]


def test_a_flight_marked_private_since_stays_private(book: Path) -> None:
    """Read again, with and without a correction, it is neither doubled nor shown."""
    path = book / "content" / "kites" / "nib.md"
    path.write_text(text_of(book).replace("    taps:", "    private: true\n    taps:"), encoding="utf-8")
    held = path.read_bytes()
    assert "nothing to write" in take(book, ANSA, 4).stdout
    assert path.read_bytes() == held

    corrected = take(book, [tap("nib", 6, "much"), *ANSA[1:]], 5)

    assert corrected.returncode == 0, corrected.stderr
    assert "still private" in corrected.stdout
    assert text_of(book).count("private: true") == text_of(book).count("taps:") == 1
    assert "6 mph much" in text_of(book)
    assert '"flights": []' in run_bowbook("check", "--json", cwd=book).stdout


def test_what_was_changed_by_hand_stays(book: Path) -> None:
    """A best wind, a note and a place that the maker changed in the file outlast a correction of other things."""
    path = book / "content" / "kites" / "nib.md"
    text = re.sub(r"best: .*", "best: 6-8 mph", text_of(book)).replace('"14:33 gusty"', '"14:33 gusty; a fine day"')
    path.write_text(text, encoding="utf-8")

    take(book, [ANSA[0], ANSA[1], tap("nib", 10, "much"), ANSA[3]], 5)

    now = text_of(book)
    assert "best: 6-8 mph" in now
    assert 'note: "14:33 gusty; a fine day"' in now
    assert "wind: 6-10 mph" in now


def test_a_tap_given_to_another_flyer_moves_with_it(book: Path) -> None:
    """Who flew is corrected where the flight stands; a flight of two flyers becomes two."""
    moved = [{**one, "flyer": "Rook"} for one in ANSA[:3]]
    take(book, [*moved, ANSA[3]], 7)
    assert re.findall(r"flyer: (.*)", text_of(book)) == ["Rook"]

    take(book, [*moved[:2], *ANSA[2:]], 8)
    assert re.findall(r"flyer: (.*)", text_of(book)) == ["Rook", "Ansa"]
    assert taps_in(text_of(book)) == ["6 mph liked, 7 mph liked", "9 mph much"]


def test_a_page_that_does_not_count_may_still_be_corrected(tmp_path: Path) -> None:
    """Without a count a smaller session is taken for an older one, and another tap for a correction."""
    root = small_book(tmp_path / "book", {"nib": KITE.format("Nib")})
    take(root, ANSA[:3], 0)
    held = bytes_under(root / "content")
    assert "nothing to write" in take(root, ANSA[:2], 0).stdout
    assert bytes_under(root / "content") == held
    take(root, [tap("nib", 4, "liked"), *ANSA[1:3]], 0)
    assert taps_in(text_of(root)) == ["4 mph liked, 7 mph liked, 9 mph much"]


def test_winds_are_written_in_the_unit_of_the_phone(tmp_path: Path) -> None:
    """A book in m/s has the taps as they were typed, in miles an hour."""
    root = small_book(tmp_path / "book", {"nib": KITE.format("Nib")}, book="units: {wind: m/s}\n")

    take(root, ANSA[:3], 3)

    assert "wind: 6-9 mph" in text_of(root)
    assert taps_in(text_of(root)) == ["6 mph liked, 7 mph liked, 9 mph much"]


def test_a_hidden_kite_gets_its_taps_too(tmp_path: Path) -> None:
    """Hidden from the site is not hidden from its maker's desk."""
    root = small_book(tmp_path / "book", {"nib": KITE.format("Nib\nhidden: true")})

    done = take(root, ANSA[:1], 1)

    assert done.returncode == 0, done.stderr
    assert taps_in(text_of(root)) == ["6 mph liked"]


def test_a_file_that_is_changed_meanwhile_keeps_the_whole_session_out(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two kites are written or none: where one file is not as it was when it was compared, neither is touched."""
    from click.testing import CliRunner

    from bowbook.cli import main
    from bowbook.importing import session_home

    write_session(book / "s.json", tap("nib", 6, "much"), tap("kluut", 6, "much"), edits=9)
    path = book / "content" / "kites" / "kluut.md"

    def meanwhile(*_: object) -> None:
        path.write_text(text_of(book, "kluut") + "A word more.\n", encoding="utf-8")

    monkeypatch.setattr(session_home, "_agree", meanwhile)
    monkeypatch.chdir(book)
    nib = text_of(book)
    result = CliRunner().invoke(main, ["fly", "--from", "s.json"], input="")
    assert result.exit_code == 1
    assert "changed meanwhile" in result.output
    assert text_of(book) == nib
