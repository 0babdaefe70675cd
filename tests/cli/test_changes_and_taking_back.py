"""A kite's life at the terminal: what is typed stays typed, changes are written down, and everything can be undone."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from click.testing import Result

from bowbook.format.read_book import read_book
from field_sessions import tap, write_session

Run = Callable[..., Result]

KITE = """\
---
name: Turnstone   # odd blanks stay
stage: planned
bow: {rod: carbon-1.5, length: 640 mm, span: 600 mm}
sail: {skin: washi-30}
bench:
  - {on: 2026-05-01, left: "7.5, 7.6 oz", right: 210 g, shave: {side: left, strokes: 20}}   # first
  - on: 2026-05-02
    left: 205 g
    right: 210 g
---
The story.
"""


@pytest.fixture
def turnstone(own_book: Path) -> Path:
    """The file of a kite in a book of one's own."""
    path = own_book / "content" / "kites" / "turnstone.md"
    path.write_text(KITE, encoding="utf-8")
    assert read_book(own_book).problems == ()
    return path


STRIPS = "# matched\nfirst: {rod: carbon-1.5, length: 640 mm, bench: [{on: 2026-04-01, left: 212 g, right: 7.5 oz}]}\n"
TABLE = "name,length of bow,left,right,flown,best\n" + "".join(
    f"{name},640 mm,{200 + n} g,{201 + n} g,2026-06-{n:02d},5-7 mph\n"
    for name in ("Turnstone", "Nova")
    for n in range(1, 29)
)
FRIEND = """\
---
name: Knot
bow: {rod: odd-2, length: 640 mm}
# What it is made of, to paste into your own stock where you have not got it:
#   content/stock/rods.yaml
#   odd-2: {material: glass, round: 2 mm}
---
"""
OUTLINE = "sail: {skin: washi-30, outline: [[0, 0], [300 mm, 190 mm], [0, 520 mm]]}"
WRITING: list[tuple[tuple[str, ...], str]] = [
    (("bench", "turnstone", "--left", "212, 214 g", "--right", "7.5 oz"), ""),
    (("bench", "turnstone", "--covered", "--left", "231 g", "--right", "229 g"), ""),
    (("bench", "turnstone"), "\n214 g\n\n230 g\n\n\n\nright\nwhole half\n12\n\n"),
    (("bench", "turnstone", "--redo", "1", "--left", "214 g", "--on", "2026-04-30"), ""),
    (("bench", "turnstone", "--redo", "1"), "\n-\n214 g\n\n\n2026-04-30\nno\n"),
    (
        ("bench", "--strip", "second", "--rod", "glass-2", "--length", "25 in", "--left", "7.5 oz", "--right", "212 g"),
        "",
    ),
    (("bench", "--strip", "third"), "glass-2\n25 in\n\n7.5 oz\n\n212 g\n\n\n\n"),
    (("fly", "turnstone", "--flyer", "MK", "--best", "5-7 km/h", "--line", "25 m", "--place", "the dunes"), ""),
    (("fly", "turnstone"), "MK\n4-9 km/h\n5-7 km/h\n4\n\nturned tight\n"),
    (("fly", "--on", "2026-06-14"), "MK\n4-9 mph\nturnstone\n5-7 mph\n\ndunlin\n5 mph\n\nturnstone\n6 mph\n\n\n"),
    (("fly", "--from", "s.json", "--yes"), ""),
    (("change", "turnstone", "--span", "590 mm", "--on", "2027-03-20"), ""),
    (("change", "turnstone"), "skin\nwashi-30\nafter the hedge\n"),
    (("change", "turnstone", "--bow", "first", "--on", "2027-03-20"), ""),
    (("change", "turnstone", "--to", "a friend in the club"), ""),
    (("choose", "--like", "turnstone", "--save", "dunlin"), ""),
    (("add", "Sanderling"), ""),
    (("add", "Sanderling", "--from", "turnstone"), ""),
    (("add", "Sanderling", "--from", "turnstone", "--copies", "5"), ""),
    (("add", "Sanderling", "--from", "friend.md"), ""),
    (("take", "old.csv", "--yes"), ""),
]


@pytest.mark.parametrize(("words", "given"), WRITING, ids=lambda value: " ".join(value) if value else "")
def test_undo_takes_back_what_any_command_wrote(
    words: tuple[str, ...], given: str, own_book: Path, turnstone: Path, run: Run
) -> None:
    """Every file of the book is as it was before the command, to the byte, and a new one is gone.

    The table has 56 rows: more changes of one kite than there are copies kept of a file.
    """
    turnstone.write_text(KITE.replace("sail: {skin: washi-30}", OUTLINE), encoding="utf-8")
    (own_book / "content" / "stock" / "strips.yaml").write_text(STRIPS, encoding="utf-8")
    (own_book / "old.csv").write_text(TABLE, encoding="utf-8")
    (own_book / "friend.md").write_text(FRIEND, encoding="utf-8")
    write_session(own_book / "s.json", tap("turnstone", 6, "liked"), tap("dunlin", 7, "much"))

    def content() -> dict[str, bytes]:
        return {str(p): p.read_bytes() for p in (own_book / "content").rglob("*") if p.is_file()}

    before = content()
    wrote = run(own_book, *words, given=given)
    assert wrote.exit_code == 0, wrote.output
    assert content() != before
    assert read_book(own_book).problems == ()

    undone = run(own_book, "undo")

    assert undone.exit_code == 0, undone.output
    assert " ".join(words[:2]) in undone.output
    assert content() == before
    assert run(own_book, "undo").exit_code == 1


def test_a_loose_strip_that_becomes_a_bow_brings_its_readings_and_leaves_the_stock(
    own_book: Path, turnstone: Path, run: Run
) -> None:
    """For a kite that was read it is a change of that day; for one that was not its first bow, on its own days."""
    stock = own_book / "content" / "stock" / "strips.yaml"
    stock.write_text(STRIPS, encoding="utf-8")
    run(own_book, "add", "Second")

    later = run(own_book, "change", "turnstone", "--bow", "first", "--on", "2027-03-20")

    assert later.exit_code == 0, later.output
    kite = read_book(own_book).kites["turnstone"]
    assert [(one.on, one.note) for one in kite.bench[2:]] == [
        ("2027-03-20", "As the loose strip first, on 2026-04-01.")
    ]
    assert kite.changes[0].bow is not None
    assert (kite.changes[0].bow.rod, kite.changes[0].bow.length_m) == ("carbon-1.5", pytest.approx(0.64))
    assert "left: 212 g\n    right: 7.5 oz\n" in turnstone.read_text(encoding="utf-8")
    assert stock.read_text(encoding="utf-8") == "# matched\n"

    run(own_book, "undo")
    first = run(own_book, "change", "second", "--bow", "first, 630 mm")
    assert first.exit_code == 0, first.output
    book = read_book(own_book)
    kite = book.kites["second"]
    assert (kite.bow.rod, kite.bow.length_m, kite.changes) == ("carbon-1.5", pytest.approx(0.63), ())
    assert [(one.on, one.note) for one in kite.bench] == [("2026-04-01", "As the loose strip first.")]
    assert (kite.stage, dict(book.strips), book.problems) == ("building", {}, ())


def test_undo_goes_back_step_by_step_and_shows_each(own_book: Path, turnstone: Path, run: Run) -> None:
    """Three commands are taken back one by one; one kite's alone where it is named."""
    run(own_book, "fly", "turnstone", "--best", "5-7 mph", "--note", "first")
    after_first = turnstone.read_bytes()
    run(own_book, "fly", "turnstone", "--best", "5-7 mph", "--note", "second")
    run(own_book, "fly", "dunlin", "--best", "5-7 mph")

    shown = run(own_book, "undo", "turnstone", "--look")
    assert "note: second" in shown.output
    assert "first" not in shown.output

    assert run(own_book, "undo", "turnstone").exit_code == 0
    assert turnstone.read_bytes() == after_first
    assert run(own_book, "undo", "turnstone").exit_code == 0
    assert turnstone.read_text(encoding="utf-8") == KITE
    assert run(own_book, "undo").exit_code == 0  # dunlin's flight is still there to be taken back
    assert run(own_book, "undo").exit_code == 1


def test_undo_never_loses_what_was_written_by_hand(own_book: Path, turnstone: Path, run: Run) -> None:
    """A file that was changed since is left alone, and the copy of what it was is named."""
    run(own_book, "fly", "turnstone", "--best", "5-7 mph")
    by_hand = turnstone.read_text(encoding="utf-8") + "More of the story.\n"
    turnstone.write_text(by_hand, encoding="utf-8")

    refused = run(own_book, "undo")

    assert refused.exit_code == 1
    assert "has been changed since" in " ".join(refused.output.split())
    assert ".bowbook/kept/turnstone.1.md" in refused.output
    assert turnstone.read_text(encoding="utf-8") == by_hand


def test_undo_after_a_kill_between_file_and_journal_takes_nothing_twice(
    own_book: Path, turnstone: Path, run: Run
) -> None:
    """The file was put back and the journal not yet: the same undo again finds it as it was before and ends well."""
    run(own_book, "fly", "turnstone", "--best", "5-7 mph")
    turnstone.write_text(KITE, encoding="utf-8")  # as a killed undo leaves it

    assert run(own_book, "undo").exit_code == 0
    assert turnstone.read_text(encoding="utf-8") == KITE


def test_what_was_typed_stays_typed(own_book: Path, turnstone: Path, run: Run) -> None:
    """Readings and winds stand in the file in the unit in which they came, a bare one in the book's."""
    run(own_book, "bench", "turnstone", "--left", "7.5, 7.6 oz", "--right", "212", "--on", "2026-05-03")
    run(own_book, "fly", "turnstone", "--wind", "about 4-9 km/h", "--best", "to 6", "--on", "spring 2027")
    text = turnstone.read_text(encoding="utf-8")

    assert "    left: 7.5, 7.6 oz\n    right: 212 g\n" in text
    assert "wind: about 4-9 km/h" in text
    assert "best: to 6 mph" in text
    assert "on: spring 2027" in text
    assert read_book(own_book).problems == ()


def test_a_target_for_a_kite_without_a_bow_brings_its_length(own_book: Path, turnstone: Path, run: Run) -> None:
    """Four fifths of 640 mm are 512 mm; a reading without a length would say nothing."""
    turnstone.write_text(KITE.replace("sail: {skin: washi-30}", OUTLINE), encoding="utf-8")
    run(own_book, "add", "Second")

    saved = run(own_book, "choose", "--like", "turnstone", "--scale", "0.8", "--save", "second")

    assert saved.exit_code == 0, saved.output
    book = read_book(own_book)
    assert book.problems == ()
    assert book.kites["second"].bow.length_m == pytest.approx(0.512)
    assert book.kites["second"].target is not None
    assert book.kites["second"].target.like == "Turnstone"


def test_a_round_that_is_opened_again_takes_another_shave(own_book: Path, turnstone: Path, run: Run) -> None:
    """The shave is said anew; the readings, the day, the note behind the line and all else stay."""
    answers = "\n\n\n\nanew\nyes\nouter third\n12\n1 thou\n\n"

    result = run(own_book, "bench", "turnstone", "--redo", "1", given=answers)

    assert result.exit_code == 0, result.output
    was = "shave: {side: left, strokes: 20}"
    now = "shave: {side: left, zone: outer third, strokes: 12, taken: 1 thou}"
    assert turnstone.read_text(encoding="utf-8") == KITE.replace(was, now), result.output


def test_a_shaving_stays_as_it_was_typed(own_book: Path, turnstone: Path, run: Run) -> None:
    """Thou in a book of millimetres, and a stretch in inches, stand in the file as they were said."""
    words = "\n7.9 oz\n7.9 oz\n\n7.4 oz\n7.4 oz\n\n\nyes\n2-4 in\n20\n2 thou\nsanding block\n"
    result = run(own_book, "bench", "turnstone", "--anew", given=words)

    assert result.exit_code == 0, result.output
    text = turnstone.read_text(encoding="utf-8")
    for line in ("zone: 2-4 in", "strokes: 20", "taken: 2 thou", "tool: sanding block"):
        assert f"      {line}\n" in text, result.output


@pytest.mark.usefixtures("turnstone")
def test_a_covered_round_is_added_and_never_put_in_the_place_of_another(own_book: Path, run: Run) -> None:
    """Two covered presses of two years are two rounds, and the book has both."""
    run(own_book, "bench", "turnstone", "--covered", "--left", "231 g", "--right", "229 g", "--on", "2026-05-03")
    run(own_book, "bench", "turnstone", "--covered", "--left", "228 g", "--right", "227 g", "--on", "2027-05-03")

    kite = read_book(own_book).kites["turnstone"]
    assert [(one.on, one.skin_on) for one in kite.bench[2:]] == [("2026-05-03", True), ("2027-05-03", True)]


def test_a_round_is_opened_again(own_book: Path, turnstone: Path, run: Run) -> None:
    """One reading is corrected, its unit as it was typed; the shave, the comment and the other half stay."""
    result = run(own_book, "bench", "turnstone", "--redo", "1", "--left", "7.5, 7.55 oz")

    assert result.exit_code == 0, result.output
    assert turnstone.read_text(encoding="utf-8") == KITE.replace("7.5, 7.6 oz", "7.5, 7.55 oz")
    refused = run(own_book, "bench", "turnstone", "--redo", "3", "--left", "212 g")
    assert refused.exit_code == 2
    assert "no round 3: it has 2" in refused.output


def test_a_round_is_opened_again_by_questions(own_book: Path, turnstone: Path, run: Run) -> None:
    """A reading is dropped, the day and the shave with it."""
    answers = ["", "-", "", "", "2026-04-29", "no"]

    result = run(own_book, "bench", "turnstone", "--redo", "1", given="\n".join(answers) + "\n")

    assert result.exit_code == 0, result.output
    first = read_book(own_book).kites["turnstone"].bench[0]
    assert (first.on, len(first.left.values_N), first.shaves) == ("2026-04-29", 1, ())  # type: ignore[union-attr]
    assert "{on: 2026-04-29, left: 7.5 oz, right: 210 g}   # first" in turnstone.read_text(encoding="utf-8")


@pytest.mark.usefixtures("turnstone")
def test_a_change_is_written_with_its_day(own_book: Path, run: Run) -> None:
    """A new bow, a new skin and a new stringing each begin a state; the file is right as it stands."""
    first = run(own_book, "change", "turnstone", "--skin", "washi-30", "--on", "2027-03-20", "--note", "the hedge")
    second = run(own_book, "change", "turnstone", "--bow", "carbon-1.5, 630 mm", "--on", "2027-06-02")

    assert (first.exit_code, second.exit_code) == (0, 0), first.output + second.output
    book = read_book(own_book)
    assert book.problems == ()
    assert [(c.on, c.skin, c.note) for c in book.kites["turnstone"].changes] == [
        ("2027-03-20", "washi-30", "the hedge"),
        ("2027-06-02", None, None),
    ]
    assert book.kites["turnstone"].changes[1].bow.length_m == pytest.approx(0.63)  # type: ignore[union-attr]


@pytest.mark.usefixtures("turnstone")
def test_a_change_asks_what_was_changed(own_book: Path, run: Run) -> None:
    """Without options it is a talk of three questions."""
    result = run(own_book, "change", "turnstone", given="span\n590 mm\nstrung tighter\n")

    assert result.exit_code == 0, result.output
    (change,) = read_book(own_book).kites["turnstone"].changes
    assert (change.span_m, change.note) == (pytest.approx(0.59), "strung tighter")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--span", "590 mm", "--on", "2026-01-01"), "lies before the first round at the bench, 2026-05-01"),
        (("--skin", "washi-3"), "washi-3 is not in stock. Did you mean washi-30?"),
        (("--bow", "glas"), "glas is not in stock"),
        (("--span", "700 mm"), "a span of 700 mm is not shorter than the bow"),
        (("--span", "590 g"), "this should be a length"),
        (("--span", "590 mm", "--on", "soon"), "is not a day"),
        (("--to", "Rook", "--stage", "lost"), "give one of them"),
        (("--decoration", "crane.svg"), "there is no drawing crane.svg in content/kites/turnstone/"),
        (("--panels", "sideways: #1b2b4b, #e3b93a"), "Write across, down, quarters or border."),
    ],
)
def test_a_change_that_cannot_be_gets_its_sentence(
    words: tuple[str, ...], sentence: str, own_book: Path, turnstone: Path, run: Run
) -> None:
    """Nothing is written, and the sentence says why."""
    result = run(own_book, "change", "turnstone", *words)

    assert result.exit_code in (1, 2)
    assert sentence in " ".join(result.output.split())
    assert turnstone.read_text(encoding="utf-8") == KITE


@pytest.mark.usefixtures("turnstone")
def test_two_changes_on_one_day_are_one(own_book: Path, run: Run) -> None:
    """The second is refused: what was done that day belongs together."""
    run(own_book, "change", "turnstone", "--span", "590 mm", "--on", "2027-03-20")

    result = run(own_book, "change", "turnstone", "--span", "580 mm", "--on", "2027-03-20")

    assert result.exit_code == 1
    assert "two changes on one day" in " ".join(result.output.split()).lower()


@pytest.mark.usefixtures("turnstone")
def test_a_stage_moves_on_with_what_is_done(own_book: Path, run: Run) -> None:
    """A plan that is read is being built, a kite that is flown flies, and one that is given is away."""
    read = run(own_book, "bench", "turnstone", "--left", "212 g", "--right", "210 g")
    assert "its stage is now building" in " ".join(read.output.split())
    flown = run(own_book, "fly", "turnstone", "--best", "5-7 mph")
    assert "its stage is now flying" in " ".join(flown.output.split())
    run(own_book, "change", "turnstone", "--to", "a friend in the club")

    kite = read_book(own_book).kites["turnstone"]
    assert (kite.stage, kite.to) == ("given", "a friend in the club")
    (went,) = kite.changes
    assert (went.on, went.stage) == (date.today().isoformat(), "given")


@pytest.mark.usefixtures("turnstone")
def test_the_day_a_kite_went_takes_no_other_change_its_day(own_book: Path, run: Run) -> None:
    """Strung anew and given away on one day, in either order; nothing of it begins a state of its bow."""
    for name, commands in (
        ("first", (("--span", "590 mm"), ("--to", "Oda"))),
        ("last", (("--to", "Oda"), ("--span", "590 mm"))),
    ):
        for options in commands:
            result = run(own_book, "change", "turnstone", *options, "--on", "2027-03-20")
            assert result.exit_code == 0, (name, result.output)
        kite = read_book(own_book).kites["turnstone"]
        assert {(one.on, one.stage, one.span_m is None) for one in kite.changes} == {
            ("2027-03-20", "given", True),
            ("2027-03-20", None, False),
        }
        for _ in commands:
            run(own_book, "undo")


@pytest.mark.usefixtures("turnstone")
def test_a_covered_round_says_what_the_skin_adds_and_whether_it_is_still_even(own_book: Path, run: Run) -> None:
    """The skin is a share of what both have together; the covered halves are judged as bare ones are."""
    run(own_book, "bench", "turnstone", "--left", "210, 210 g", "--right", "210, 210 g", "--on", "2026-05-03")
    words = ("--covered", "--left", "230, 230 g", "--right", "230, 230 g", "--on", "2026-05-04")

    said = " ".join(run(own_book, "bench", "turnstone", *words).output.split())

    assert re.search(r"The skin adds (8|9|8\.7)\D{1,3}% of the stiffness", said)  # 20 of 230 are 8.7 in 100
    assert "With the skin on: " in said


def test_a_covered_round_without_bare_ones_says_what_is_wanting(own_book: Path, run: Run) -> None:
    """Nothing is subtracted from nothing."""
    run(own_book, "add", "Second")

    said = run(own_book, "bench", "second", "--covered", "--left", "230 g", "--right", "230 g").output

    assert "cannot be said yet" in " ".join(said.split())
