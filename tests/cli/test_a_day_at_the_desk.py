"""`bowbook fly` without a kite: a day's flights in one talk, each into its own kite's file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from helpers import bytes_under, run_bowbook, small_book

MPH = 0.44704  # m/s, exact (NIST SP 811, B.8)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A book of three kites."""
    return small_book(
        tmp_path / "book", {key: f"---\nname: {key.title()}\n---\n" for key in ("nib", "quarto", "vellum")}
    )


def flights(book: Path) -> dict[str, list[dict[str, object]]]:
    """Every kite's flights as the data has them."""
    data = json.loads(run_bowbook("check", "--json", cwd=book).stdout)
    return {key: kite["inputs"]["flights"] for key, kite in data["kites"].items()}


def test_one_wind_one_flyer_several_kites(book: Path) -> None:
    """Flyer and wind are asked once; each kite gets its best wind and its word; a wrong name is asked again."""
    talk = "Ansa\n4-9 mph\nnib\n5-7 mph\nturned tight\nquatro\nQuarto\n12-14 mph\n4-6 mph\n\n\n"
    done = run_bowbook("fly", "--on", "2026-06-14", cwd=book, given=talk)
    assert done.returncode == 0, done.stderr
    assert "Did you mean quarto?" in done.stdout + done.stderr
    found = flights(book)
    (nib,), (quarto,) = found["nib"], found["quarto"]
    assert found["vellum"] == []
    for flight, low, high in ((nib, 5, 7), (quarto, 4, 6)):
        assert (flight["on"], flight["flyer"]) == ("2026-06-14", "Ansa")
        assert flight["wind"]["low_m_s"] == pytest.approx(4 * MPH)
        assert (flight["best"]["low_m_s"], flight["best"]["high_m_s"]) == pytest.approx((low * MPH, high * MPH))
    assert (nib["note"], quarto["note"]) == ("turned tight", None)


def test_winds_stay_as_they_were_typed(tmp_path: Path) -> None:
    """A book in m/s has miles an hour where miles an hour were typed; lines and gusts given for the day come along."""
    book = small_book(tmp_path / "book", {"nib": "---\nname: Nib\n---\n"}, book="units: {wind: m/s, length: in}\n")
    words = ("fly", "--flyer", "Ansa", "--line", "25 m", "--gusts", "Bft 4", "--place", "the dunes", "--pull", "3")

    done = run_bowbook(*words, cwd=book, given="4-9 mph\nnib\nto 7 km/h\n\n\n")

    assert done.returncode == 0, done.stderr
    text = (book / "content" / "kites" / "nib.md").read_text(encoding="utf-8")
    for line in ("wind: 4-9 mph", "best: to 7 km/h", "line: 25 m", "gusts: Bft 4", "place: the dunes", "pull: 3"):
        assert f"    {line}\n" in text


def test_a_kite_of_several_bows_is_asked_which(tmp_path: Path) -> None:
    """The bow that flew is written; one undo takes the whole day back."""
    two = "---\nname: Nib\nbows:\n  light: {length: 640 mm}\n  strong: {length: 640 mm}\n---\n"
    book = small_book(tmp_path / "book", {"nib": two, "quarto": "---\nname: Quarto\n---\n"})
    before = bytes_under(book / "content")
    talk = "nib\nstrong\n5-7 mph\n\nquarto\n4-6 mph\n\nnib\nlight\n4-5 mph\n\n\n"

    done = run_bowbook("fly", "--flyer", "Ansa", "--wind", "4-9 mph", cwd=book, given=talk)

    assert done.returncode == 0, done.stderr
    assert [flight["bow"] for flight in flights(book)["nib"]] == ["strong", "light"]
    assert run_bowbook("undo", cwd=book, given="yes\n").returncode == 0
    assert bytes_under(book / "content") == before


def test_a_day_without_a_kite_writes_nothing(book: Path) -> None:
    """Enter alone for the first kite is no day; it is said."""
    before = bytes_under(book)
    done = run_bowbook("fly", "--flyer", "Ansa", "--wind", "4-9 mph", cwd=book, given="\n")
    assert done.returncode == 0
    assert "nothing is written" in done.stdout
    assert bytes_under(book) == before


def test_leaving_in_the_middle_writes_nothing(book: Path) -> None:
    """When the answers run out, no kite's file has changed."""
    before = bytes_under(book)
    left = run_bowbook("fly", "--flyer", "Ansa", "--wind", "4-9 mph", cwd=book, given="nib\n5-7 mph\n")
    assert left.returncode == 1
    assert bytes_under(book) == before


def test_what_belongs_to_one_kite_needs_its_name(book: Path) -> None:
    """--best without a kite is a usage error that says so."""
    wrong = run_bowbook("fly", "--best", "5-7 mph", cwd=book)
    assert wrong.returncode == 2
    assert "--best belongs to one kite" in wrong.stderr
