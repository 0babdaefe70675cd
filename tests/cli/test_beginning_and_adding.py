"""New books and new kites: sound from the first minute, in any unit, and never over something that is there."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result

from bowbook.book.records import Units
from bowbook.format.read_book import read_book, read_kite
from bowbook.format.write_kite import kite_text
from helpers import CONTENT, bytes_under

Run = Callable[..., Result]


@pytest.mark.parametrize("length", ["mm", "cm", "in"])
@pytest.mark.parametrize(("force", "wind"), [("g", "mph"), ("oz", "km/h"), ("N", "m/s"), ("g", "kn")])
def test_a_new_book_is_sound_in_any_units(length: str, force: str, wind: str, tmp_path: Path, run: Run) -> None:
    """Whatever units the maker works in, the new book has no problem and its worked kite no missing reading."""
    words = ("--maker", "Jo: the 'first'", "--length", length, "--force", force, "--wind", wind)
    assert run(tmp_path, "begin", "kites", *words).exit_code == 0
    book = read_book(tmp_path / "kites")
    assert book.problems == ()
    assert book.settings.maker == "Jo: the 'first'"
    assert book.settings.units == Units(length, force, "oz" if force == "oz" else "g", wind)
    kite = book.kites["dunlin"]
    assert kite.bow.length_m == pytest.approx(0.640, rel=0.003)
    assert [len(r.left.values_N) for r in kite.bench if r.left] == [5, 5]  # type: ignore[union-attr]


def test_the_worked_kite_shows_what_it_says(own_book: Path) -> None:
    """The example is stiffer on the left, then shaved; a book without records is not yet sure of even."""
    from bowbook.findings.compute import compute_findings

    found = compute_findings(read_book(own_book)).kites["dunlin"]
    assert [r.verdict for r in found.balance.rounds] == ["left stiffer", "too close to call"]
    assert found.skin.how == "covered"
    assert found.wind.flex_m_s is not None
    assert found.warnings == ()


def test_begin_never_overwrites(own_book: Path, run: Run) -> None:
    """Where there is a book, or anything called content, begin says so and leaves every byte."""
    before = bytes_under(own_book)
    result = run(own_book, "begin", ".", "--maker", "Kim")
    assert result.exit_code == 1
    assert "is there already" in result.output
    assert bytes_under(own_book) == before


def test_begin_leaves_other_files_of_the_folder_alone(tmp_path: Path, run: Run) -> None:
    """A folder that already holds something keeps it, its .gitignore too."""
    (tmp_path / ".gitignore").write_text("mine\n", encoding="utf-8")
    (tmp_path / "letter.txt").write_text("Dear Kim", encoding="utf-8")
    assert run(tmp_path, "begin", ".").exit_code == 0
    assert (tmp_path / ".gitignore").read_text(encoding="utf-8") == "mine\n"
    assert (tmp_path / "letter.txt").read_text(encoding="utf-8") == "Dear Kim"
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".begin")] == []


def test_an_added_kite_is_sound_and_never_overwrites(own_book: Path, run: Run) -> None:
    """A kite of which only the name is known is no problem; adding it twice changes nothing."""
    assert run(own_book, "add", "Turnstone").exit_code == 0
    before = bytes_under(own_book)
    again = run(own_book, "add", "turnstone")
    assert again.exit_code == 1
    assert "is there already" in again.output
    assert bytes_under(own_book) == before
    assert run(own_book, "check").exit_code == 0


@pytest.mark.parametrize(
    "name", ["No", "42", "凧揚げ", "A: b # c", "x" * 200, "null", "- dash", '"quoted"', "O'Hara", "é"]
)
def test_any_name_becomes_a_kite_with_that_name(name: str, own_book: Path, run: Run) -> None:
    """Names that YAML would read as something else, or that need another file name, come back as they were."""
    assert run(own_book, "add", "--", name).exit_code == 0
    book = read_book(own_book)
    assert book.problems == ()
    assert name in [kite.name for kite in book.kites.values()]


@pytest.mark.parametrize("name", ["///", "..", "", " ", "x" * 201])
def test_a_name_that_can_be_no_file_is_wrong_usage(name: str, own_book: Path, run: Run) -> None:
    """A name without a letter or figure, or one too long, is refused before anything is written."""
    assert run(own_book, "add", "--", name).exit_code == 2


def test_the_first_maker_stays_credited(own_book: Path, run: Run) -> None:
    """A kite after a kite after a kite still names who made the first."""
    run(own_book, "add", "Second", "--from", "dunlin", "--maker", "Mara")
    run(own_book, "add", "Third", "--from", "second")
    origin = read_book(own_book).kites["third"].origin
    assert origin is not None
    assert (origin.kite, origin.maker) == ("Dunlin", "Mara")


def test_a_friends_stock_is_named_not_guessed(own_book: Path, tmp_path: Path, run: Run) -> None:
    """A rod that this book has not got is left out of the new file, with a word on it; the new file has no problem."""
    friend = tmp_path / "kite.md"
    friend.write_text("---\nname: Heron\nbow: {rod: willow-9, length: 24 in}\n---\n", encoding="utf-8")
    result = run(own_book, "add", "Egret", "--from", str(friend))
    assert result.exit_code == 0
    assert "willow-9 is not in your content/stock/rods.yaml" in " ".join(result.output.split())
    kite = read_book(own_book).kites["egret"]
    assert kite.bow.rod is None
    assert kite.bow.length_m == pytest.approx(0.6096)


def test_a_friends_stock_comes_along(own_book: Path, tmp_path: Path, run: Run) -> None:
    """What a shared file says of its rod and skin goes into the stock files, after all that stood there."""
    from bowbook.format.share import kite_to_share

    stock = own_book / "content" / "stock" / "rods.yaml"
    before = stock.read_bytes()
    friend = tmp_path / "friend"
    assert run(tmp_path, "begin", "friend", "--maker", "Kim").exit_code == 0
    rods = friend / "content" / "stock" / "rods.yaml"
    rods.write_text(
        rods.read_text(encoding="utf-8") + "\nwillow-9: {material: willow, round: 2 mm}\n", encoding="utf-8"
    )
    heron = friend / "content" / "kites" / "heron.md"
    heron.write_text("---\nname: Heron\nbow: {rod: willow-9, length: 600}\n---\n", encoding="utf-8")
    shared = tmp_path / "kite.md"
    shared.write_text(kite_to_share(read_book(friend), "heron"), encoding="utf-8")

    result = run(own_book, "add", "Egret", "--from", str(shared))
    assert result.exit_code == 0, result.output
    assert "willow-9 came along into your stock" in result.output
    assert stock.read_bytes().startswith(before)
    book = read_book(own_book)
    assert book.problems == ()
    section = book.rods["willow-9"].section
    assert section is not None
    assert section.thick_m == pytest.approx(0.002)
    assert book.kites["egret"].bow.rod == "willow-9"
    assert book.kites["egret"].origin is not None
    assert book.kites["egret"].origin.maker == "Kim"


@pytest.mark.parametrize(
    "line", ["willow-9: {material: [}", "willow-9: {round: 3 kg}", "willow-9: &a {round: 2 mm}\n#   x"]
)
def test_bad_stock_from_a_friend_stays_out(line: str, own_book: Path, tmp_path: Path, run: Run) -> None:
    """A line of stock that would be a problem here leaves the stock files byte for byte as they were."""
    before = bytes_under(own_book / "content" / "stock")
    friend = tmp_path / "kite.md"
    comment = f"#   content/stock/rods.yaml\n#   {line}\n"
    friend.write_text(f"---\nname: Heron\n{comment}bow: {{rod: willow-9}}\n---\n", encoding="utf-8")
    result = run(own_book, "add", "Egret", "--from", str(friend))
    assert result.exit_code == 0, result.output
    if "3 kg" in line or "[" in line:
        assert bytes_under(own_book / "content" / "stock") == before
    assert read_book(own_book).problems == ()


def test_a_friends_broken_file_gets_its_problems(own_book: Path, tmp_path: Path, run: Run) -> None:
    """What is wrong in a friend's file is shown at its line, and nothing is added."""
    friend = tmp_path / "kite.md"
    friend.write_text("---\nname: Heron\nmass: heavy\n---\n", encoding="utf-8")
    before = bytes_under(own_book)
    result = run(own_book, "add", "Egret", "--from", str(friend))
    assert result.exit_code == 1
    assert "kite.md:3" in result.output
    assert bytes_under(own_book) == before


@pytest.mark.parametrize("units", [Units(), Units("in", "oz", "oz", "km/h")], ids=["mm", "in"])
@pytest.mark.parametrize("file", sorted((CONTENT / "kites").glob("*.md")), ids=lambda f: f.stem)
def test_a_written_kite_reads_back_the_same(file: Path, units: Units) -> None:
    """Every kite of the demo book, written out in either system of units, reads back to the same dimensions."""
    kite = read_kite(file.read_bytes(), f"content/kites/{file.name}").kite
    assert kite is not None
    back = read_kite(kite_text(kite, units).encode(), kite.file, units)
    assert back.problems == ()
    assert back.kite is not None
    assert [p for point in back.kite.sail.outline for p in point] == pytest.approx(
        [p for point in kite.sail.outline for p in point], rel=1e-6, abs=1e-12
    )
    for of in ("length_m", "span_m", "mass_kg", "crosses_m"):
        wanted = getattr(kite.bow, of)
        assert getattr(back.kite.bow, of) == (None if wanted is None else pytest.approx(wanted, rel=1e-6))
    assert [(s.at_m, s.section.thick_m) for s in back.kite.bow.left] == [
        (pytest.approx(s.at_m), pytest.approx(s.section.thick_m, rel=1e-6)) for s in kite.bow.left
    ]
    assert [f.flyer for f in back.kite.flights] == [f.flyer for f in kite.flights]
    assert [f.note for f in back.kite.flights] == [f.note for f in kite.flights]
    assert back.kite.name == kite.name
