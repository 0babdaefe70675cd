"""Rounds and flights go into a maker's file, and every other byte stays what it was."""

from __future__ import annotations

import os
import random
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

from bowbook.book.records import Press
from bowbook.format.edit import drop, edit_file, item, value
from bowbook.format.edit_positions import EditError
from bowbook.format.kite_file import read_kite
from bowbook.format.read_book import read_book
from bowbook.format.yaml_text import quoted

ROUND = {"on": "2026-05-01", "left": "214, 213 g", "shave": {"side": "left", "strokes": 20}}
WRITTEN = "- on: 2026-05-01\n{0}  left: 214, 213 g\n{0}  shave: {{side: left, strokes: 20}}\n"

# A file full of what a round trip through a YAML library would change.
ODD = """\
---
# The first of its kind; 千鳥 🪁
name:   'Turnstone'   # odd quoting
summary: >-
   folded and
   oddly indented

"mass" :  21 g
bow: { rod: carbon-1.5 ,length: 640 mm,   span: 600 mm }   # one line

bench:
-   &first
    left:    "214,  213 g"      # two blanks
    right: 198 g
    note: |
        keeps its own
          indents

-   *first
# a comment in column one
-   <<: *first
    left: 205 g

    # a comment at the end of the list

covered: {left: 231 g}
flights: [ {best: 5-7 mph, note: "a, \\"b\\" # c"} ,
           {best: 6-8 mph} ]  # more to come
# the end
---
The story --- with bars.

---
"""


@pytest.fixture
def kite(book_root: Path) -> Path:
    """Where the kite's file will be."""
    return book_root / "content" / "kites" / "turnstone.md"


def append_round(path: Path, entry: Mapping[str, Any], seen: bytes | None = None) -> Path:
    """One round more."""
    return edit_file(path, [item("bench", entry)], seen)


def append_flight(path: Path, entry: Mapping[str, Any]) -> Path:
    """One flight more."""
    return edit_file(path, [item("flights", entry)])


def alike(one: bytes, two: bytes) -> int:
    """How many bytes two texts have in common at their beginning."""
    return next((i for i, (a, b) in enumerate(zip(one, two, strict=False)) if a != b), min(len(one), len(two)))


def inserted(before: bytes, after: bytes) -> bytes:
    """What was put in, once: everything before and after it is unchanged. Fails where more has changed."""
    head = alike(before, after)
    tail = alike(before[head:][::-1], after[head:][::-1])
    assert head + tail == len(before), "more than one place has changed"
    return after[head : len(after) - tail]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("name: x\n", "name: x\nbench:\n  " + WRITTEN.format("  ")),
        ("name: x\nbench:\nmass: 3 g\n", "name: x\nbench:\n  " + WRITTEN.format("  ") + "mass: 3 g\n"),
        ("name: x\nbench:   # soon\n", "name: x\nbench:   # soon\n  " + WRITTEN.format("  ")),
        ("name: x\nbench: []  # soon\n", "name: x\nbench:  # soon\n  " + WRITTEN.format("  ")),
        ("name: x\nbench: ~\n", "name: x\nbench:\n  " + WRITTEN.format("  ")),
        ("bench:\n- left: 5 g\nname: x\n", "bench:\n- left: 5 g\n" + WRITTEN.format("") + "name: x\n"),
        (
            "name: x\nbench:\n    -   left: 5 g # c\n\n    # end\nmass: 3 g\n",
            "name: x\nbench:\n    -   left: 5 g # c\n    " + WRITTEN.format("    ") + "\n    # end\nmass: 3 g\n",
        ),
        (
            "name: x\nbench: [{left: 5 g}] # c\n",
            (
                "name: x\nbench: [{left: 5 g}, {on: 2026-05-01, "
                'left: "214, 213 g", shave: {side: left, strokes: 20}}] # c\n'
            ),
        ),
        ("name: x\nbench:\n- note: |+\n    a\n\n\nmass: 3 g\n", None),
        ("name: x\nbench:\n-\n  left: 5 g\n-\n", None),
    ],
)
def test_a_round_goes_where_a_maker_would_write_it(before: str, after: str | None, kite: Path) -> None:
    """After the last round, under an empty key, or with the key after all others; comments stay with their lines."""
    kite.write_text(f"---\n{before}---\nThe story.\n", encoding="utf-8")
    rounds = len(read_kite(kite.read_bytes(), kite.name).kite.bench)  # type: ignore[union-attr]

    append_round(kite, ROUND)

    if after is not None:
        assert kite.read_text(encoding="utf-8") == f"---\n{after}---\nThe story.\n"
    again = read_kite(kite.read_bytes(), kite.name).kite
    assert again is not None
    assert len(again.bench) == rounds + 1
    assert again.bench[-1].left == Press(pytest.approx((214 * 0.00980665, 213 * 0.00980665)))


def test_an_odd_file_keeps_every_byte(kite: Path) -> None:
    """Comments, anchors, blanks, quotes and Unicode stay; each edit puts in one piece."""
    kite.write_text(ODD, encoding="utf-8")
    for edit, entry in ((append_round, ROUND), (append_flight, {"flyer": "MK", "best": "5-7 mph"})):
        before = kite.read_bytes()
        edit(kite, entry)
        assert b"MK" in inserted(before, kite.read_bytes()) or b"213 g" in inserted(before, kite.read_bytes())
    before = kite.read_bytes()
    edit_file(kite, [value("covered.right", "229, 230 g")])

    assert inserted(before, kite.read_bytes()) == b', right: "229, 230 g"'
    read = read_kite(kite.read_bytes(), kite.name)
    assert read.problems == ()
    assert read.kite is not None
    assert (len(read.kite.bench), len(read.kite.flights)) == (4, 3)


@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_line_ends_and_byte_order_marks_stay(end: str, mark: str, kite: Path) -> None:
    """New lines end as their neighbours do."""
    kite.write_bytes((mark + ODD.replace("\n", end)).encode())
    before = kite.read_bytes()

    append_round(kite, ROUND)

    assert (
        inserted(before, kite.read_bytes()).count(end.encode()) == inserted(before, kite.read_bytes()).count(b"\n") == 3
    )


@pytest.mark.parametrize(
    ("front", "where", "new", "result"),
    [
        ("name: x\n", "stage", "flying", "name: x\nstage: flying\n"),
        ("name: x\nstage: building # yet\n", "stage", "flying", "name: x\nstage: flying # yet\n"),
        ("name: x\nstage: # yet\n", "stage", "flying", "name: x\nstage: flying # yet\n"),
        ("name: x\n", "bow.mass", "2 g", "name: x\nbow:\n  mass: 2 g\n"),
        ("name: x\nbow:\n   rod: a\nmade:\n", "bow.mass", "2 g", "name: x\nbow:\n   rod: a\n   mass: 2 g\nmade:\n"),
        ("name: x\nbow: {rod: a}\n", "bow.mass", "2 g", "name: x\nbow: {rod: a, mass: 2 g}\n"),
        ("name: x\nbow: {}\n", "bow.mass", "2 g", "name: x\nbow: {mass: 2 g}\n"),
        ("name: x\nbow: {mass: }\n", "bow.mass", "2 g", "name: x\nbow: {mass: 2 g }\n"),
        ("name: x\nbow: {mass: '3 g'}\n", "bow.mass", "2 g", "name: x\nbow: {mass: 2 g}\n"),
        (
            "name: x\nbench:\n- left: 5 g\n- left: 6 g\n",
            "bench.0.shave",
            {"side": "left", "zone": "100-200 mm"},
            "name: x\nbench:\n- left: 5 g\n  shave:\n    side: left\n    zone: 100-200 mm\n- left: 6 g\n",
        ),
        (
            "name: x\nbench:\n- left: 5 g\n  shave:\n",
            "bench.-1.shave",
            {"side": "left"},
            "name: x\nbench:\n- left: 5 g\n  shave: {side: left}\n",
        ),
    ],
)
def test_a_value_is_set_where_it_belongs(front: str, where: str, new: Any, result: str, kite: Path) -> None:
    """In place of the old one, or as a new key of the record it belongs to, made if need be."""
    kite.write_text(f"---\n{front}---\n", encoding="utf-8")

    edit_file(kite, [value(where, new)])

    assert kite.read_text(encoding="utf-8") == f"---\n{result}---\n"


def test_a_reading_that_would_not_read_well_is_refused(kite: Path) -> None:
    """What was typed is checked before anything is written, and the file stays as it was."""
    kite.write_text(ODD, encoding="utf-8")

    with pytest.raises(EditError, match="not a unit") as refused:
        append_round(kite, {"left": "214 gg"})

    assert "Did you mean g?" in refused.value.hint
    assert kite.read_text(encoding="utf-8") == ODD


def test_a_file_that_changed_meanwhile_is_left_alone(kite: Path) -> None:
    """What the caller has read must still be there."""
    kite.write_text(ODD, encoding="utf-8")
    seen = kite.read_bytes()
    kite.write_text(ODD + "More.\n", encoding="utf-8")

    with pytest.raises(EditError, match="changed meanwhile"):
        append_round(kite, ROUND, seen=seen)

    assert kite.read_text(encoding="utf-8") == ODD + "More.\n"


@pytest.mark.parametrize(
    "text",
    [
        "no front matter\n",
        "---\nname: x\n",
        "---\n{name: x}\n---\n",
        "---\nname: x\nbench: 5 g\n---\n",
        "---\nname: x\nnote: &b [1]\nbench: *b\n---\n",
        "---\nname: 'x\n---\n",
    ],
)
def test_a_file_that_cannot_be_edited_is_refused_with_a_sentence(text: str, kite: Path) -> None:
    """The maker is told what stands in the way, and nothing is written."""
    kite.write_text(text, encoding="utf-8")

    with pytest.raises(EditError) as refused:
        append_round(kite, ROUND)

    assert refused.value.message
    assert refused.value.hint.endswith(".")
    assert kite.read_text(encoding="utf-8") == text
    assert [path.name for path in kite.parent.iterdir()] == [kite.name]


def test_what_was_there_is_kept(kite: Path, book_root: Path) -> None:
    """Each edit leaves a copy of the file as it was; the name of the newest has the highest number."""
    kite.write_text(ODD, encoding="utf-8")

    first = append_round(kite, ROUND)
    between = kite.read_bytes()
    second = append_flight(kite, {"best": "5-7 mph"})

    assert first == book_root / ".bowbook" / "kept" / "turnstone.1.md"
    assert first.read_text(encoding="utf-8") == ODD
    assert (second.name, second.read_bytes()) == ("turnstone.2.md", between)
    assert read_book(book_root).problems == ()


def test_a_link_is_written_through_and_rights_stay(kite: Path) -> None:
    """A linked file is changed where it is, and keeps who may read it."""
    real = kite.with_name("real.md")
    real.write_text(ODD, encoding="utf-8")
    real.chmod(0o640)
    kite.symlink_to(real)

    append_round(kite, ROUND)

    assert kite.is_symlink()
    assert real.stat().st_mode & 0o777 == 0o640
    assert "2026-05-01" in real.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "text",
    ["no", "a: b", "# c", "- x", "x #y", "'q'", '"q"', "*a", "a\nb", " a ", "{x}", "ü 千鳥", "\\", "x:", "true", "@x"],
)
@pytest.mark.parametrize("edit", [append_round, append_flight])
def test_any_note_reads_back_as_it_was_typed(edit: Any, text: str, kite: Path) -> None:
    """Whatever a maker types as a note is quoted so that it stays that note, in block and in flow."""
    kite.write_text(ODD, encoding="utf-8")

    edit(kite, {"note": text})

    read = read_kite(kite.read_bytes(), kite.name).kite
    assert read is not None
    entry = read.bench[-1] if edit is append_round else read.flights[-1]
    assert entry.note == text.strip()
    assert quoted("214, 213 g", flow=False) == "214, 213 g"


@pytest.mark.long
def test_a_thousand_edits_leave_everything_else_byte_for_byte(kite: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Rounds, flights and covered readings at random: each puts in one piece and the rest stays."""
    monkeypatch.setattr(os, "fsync", lambda _handle: None)  # the disk is not on trial here
    rng = random.Random(20260501)
    for _ in range(100):
        text = ODD if rng.random() < 0.8 else "---\nname: x\n# bench:\n---\nstory"
        kite.write_bytes(text.replace("\n", rng.choice(["\n", "\r\n"])).encode())
        for _ in range(10):
            before = kite.read_bytes()
            if rng.random() < 0.5:
                entry = {
                    "left": f"{rng.randint(50, 400)}, {rng.randint(50, 400)} g",
                    "note": rng.choice(["a # b", "ü", "x: y"]),
                }
                append_round(kite, entry)
            else:
                append_flight(
                    kite, {"flyer": rng.choice(["MK", "千"]), "best": f"{rng.randint(1, 5)}-{rng.randint(6, 9)} mph"}
                )
            assert inserted(before, kite.read_bytes())
    assert read_kite(kite.read_bytes(), kite.name).problems == ()


@pytest.mark.parametrize(
    ("before", "number", "after"),
    [
        ("flights:\n  - {best: 5 mph}\n  - {best: 6 mph}\n", 0, "flights:\n  - {best: 6 mph}\n"),
        ("flights:\n  - {best: 5 mph}\n  - {best: 6 mph}\n", 1, "flights:\n  - {best: 5 mph}\n"),
        (
            "flights:\n- on: 2026-05-01\n  best: 5 mph   # so\n# kept\n- best: 6 mph\n- best: 7 mph\nmass: 21 g\n",
            0,
            "flights:\n# kept\n- best: 6 mph\n- best: 7 mph\nmass: 21 g\n",
        ),
        ("flights: [{best: 5 mph}, {best: 6 mph}]  # two\n", 0, "flights: [{best: 6 mph}]  # two\n"),
        ("flights: [{best: 5 mph}, {best: 6 mph}]  # two\n", 1, "flights: [{best: 5 mph}]  # two\n"),
        ("mass: 21 g\nflights:\n  - best: 5 mph\n    note: |\n      two\n      lines\n", 0, "mass: 21 g\n"),
    ],
)
def test_an_item_of_a_list_goes_and_everything_else_stays(kite: Path, before: str, number: int, after: str) -> None:
    """Its lines, or its part of a line; the key too where it was the only one; comments beside it stay."""
    kite.write_text(f"---\nname: x\n{before}---\nStory.\n", encoding="utf-8")
    edit_file(kite, [drop(f"flights.{number}")])
    assert kite.read_text(encoding="utf-8") == f"---\nname: x\n{after}---\nStory.\n"


@pytest.mark.parametrize(
    "front",
    [
        "<<: {flights: [{flyer: A}]}\n",
        "<<: [{mass: 20 g}, {flights: [{flyer: A}]}]\n",
        "<<: {<<: {flights: [{flyer: A}]}}\n",
        "sail: &s {<<: {flights: [{flyer: A}]}}\n<<: *s\n",
    ],
)
def test_a_list_that_comes_by_a_merge_is_not_written_over(front: str, kite: Path) -> None:
    """With a list of the same name below it, the merged one would be read no more: the maker writes it out first."""
    text = f"---\nname: x\n{front}---\n"
    kite.write_text(text, encoding="utf-8")

    with pytest.raises(EditError, match="flights comes in by <<"):
        append_flight(kite, {"flyer": "B"})

    assert kite.read_text(encoding="utf-8") == text
    append_round(kite, {"left": "214 g"})
    assert kite.read_text(encoding="utf-8") != text
