"""The edits a maker makes every week: publishing after each is tested and its speed is measured.

An edit changes the files of a book's folder as text, so that it serves any book and any version of the program. It is
given a turn, a number: another turn is the same edit of another kite, or in other words.
"""

from __future__ import annotations

import re
import statistics
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from drawn_photo import draw_photo


@dataclass(frozen=True)
class Edit:
    """One edit: what the maker would call it, and what does it."""

    name: str
    apply: Callable[[Path, int], None]


def kite_files(root: Path, *keys: str, without: tuple[str, ...] = ()) -> list[Path]:
    """The files of the kites on show that have all these top-level keys; of those, the ones without the others.

    Where each has one of the others, all that have the keys.
    """
    having = []
    plainest = []
    for file in sorted((root / "content" / "kites").glob("*.md")):
        front = file.read_text(encoding="utf-8").split("---\n", 2)[1]
        written = set(re.findall(r"^(\w+):", front, re.M))
        if written.issuperset(keys) and "hidden" not in written:
            having.append(file)
            if written.isdisjoint(without):
                plainest.append(file)
    return plainest or having


def rewrite(files: list[Path], turn: int, change: Callable[[str], str]) -> None:
    """Change the text of the file whose turn it is."""
    file = files[(7 * turn + 3) % len(files)]
    was = file.read_text(encoding="utf-8")
    becomes = change(was)
    assert becomes != was, f"the edit does not fit {file}"
    file.write_text(becomes, encoding="utf-8")


def add_under(text: str, key: str, lines: str) -> str:
    """A kite file with these lines at the end of a top-level key's block; with the key, where it had none."""
    _, front, story = text.split("---\n", 2)
    block = re.search(rf"^{key}:\n(?:[ -].*\n)*", front, re.M)
    if block:
        front = front[: block.end()] + lines + front[block.end() :]
    else:
        front += f"{key}:\n{lines}"
    return f"---\n{front}---\n{story}"


def add_reading(text: str, factor: float) -> str:
    """A kite file with one more reading in its first row of the bench: the row's median times a factor."""
    row = re.search(r"^bench:\n(?:[ -].*\n)*?.*\bleft: ([\d., ]+) g$", text, re.M)
    assert row, "no row of readings"
    more = round(factor * statistics.median(float(word) for word in row[1].split(",")))
    return f"{text[: row.end(1)]}, {more}{text[row.end(1) :]}"


def last_readings(text: str) -> tuple[float, float]:
    """The first reading of the left and of the right half, as last written."""
    left, right = (re.findall(rf"\b{side}: ([\d.]+)", text)[-1] for side in ("left", "right"))
    return float(left), float(right)


def story_word(root: Path, turn: int) -> None:
    """A word more at the end of a story."""
    rewrite(kite_files(root, "bench"), turn, lambda text: f"{text.rstrip()} Again, {turn}.\n")


def flight(root: Path, turn: int) -> None:
    """A flight with the wind it was in, without the wind that was best."""
    line = f"  - {{on: 2026-06-{turn % 28 + 1:02}, flyer: Ansa, wind: 4-9 mph, note: Flown once more.}}\n"
    rewrite(kite_files(root, "flights"), turn, lambda text: add_under(text, "flights", line))


def flight_with_best(root: Path, turn: int) -> None:
    """A flight with the wind that was best."""
    line = f"  - {{on: 2026-07-{turn % 28 + 1:02}, flyer: Ansa, wind: 4-9 mph, best: 5-8 mph}}\n"
    rewrite(kite_files(root, "flights"), turn, lambda text: add_under(text, "flights", line))


def near_reading(root: Path, turn: int) -> None:
    """A reading like the others of its row: what is pooled over the whole book hardly moves."""
    kites = kite_files(root, "bench", without=("covered", "flights"))
    rewrite(kites, turn, lambda text: add_reading(text, 1.0))


def far_reading(root: Path, turn: int) -> None:
    """A reading far from the others of its row: what is pooled over the whole book moves."""
    rewrite(kite_files(root, "bench", "flights"), turn, lambda text: add_reading(text, 1.25))


def shaved_round(root: Path, turn: int) -> None:
    """A round of readings, and a shave after it."""

    def change(text: str) -> str:
        left, right = last_readings(text)
        shave = "{side: left, zone: middle third, strokes: 8, taken: 0.02 mm}"
        return add_under(text, "bench", f"  - left: {left:g} g\n    right: {right:g} g\n    shave: {shave}\n")

    rewrite(kite_files(root, "bench", without=("covered", "flights")), turn, change)


def covered_reading(root: Path, turn: int) -> None:
    """A first reading with the skin on, or one more."""

    def change(text: str) -> str:
        again = re.search(r"^covered:\n  left: ([\d.]+)[\d., ]*(?= g$)", text, re.M)
        if again:
            return f"{text[: again.end()]}, {float(again[1]) + 1:g}{text[again.end() :]}"
        left, right = last_readings(text)
        return add_under(text, "covered", f"  left: {left * 1.2:.0f} g\n  right: {right * 1.2:.0f} g\n")

    bare = kite_files(root, "bench", without=("covered",))
    rewrite(bare, turn, change)


def new_kite(root: Path, turn: int) -> None:
    """A kite more, with readings and flights of its own."""
    kites = kite_files(root, "bench", "flights", without=("photos",))
    like = kites[turn % len(kites)].read_text(encoding="utf-8")
    text = re.sub(r"^name:.*\n(?: .*\n)*", f"name: New {turn}\n", like, count=1, flags=re.M)
    (root / "content" / "kites" / f"new-{turn}.md").write_text(text, encoding="utf-8")


def new_photo(root: Path, turn: int) -> None:
    """A photo more."""
    kites = kite_files(root, "bench")
    file = kites[(7 * turn + 3) % len(kites)]
    draw_photo(file.with_suffix("") / f"field-{turn}.jpg", 30 + 5 * turn % 200)
    line = f"  - {{file: field-{turn}.jpg, alt: A kite over a field}}\n"
    rewrite(kites, turn, lambda text: add_under(text, "photos", line))


def rod_note(root: Path, turn: int) -> None:
    """Another note on a rod."""
    file = root / "content" / "stock" / "rods.yaml"
    text = file.read_text(encoding="utf-8")
    becomes = re.sub(
        r"^(carbon-1.5: \{[^}]*?)(, note: [^}]*)?\}", rf"\1, note: bought in spring {turn}}}", text, flags=re.M
    )
    assert becomes != text, f"the edit does not fit {file}"
    file.write_text(becomes, encoding="utf-8")


def book_title(root: Path, turn: int) -> None:
    """Another title of the book."""
    file = root / "content" / "book.yaml"
    text = re.sub(r"^title: .*$", f"title: Kites of the year {turn}", file.read_text(encoding="utf-8"), flags=re.M)
    file.write_text(text, encoding="utf-8")


EDITS = (
    Edit("a word of a story", story_word),
    Edit("a flight without a best wind", flight),
    Edit("a flight with a best wind", flight_with_best),
    Edit("a reading near the others", near_reading),
    Edit("a reading far from the others", far_reading),
    Edit("a round with a shave", shaved_round),
    Edit("a covered reading", covered_reading),
    Edit("a new kite", new_kite),
    Edit("a photo", new_photo),
    Edit("a rod's note", rod_note),
    Edit("the book's title", book_title),
)
