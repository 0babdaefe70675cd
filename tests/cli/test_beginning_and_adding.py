"""New books and new kites: sound from the first minute, in any unit, and never over something that is there."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from failing import Disk, failing
from jsonschema import Draft202012Validator

from bowbook.book.records import Units
from bowbook.findings.compute import compute_findings
from bowbook.findings.strips import matching_strips
from bowbook.format.kite_file import read_kite
from bowbook.format.read_book import read_book
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


def test_a_disk_that_fills_while_beginning_leaves_no_book_or_all_of_it(tmp_path: Path, run: Run) -> None:
    """Whichever request is refused, and all after it: a sentence, no half of a book; beginning again finishes it."""
    with failing(Disk(tmp_path)) as disk:
        assert run(tmp_path, "begin", "whole").exit_code == 0
    whole = bytes_under(tmp_path / "whole")
    assert disk.asked > 40
    for request in range(1, disk.asked + 1):
        root = tmp_path / str(request)
        with failing(Disk(tmp_path, request, for_good=True)):
            result = run(tmp_path, "begin", root.name)
        if result.exit_code:
            assert "There is no book yet." in result.output
            assert not (root / "content").exists()
            assert run(tmp_path, "begin", root.name).exit_code == 0
        left = bytes_under(root)
        assert {name: left.get(name) for name in whole} == whole
        shown = [name for name in left if not name.startswith((".begin-", ".bowbook"))]  # what it could not take away
        assert set(shown) <= whole.keys()
        shutil.rmtree(root)


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


def test_the_kite_it_came_from_is_credited_and_the_chain_kept(own_book: Path, run: Run) -> None:
    """A kite after a kite after a kite names the one it was built after, and then the first with its maker."""
    run(own_book, "add", "Second", "--from", "dunlin", "--maker", "Mara")
    run(own_book, "add", "Third", "--from", "second")
    third = read_book(own_book).kites["third"]
    assert third.origin is not None
    assert (third.origin.kite, third.origin.maker) == ("Second", "Jo")
    assert [(one.kite, one.maker) for one in third.ancestors] == [("Dunlin", "Mara")]


def test_the_readings_of_the_original_become_the_target(own_book: Path, run: Run) -> None:
    """What its bow read last is what the new one's is built to, and the bench says how far it still is from that."""
    run(own_book, "bench", "dunlin", "--left", "284 g", "--right", "280 g")
    run(own_book, "add", "Second", "--from", "dunlin")
    target = read_book(own_book).kites["second"].target
    assert target is not None
    assert target.like == "Dunlin"
    assert [p.values_N[0] / 0.00980665 for p in (target.left, target.right) if p] == pytest.approx([284, 280])

    said = run(own_book, "bench", "second", "--left", "298.2 g", "--right", "280 g")
    assert "5 % above the 284 g" in " ".join(said.output.split())
    assert "as wanted" in " ".join(said.output.split())


def test_a_batch_is_added_in_one_go(own_book: Path, run: Run) -> None:
    """Five copies are five files with numbers in their names; they stand side by side with their spread."""
    result = run(own_book, "add", "Plover", "--copies", "3", "--from", "dunlin")
    assert result.exit_code == 0, result.output
    book = read_book(own_book)
    assert book.problems == ()
    assert [(book.kites[f"plover-{n}"].name, book.kites[f"plover-{n}"].batch) for n in (1, 2, 3)] == [
        (f"Plover {n}", "Plover") for n in (1, 2, 3)
    ]
    for n, grams in ((1, 200), (2, 210), (3, 220)):
        run(own_book, "bench", f"plover-{n}", "--left", f"{grams} g", "--right", f"{grams} g")
    batch = compute_findings(read_book(own_book)).batches["Plover"]
    assert batch.kites == ("plover-1", "plover-2", "plover-3")
    assert batch.press_N is not None
    assert batch.press_N.mean / 0.00980665 == pytest.approx(210)
    assert batch.press_N.relative == pytest.approx(10 / 210)  # sample standard deviation of 200, 210 and 220

    empty = run(own_book, "add", "Knot", "--copies", "2")
    assert empty.exit_code == 0, empty.output
    assert [read_book(own_book).kites[f"knot-{n}"].batch for n in (1, 2)] == ["Knot", "Knot"]


@pytest.mark.parametrize(
    ("copies", "sentence"),
    [("0", "0 is no batch"), ("1", "1 is no batch"), ("1000", "more than 100"), ("-2", "no batch")],
)
def test_a_batch_that_cannot_be_meant_gets_its_sentence(copies: str, sentence: str, own_book: Path, run: Run) -> None:
    """None, one and a thousand copies are refused, and nothing is written."""
    result = run(own_book, "add", "Plover", "--copies", copies)
    assert result.exit_code == 2
    assert sentence in " ".join(result.output.split())
    assert not list((own_book / "content" / "kites").glob("plover*"))


def test_a_batch_of_which_one_is_there_already_is_not_written(own_book: Path, run: Run) -> None:
    """All files are new, or none is."""
    run(own_book, "add", "Plover 2")
    assert run(own_book, "add", "Plover", "--copies", "3").exit_code == 1
    assert [path.name for path in (own_book / "content" / "kites").glob("plover*")] == ["plover-2.md"]


def test_a_loose_strip_is_read_and_offered(own_book: Path, run: Run) -> None:
    """A strip measured before it belongs to a kite is kept in stock, round by round, and offered where it fits."""
    first = run(own_book, "bench", "--strip", "first", "--left", "7.5 oz", "--right", "7.6 oz")
    assert first.exit_code == 0, first.output
    run(own_book, "bench", "--strip", "first", "--left", "7.5 oz", "--right", "7.5 oz")
    run(own_book, "bench", "--strip", "second", "--left", "500 g", "--right", "500 g")
    book = read_book(own_book)
    assert book.problems == ()
    assert {key: len(strip.bench) for key, strip in book.strips.items()} == {"first": 2, "second": 1}
    assert "7.5 oz" in (own_book / "content" / "stock" / "strips.yaml").read_text(encoding="utf-8")
    (match,) = matching_strips(book.strips.values(), 7.4 * 0.27801385095378125, None)
    assert match.key == "first"
    assert match.off == pytest.approx(7.5 / 7.4 - 1)
    assert run(own_book, "undo").exit_code == 0
    assert "second" not in read_book(own_book).strips


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


def test_the_schema_that_a_new_file_points_to_is_there_at_once(own_book: Path, run: Run) -> None:
    """An editor completes and checks from the first minute: the first line of every new file leads to its schema."""
    run(own_book, "add", "Second", "--from", "dunlin")
    files = [path for path in (own_book / "content").rglob("*") if path.suffix in (".md", ".yaml")]
    assert len(files) == 5
    for path in files:
        (line,) = [x for x in path.read_text(encoding="utf-8").splitlines() if x.startswith("# $schema: ")]
        schema = json.loads((path.parent / line.removeprefix("# $schema: ")).read_text(encoding="utf-8"))
        Draft202012Validator.check_schema(schema)
        assert schema["properties" if "properties" in schema else "additionalProperties"]
