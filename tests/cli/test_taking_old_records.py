"""Old records in a table become kite files: what is understood is said, what is not is kept, nothing is overwritten."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any, BinaryIO

import pytest
from click.testing import Result

from bowbook.book.records import Press
from bowbook.format.read_book import read_book
from bowbook.importing.columns import FIELDS
from bowbook.importing.headings import understand
from helpers import bytes_under

Run = Callable[..., Result]
G = 0.00980665  # N per gram-force, NIST SP 811 appendix B.8

SPREADSHEET = """\
Kite;Built;Rod;Bow length (cm);Span cm;Left 1 (g);Left 2 (g);Right;Skin;Weight;best wind mph;Flyer;Colour;Notes
Knot;3.4.2024;Carbon 1.5 mm;64;60;214;213,5;198 g, 199 g;washi 30;21;5-7;MK;red;flew well
Knot;;;;;210;;205;;;;;;
"""


def take(run: Run, book: Path, table: str, *words: str, name: str = "old.csv") -> Result:
    """What `take` did with this table."""
    (book / name).write_text(table, encoding="utf-8")
    return run(book, "take", name, *words)


def press_g(reading: object) -> list[float]:
    """A press reading in grams."""
    assert isinstance(reading, Press)
    return [round(v / G, 6) for v in reading.values_N]


def test_rows_become_a_kite_with_its_rounds_and_flights(own_book: Path, run: Run) -> None:
    """Headings with units, a decimal comma, days first, repeats in two columns and in one cell: all understood."""
    result = take(run, own_book, SPREADSHEET)
    assert result.exit_code == 0, result.output
    book = read_book(own_book)
    assert book.problems == ()
    knot = book.kites["knot"]
    assert knot.made == "2024-04-03"
    assert (knot.bow.rod, knot.sail.skin) == ("carbon-1.5", "washi-30")
    assert knot.bow.length_m == pytest.approx(0.64)
    assert knot.mass_kg == pytest.approx(0.021)
    assert [press_g(r.left) for r in knot.bench] == [[214, 213.5], [210]]
    assert [press_g(r.right) for r in knot.bench] == [[198, 199], [205]]
    assert knot.flights[0].best is not None
    assert knot.flights[0].best.low_m_s == pytest.approx(5 * 0.44704)
    assert knot.flights[0].note == "flew well"
    assert "- Colour: red" in knot.story


def test_it_says_what_it_understood(own_book: Path, run: Run) -> None:
    """Every column is said back with its unit and whose word that is, and --look writes nothing."""
    before = bytes_under(own_book / "content")
    result = take(run, own_book, SPREADSHEET, "--look")
    said = {tuple(part.strip() for part in line.split("  ") if part.strip()) for line in result.output.splitlines()}
    assert ("4", "Bow length (cm)", "64", "bow length", "cm, as headed") in said
    assert ("8", "Right", "198 g, 199 g | 205", "right", "g, as in the book") in said
    assert ("13", "Colour", "red", "words") in said
    assert "- Colour: not known; kept as words." in result.output
    assert bytes_under(own_book / "content") == before


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_any_usual_way_to_save_a_table_is_read(separator: str, encoding: str, own_book: Path, run: Run) -> None:
    """Whatever stands between the values and however the text is encoded, the kite's name and reading arrive."""
    table = separator.join(("Name", "Left (oz)")) + "\r\n" + separator.join(("Möwe", "7.5")) + "\r\n"
    (own_book / "old.csv").write_bytes(table.encode(encoding))
    assert run(own_book, "take", "old.csv").exit_code == 0
    kite = read_book(own_book).kites["möwe"]
    assert press_g(kite.bench[0].left) == [pytest.approx(7.5 * 28.349523125, rel=1e-5)]  # avoirdupois ounce, exact


def test_nothing_is_overwritten(own_book: Path, run: Run) -> None:
    """What a kite's file says stands; a reading that is new comes in below, and the status says what was left out."""
    before = read_book(own_book).kites["dunlin"]
    result = take(run, own_book, "name,left,bow length\nDunlin,100 g,777 mm\nRuff,200 g,600 mm\n")
    assert result.exit_code == 1
    assert "the file stands" in " ".join(result.output.split())
    after = read_book(own_book).kites["dunlin"]
    assert after.bow == before.bow
    assert after.bench[:-1] == before.bench
    assert press_g(after.bench[-1].left) == [100]
    assert "ruff" in read_book(own_book).kites


def test_a_day_that_could_be_two_is_not_guessed(own_book: Path, run: Run) -> None:
    """4/5/2024 alone may be April or May: it is kept as words. Beside 13/5/2024 it can only be May."""
    take(run, own_book, "name,made\nRuff,4/5/2024\n")
    ruff = read_book(own_book).kites["ruff"]
    assert ruff.made is None
    assert "made: 4/5/2024" in ruff.story
    take(run, own_book, "name,made\nKnot,4/5/2024\nStint,13/5/2024\n")
    assert read_book(own_book).kites["knot"].made == "2024-05-04"


def test_what_cannot_be_is_kept_as_words_with_its_reason(own_book: Path, run: Run) -> None:
    """A span longer than its bow is no kite: the span stays words, the rest is taken, the sentence says why."""
    result = take(run, own_book, "name,bow length,span\nRuff,600,660\n")
    assert result.exit_code == 0
    assert "row 2: span: a span of 660 mm is not shorter" in " ".join(result.output.split())
    ruff = read_book(own_book).kites["ruff"]
    assert (ruff.bow.length_m, ruff.bow.span_m) == (0.6, None)
    assert "- span: 660" in ruff.story


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"\n\n\n", "empty"),
        (b"colour,size\nred,3\n", "No column is headed name"),
        (b"PK\x03\x04\x00\x00\x00", "workbook is damaged"),
        (b'name\n"' + b"x" * 200_000, "a quote that is never closed"),
        (b"x" * 10_000_001, "larger than 10 MB"),
        (b"name\n" + b"a\n" * 20_001, "more than 20000 rows"),
        (b"\xff\xd8\xff\xe0" + b"\0" * 100, "This is a picture"),
        (b"%PDF-1.7", "printed document"),
        (b"\xd0\xcf\x11\xe0" + b"\0" * 100, "workbook of an old kind"),
        (b"name,left\nRuff,\0\n", "not a text file"),
        (b"," * 1_000_000 + b"\nname\n", "1000001 columns"),
        (b'name,left\n"Ruff,200\nTeal,160,3\n', "Line 2 has a quote that is never closed"),
    ],
    ids=[
        *("empty", "blank", "no name", "not text", "open quote", "huge", "many rows"),
        *("picture", "document", "old workbook", "NUL", "a million columns", "quote"),
    ],
)
def test_what_is_no_table_gets_a_sentence(data: bytes, said: str, own_book: Path, run: Run) -> None:
    """A file that is no table of records ends with a sentence that says what it is, and status 1, nothing written."""
    (own_book / "old.csv").write_bytes(data)
    before = bytes_under(own_book / "content")
    result = run(own_book, "take", "old.csv")
    assert result.exit_code == 1
    assert said in " ".join(result.output.split())
    assert bytes_under(own_book / "content") == before


def test_hostile_cells_stay_words(own_book: Path, run: Run) -> None:
    """Formulas, markup, escapes and line breaks in cells become text in a sound file, and do not steer the terminal."""
    cells = ("=cmd|' /C calc'!A0", "<script>alert(1)</script>", "\x1b[2J", "---", "a: [b", "'\"", "x\u202ey")
    table = "name,mystery,notes\n" + "".join(
        f'Kite {n},"{c.replace(chr(34), chr(34) * 2)}","{c.replace(chr(34), "")}"\n' for n, c in enumerate(cells)
    )
    result = take(run, own_book, table)
    assert result.exit_code == 0, result.output
    assert "\x1b" not in result.output
    assert read_book(own_book).problems == ()


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="there is no file without end here")
def test_a_file_without_end_is_given_up(own_book: Path, run: Run) -> None:
    """What goes on for ever is no file of rows, and is not read."""
    result = run(own_book, "take", "/dev/zero")
    assert result.exit_code == 1
    assert "a device, not a file" in result.output


def test_the_same_table_twice_writes_nothing_twice(own_book: Path, run: Run) -> None:
    """The second time every file stays byte for byte, and the sentence says why."""
    take(run, own_book, SPREADSHEET)
    before = bytes_under(own_book / "content")
    result = take(run, own_book, SPREADSHEET)
    assert result.exit_code == 0, result.output
    assert "nothing to write" in result.output
    assert bytes_under(own_book / "content") == before


def test_a_second_table_adds_to_the_kites_of_the_first(own_book: Path, run: Run) -> None:
    """Readings from one table, flights and a mass from another: joined by name, what stood there stays."""
    take(run, own_book, "kite,date,left,right\nRuff,2021-05-02,214 g,198 g\n")
    table = "Name,Date,Best wind,Weight,Colour\nruff,2021-06-13,4-6 mph,21 g,red\nRuff,2021-06-20,5-7 mph,,\n"
    assert take(run, own_book, table).exit_code == 0
    again = take(run, own_book, table)
    assert "nothing to write" in again.output
    book = read_book(own_book)
    assert book.problems == ()
    ruff = book.kites["ruff"]
    assert (len(ruff.bench), len(ruff.flights), ruff.mass_kg) == (1, 2, pytest.approx(0.021))
    assert ruff.story.count("Colour: red") == 1


DOUBTFUL = "Kite,Length,Left (g),Right (g),Read on\nRuff,64,214,198,4/5/2021\n"


def test_nothing_doubtful_is_taken_without_a_plan(own_book: Path, run: Run) -> None:
    """Without a terminal and without a plan, a length that may be two things and a day that may be two stay words."""
    take(run, own_book, DOUBTFUL, "--yes")
    ruff = read_book(own_book).kites["ruff"]
    assert (ruff.bow.length_m, ruff.spine.length_m, ruff.bench[0].on) == (None, None, None)
    assert "- Length: 64" in ruff.story
    assert "- Read on: 4/5/2021" in ruff.story


def test_a_plan_is_written_changed_and_followed(own_book: Path, run: Run) -> None:
    """The first time the plan is written and nothing else; what it is changed to holds for this table and the next."""
    first = take(run, own_book, DOUBTFUL, "--plan", "plan.yaml")
    assert first.exit_code == 0, first.output
    assert "ruff" not in read_book(own_book).kites
    plan = own_book / "plan.yaml"
    text = plan.read_text(encoding="utf-8")
    text = text.replace("days: not known", "days: month first")
    plan.write_text(text.replace("taken as: words", "taken as: bow length\n    unit: cm"), encoding="utf-8")
    assert take(run, own_book, DOUBTFUL, "--plan", "plan.yaml").exit_code == 0
    assert take(run, own_book, DOUBTFUL.replace("Ruff", "Teal"), "--plan", "plan.yaml").exit_code == 0
    for key in ("ruff", "teal"):
        kite = read_book(own_book).kites[key]
        assert kite.bow.length_m == pytest.approx(0.64)
        assert kite.bench[0].on == "2021-04-05"


@pytest.mark.parametrize(
    ("plan", "said"),
    [
        ("days: backwards\ncolumns: []\n", "plan.yaml:1: days is day first, month first or not known."),
        (
            "columns:\n  - heading: Kite\n    taken as: naem\n",
            "plan.yaml:3: a column cannot be naem. Did",
        ),
        ("columns:\n  - heading: Length\n    taken as: bow length\n    unit: g\n", "g is no unit of bow.length"),
        ("columns:\n  - taken as: name\n", "plan.yaml:2: a column needs its heading"),
        ("columns: [\n", "cannot be read"),
        ("no plan\n", "no list of columns"),
    ],
)
def test_a_plan_that_cannot_be_followed_is_a_sentence(plan: str, said: str, own_book: Path, run: Run) -> None:
    """What is wrong in a plan is said with its line, and nothing is written."""
    (own_book / "plan.yaml").write_text(plan, encoding="utf-8")
    before = bytes_under(own_book / "content")
    result = take(run, own_book, DOUBTFUL, "--plan", "plan.yaml")
    assert result.exit_code == 1
    assert said in " ".join(result.output.split())
    assert bytes_under(own_book / "content") == before


def test_everything_a_column_may_be_is_listed(own_book: Path, run: Run) -> None:
    """--fields names each thing with its headings, and every one of these is recognised as that thing."""
    output = " ".join(run(own_book, "take", "--fields").output.split())
    for name, field in FIELDS.items():
        assert f"{name.replace('.', ' ')}: {field.says}" in output
        for heading in field.headings.split(","):
            assert understand(heading).field == name


def test_undo_takes_what_was_taken_back(own_book: Path, run: Run) -> None:
    """New kites go and grown ones are as they were, to the byte."""
    take(run, own_book, "name,left\nRuff,200 g\n")
    before = bytes_under(own_book / "content")
    take(run, own_book, "name,left,colour\nRuff,201 g,red\nTeal,160 g,blue\n")
    assert bytes_under(own_book / "content") != before
    for _ in range(5):
        if run(own_book, "undo").exit_code or bytes_under(own_book / "content") == before:
            break
    assert bytes_under(own_book / "content") == before


def test_a_folder_and_a_pipe_get_a_sentence(own_book: Path, run: Run) -> None:
    """What is no plain file is named, and no pipe is waited for."""
    assert "a folder" in run(own_book, "take", "content").output
    os.mkfifo(own_book / "pipe")
    assert "pipe" in run(own_book, "take", "pipe").output


@pytest.mark.parametrize(("row", "said"), [(20_002, ""), (20_100, "Not looked at"), (1_048_576, "Not looked at")])
@pytest.mark.parametrize("size", ["A1", "A1:XFD1048576", ""])
def test_a_word_far_below_a_table_costs_no_minutes(row: int, said: str, size: str, own_book: Path, run: Run) -> None:
    """Whatever a sheet says of its size, its rows are all read, and where reading ends before it does, that is said."""
    import openpyxl

    book = openpyxl.Workbook()
    for cells in (["name", "mass"], ["Ruff", "21 g"], ["Knot", "22 g"]):
        book.active.append(cells)
    book.active.cell(row, 1, "Stray")
    book.save(own_book / "saved.xlsx")
    with zipfile.ZipFile(own_book / "saved.xlsx") as saved, zipfile.ZipFile(own_book / "old.xlsx", "w") as old:
        for name in saved.namelist():
            data = saved.read(name)
            if name.endswith("sheet1.xml"):
                data = re.sub(rb'<dimension ref="[^"]*" ?/>', f'<dimension ref="{size}"/>'.encode() * bool(size), data)
            old.writestr(name, data)

    began = time.process_time()
    result = run(own_book, "take", "old.xlsx", "--yes")

    assert time.process_time() - began < 20
    assert result.exit_code == 0, result.output
    assert said in result.output
    there = {path.stem for path in (own_book / "content/kites").glob("*.md")}
    assert {"ruff", "knot"} <= there
    assert ("stray" in there) == (not said)


@pytest.mark.parametrize(
    "make",
    [
        lambda file: file.truncate(200_000_000),
        lambda file: file.write(b"name,left\n" + b"Ruff,200 g\n" * 900_000),
        lambda file: file.write(b"name" + b",c" * 4_000_000 + b"\n"),
        lambda file: file.write(b'name,left\n"' + b"x" * 9_900_000),
    ],
    ids=["200 MB", "900,000 rows", "4 million columns", "a quote of 10 MB"],
)
def test_a_huge_table_takes_little_memory(make: Callable[[BinaryIO], object], own_book: Path) -> None:
    """Refused with a sentence while never more than 500 MB are in use, as the system counts them."""
    with (own_book / "old.csv").open("wb") as file:
        make(file)
    code = (
        "import resource, subprocess, sys; run = [sys.executable, '-c', 'from bowbook.cli import main; main()']; "
        "r = subprocess.run([*run, 'take', 'old.csv'], capture_output=True, text=True); "
        "print(r.returncode, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss); print(r.stdout, r.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=own_book, capture_output=True, text=True, check=True)
    first, *rest = done.stdout.splitlines()
    status, kilobytes = first.split()
    assert status == "1", rest
    assert "Traceback" not in done.stdout
    assert int(kilobytes) < 500_000


def test_a_plan_is_talked_over_on_a_terminal(own_book: Path, terminal: Callable[..., Any]) -> None:
    """The order of days is asked for, a column is changed by its number, and a yes writes the kites so."""
    (own_book / "old.csv").write_text(DOUBTFUL, encoding="utf-8")
    typing = terminal(own_book, "take", "old.csv")
    for question, answer in (
        ("keeps such days as words", "day"),
        ("Column to change", "2"),
        ("Length is", "bow length"),
        ("Unit of its bare", "cm"),
        ("Column to change", ""),
        ("Take one kite", ""),
    ):
        typing.expect(question)
        typing.sendline(answer)
    typing.expect("1 of 1 kites written")
    typing.wait()
    ruff = read_book(own_book).kites["ruff"]
    assert (ruff.bow.length_m, ruff.bench[0].on) == (pytest.approx(0.64), "2021-05-04")
