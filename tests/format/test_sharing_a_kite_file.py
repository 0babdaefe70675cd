"""The file offered to start one's own kite from: the same kite in any book, and nothing private in it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from bowbook.book.records import Book, Change, Kite, Round, Units
from bowbook.format.kite_file import read_kite
from bowbook.format.read_book import read_book
from bowbook.format.share import kite_to_share, stock_to_add
from bowbook.format.share_story import story_to_share
from bowbook.format.write_kite import kite_lines, kite_text
from bowbook.sheets.sheet import spec_view
from helpers import ROOT, small_book

INCHES = Units(length="in", force="oz", mass="oz", wind="kn", altitude="ft")
BOOK = "maker: M. K.\naddress: https://example.org/kites/\nheight: 2.5 m\n"
RODS = "carbon-1.5: {material: carbon, round: 1.5 mm}\nspare: {material: glass, round: 2 mm}\n"
SKINS = "washi-30: {material: washi, areal: 30 g/m2}\n"
KITE = """---
# my own notes stay
name: Turnstone
made: 2026-05-03
sail:
  skin: washi-30
  outline:
    - [0, 0]
    - [300, 190]     # the tip
    - [0, 520]
mass: 21
spine: {rod: carbon-1.5, length: '520'}
bow: {rod: carbon-1.5, length: 640, span: 60 cm, crosses: "110"}
bench:
  - left: 214, 213, 215
    right: [198, 199, 197 g]
    shave: {side: left, zone: 100-200, strokes: 20, taken: 0.05}
  - left: {press: [205, 204], length: 310, rise: 40 mm}
    right: {sag: {load: 200, span: 400, drop: 8.2}}
covered: {left: 231}
bridle: {upper: 330, lower: 410, upper_at: 110, lower_at: 430}
flights:
  - on: 2026-05-10
    flyer: MK
    wind: 4-9
    best: [5, 7]
  # with somebody who does not want to be named
  - on: 2026-05-11
    private: true
    note: >-
      A secret beach
      nobody should know.
    # a secret remark
  - {flyer: JJ, best: Bft 3, height: 3 m}
photos:
  - file: beach.jpg
    alt: The secret house behind the beach.
---
The story, *as it is*.
"""

SHARED = """---
# What it is made of, to paste into your own stock where you have not got it:
#   content/stock/rods.yaml
#   carbon-1.5: {material: carbon, round: 1.5 mm}
#   content/stock/skins.yaml
#   washi-30: {material: washi, areal: 30 g/m2}
name: Turnstone
made: 2026-05-03
sail: {skin: washi-30, outline: [[0 mm, 0 mm], [300 mm, 190 mm], [0 mm, 520 mm]]}
mass: 21 g
spine: {rod: carbon-1.5, length: 520 mm}
bow: {rod: carbon-1.5, length: 640 mm, span: 600 mm, crosses: 110 mm}
bench:
  - left: 214, 213, 215 g
    right: 198, 199, 197 g
    shave: {side: left, zone: 100-200 mm, strokes: 20, taken: 0.05 mm}
  - left:
      press: 205, 204 g
      length: 310 mm
      rise: 40 mm
    right: {sag: {load: 200 g, span: 400 mm, drop: 8.2 mm}}
covered: {left: 231 g}
bridle: {upper: 330 mm, lower: 410 mm, upper_at: 110 mm, lower_at: 430 mm}
flights:
  - {on: 2026-05-10, flyer: MK, wind: 4-9 mph, best: 5-7 mph, height: 2.5 m}
  - {flyer: JJ, best: Bft 3, height: 3 m}
after: {kite: Turnstone, maker: M. K., address: "https://example.org/kites/kites/turnstone/index.html"}
---
The story, *as it is*.
"""


def book_with(folder: Path, text: str) -> Book:
    """A book whose one kite is this text, its photo beside it."""
    from PIL import Image

    root = small_book(folder / "mine", {"turnstone": text}, book=BOOK, rods=RODS, skins=SKINS)
    (root / "content/kites/turnstone").mkdir()
    Image.new("RGB", (8, 8)).save(root / "content/kites/turnstone/beach.jpg")
    book = read_book(root)
    assert not book.problems, [(f.location, f.message) for f in book.problems]
    return book


def in_their_book(shared: str) -> Kite:
    """The copy as a book in inches, ounces and knots reads it."""
    file = read_kite(shared.encode(), "content/kites/turnstone.md", INCHES)
    assert not file.problems, file.problems
    assert file.kite is not None
    return file.kite


def as_read(bench: tuple[Round, ...]) -> list[object]:
    """The rounds without the words a zone was written in: those got their unit too."""
    return [(r.left, r.right, r.whole, [(s.side, s.zone and s.zone.end) for s in r.shaves]) for r in bench]


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """The book of the example above."""
    return book_with(tmp_path, KITE)


def test_a_book_in_other_units_reads_the_same_kite(book: Book) -> None:
    """Every length, press, mass and wind, to the last bit: sail, bow, bench, covered, bridle and flights."""
    theirs, mine = in_their_book(kite_to_share(book, "turnstone")), book.kites["turnstone"]
    assert theirs.sail == mine.sail
    assert theirs.bow == mine.bow
    assert as_read(theirs.bench) == as_read(mine.bench)
    assert theirs.covered == mine.covered
    assert theirs.bridle == mine.bridle
    assert (theirs.mass_kg, theirs.spine, theirs.story) == (mine.mass_kg, mine.spine, mine.story)
    assert [(f.flyer, f.wind, f.best) for f in theirs.flights] == [(f.flyer, f.wind, f.best) for f in mine.flights]


def test_flights_say_at_which_height_the_wind_was_read(book: Book) -> None:
    """Another book may hold its meter higher; a height already written is left alone."""
    theirs = in_their_book(kite_to_share(book, "turnstone"))
    assert [f.height_m for f in theirs.flights] == [2.5, 3.0]


def test_nothing_private_goes_out(book: Book) -> None:
    """Not the flight, not the remarks over and in it, not the photos and what they show."""
    shared = kite_to_share(book, "turnstone")
    for word in ("secret", "named", "private", "2026-05-11", "beach.jpg", "photos"):
        assert word not in shared


def test_it_is_written_anew_from_what_was_read(book: Book) -> None:
    """Every key of the record with its unit, the meter's height, credit and stock; no word of the maker's layout."""
    assert kite_to_share(book, "turnstone") == SHARED


def test_the_maker_is_credited_once_and_for_all(book: Book) -> None:
    """The copy says whose kite it is; a kite that came from somebody else keeps saying so."""
    theirs = in_their_book(kite_to_share(book, "turnstone"))
    assert theirs.origin is not None
    assert (theirs.origin.kite, theirs.origin.maker) == ("Turnstone", "M. K.")
    assert theirs.origin.address == "https://example.org/kites/kites/turnstone/index.html"


def test_a_kite_built_after_another_keeps_its_first_maker(tmp_path: Path) -> None:
    """`after` in the maker's own file is not replaced."""
    text = KITE.replace("mass: 21\n", "mass: 21\nafter: {kite: Knot, maker: Somebody else}\n")
    theirs = in_their_book(kite_to_share(book_with(tmp_path, text), "turnstone"))
    assert theirs.origin is not None
    assert theirs.origin.maker == "Somebody else"


def test_the_stock_it_is_made_from_travels_along(book: Book, tmp_path: Path) -> None:
    """The rods and skin this kite uses, and no others, can be pasted into the friend's stock and read the same."""
    rods, skins = stock_to_add(kite_to_share(book, "turnstone"))
    assert list(rods) == ["carbon-1.5"]
    assert list(skins) == ["washi-30"]
    theirs = read_book(
        small_book(
            tmp_path / "theirs",
            {},
            book="units: {length: in, mass: oz}\n",
            rods="\n".join(rods.values()) + "\n",
            skins="\n".join(skins.values()) + "\n",
        )
    )
    assert not theirs.problems
    assert theirs.rods["carbon-1.5"] == book.rods["carbon-1.5"]
    assert theirs.skins["washi-30"] == book.skins["washi-30"]


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("  - on: 2026-05-11\n    private: true", "  -\n    private: yes"),
        lambda text: text.replace("    private: true\n", "    private: 'true'\n"),
        lambda text: re.sub(
            r"flights:.*photos:",
            "flights: [{flyer: MK, best: 5-7}, {private: true, note: secret}, {flyer: JJ, best: 3-4}]\nphotos:",
            text,
            flags=re.S,
        ),
        lambda text: re.sub(
            r"flights:.*photos:", "flights:\n- private: true\n  note: secret\n  # secret\nphotos:", text, flags=re.S
        ),
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("covered: {left: 231}", "covered: &secret {left: 231}"),
        lambda text: text.replace("spine: {", "spine: &s {").replace("bow: {rod", "bow: {<<: *s, rod"),
        lambda text: text.replace("    private: true\n", "    <<: {private: true}\n"),
        lambda text: text.replace("    private: true\n", "    <<: [{flyer: secret}, {private: on}]\n"),
        lambda text: text.replace("    private: true\n", "    <<: &secret {private: 'Yes'}\n"),
        lambda text: text.replace(
            "  - on: 2026-05-10", "  - &p {private: true, note: secret}\n  - on: 2026-05-10"
        ).replace("    private: true\n", "    <<: *p\n"),
        lambda text: text.replace("flights:\n", "<<: {flights: [{note: secret, private: true}]}\nflights:\n"),
        lambda text: re.sub(
            r"flights:.*photos:",
            "<<: {flights: [{note: secret, private: true}, {flyer: MK}]}\nphotos:",
            text,
            flags=re.S,
        ),
        lambda text: text.replace("mass: 21", "mass: 21  # secret").replace("covered:", "# secret\ncovered:"),
        lambda text: text.replace("[300, 190]", "[300, # secret\n      190]"),
        lambda text: text.replace("---\nThe story", "# secret\n--- # secret\nThe story".replace("--- # secret", "---")),
        lambda text: text.replace("- on: 2026-05-11", "- !!map\n    on: 2026-05-11").replace("- !!map\n    ", "- "),
    ],
    ids=[
        *("dash alone", "quoted flag", "all in brackets", "only private ones", "windows lines", "anchor"),
        *("merged keys", "merged flag", "flag in a list of merges", "flag with an anchor", "flag of another flight"),
        *("merged at the root beside flights", "merged at the root", "comments", "comment in a list"),
        *("comment at the end", "first key on the line of the dash"),
    ],
)
def test_other_ways_to_write_it_keep_the_promise(change, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Whatever YAML style the maker uses: the same kite, nothing secret, readable by anyone."""
    text = change(KITE)
    book = book_with(tmp_path, text)
    shared = kite_to_share(book, "turnstone")
    theirs, mine = in_their_book(shared), book.kites["turnstone"]
    assert "secret" not in shared
    assert (theirs.sail, theirs.bow, theirs.bridle) == (mine.sail, mine.bow, mine.bridle)
    assert "#" not in re.sub(r"(?m)^#   .*$|^# What it is made of.*$", "", shared)


def test_every_demo_kite_can_be_shared() -> None:
    """Each reads the same in another book, apart from pictures, credit, phones' marks and the height of the meter."""
    book = read_book(ROOT)
    for key, mine in book.kites.items():
        theirs = in_their_book(kite_to_share(book, key))
        plain = replace(theirs, key=key, photos=mine.photos, origin=mine.origin, story_line=mine.story_line)
        painted = replace(theirs.sail, decoration=mine.sail.decoration, drawing=mine.sail.drawing)
        assert theirs.story == story_to_share(mine.story)
        flights = tuple(
            replace(f, height_m=o.height_m, session=o.session)
            for f, o in zip(theirs.flights, mine.flights, strict=True)
        )
        changes = tuple(
            replace(one, sail=their.sail and replace(their.sail, **_drawn(one)))
            for one, their in zip(mine.changes, theirs.changes, strict=True)
        )
        assert changes == mine.changes
        told = replace(plain, sail=painted, flights=flights, changes=changes, file=mine.file, story=mine.story)
        assert told == mine


def _drawn(change: Change) -> dict[str, object]:
    """The drawing of a change, which is not shared."""
    return {"decoration": change.sail.decoration, "drawing": change.sail.drawing} if change.sail else {}


def test_the_small_print_typed_back_gives_the_same_kite(book: Book, tmp_path: Path) -> None:
    """Type the sheet's small print into files: sail, spine, bow, bridle and stock come back as they were."""
    from bowbook.findings.compute import compute_findings

    lines = list(spec_view(compute_findings(book), "turnstone").type_back)
    kite, stock = (
        lines[: lines.index("# content/stock/rods.yaml")],
        lines[lines.index("# content/stock/rods.yaml") + 1 :],
    )
    cut = stock.index("# content/stock/skins.yaml")
    root = small_book(
        tmp_path / "typed",
        {"turnstone": "---\n" + "\n".join(kite) + "\n---\n"},
        book="units: {length: in, force: oz, mass: oz}\n",
        rods="\n".join(stock[:cut]) + "\n",
        skins="\n".join(stock[cut + 1 :]) + "\n",
    )
    typed = read_book(root)
    assert not typed.problems
    theirs, mine = typed.kites["turnstone"], book.kites["turnstone"]
    assert theirs.bow == mine.bow
    assert theirs.bridle == mine.bridle
    assert theirs.sail == mine.sail
    assert (theirs.mass_kg, theirs.spine) == (mine.mass_kg, mine.spine)
    assert typed.rods["carbon-1.5"] == book.rods["carbon-1.5"]


@settings(max_examples=60, deadline=None, derandomize=True)
@given(
    name=st.text(st.characters(exclude_categories=("Cs", "Cc", "Cf", "Co", "Cn", "Zl", "Zp")), min_size=1, max_size=60)
)
def test_any_name_survives_being_typed_back(name: str) -> None:
    """Quotes, colons, braces, digits, other scripts: what is printed is YAML for the very same name."""
    if not name.strip() or name != name.strip():
        return
    lines = kite_lines(Kite("k", name), Units())
    read = read_kite(("---\n" + "\n".join(lines) + "\n---\n").encode(), "content/kites/k.md")
    assert read.kite is not None, (lines, read.problems)
    assert read.kite.name == name


STORIES = {
    "A [walk](https://example.org/) on the beach.": "A [walk](https://example.org/) on the beach.",
    "![The kite](secret.jpg)": "The kite",
    '![The kite](secret.jpg "secret")': "The kite",
    "![The kite](<secret beach.jpg>)": "The kite",
    "![The kite][s]\n\n[s]: secret.jpg": "The kite",
    "See [my notes](../secret.md) and [these](/srv/secret(1).txt).": "See my notes and these.",
    "See [my notes][s].\n\n[s]: ../secret.md": "See my notes.",
    "Words.\n\n[//]: # (secret)": "Words.",
    "Words.\n\n[comment]: <> (secret\nsecret)\nMore.": "Words.\n\nMore.",
    "> Words.\n>\n> [x]: https://example.org/secret": "> Words.\n>",
    "[a]\n\n[a]: https://example.org/\n[a]: https://example.org/secret": "[a]\n\n[a]: https://example.org/",
    "Words.[^1]\n\n[^1]: Shown.\n\n[^2]: secret\n\n    secret": "Words.[^1]\n\n[^1]: Shown.\n",
}


@pytest.mark.parametrize("story", STORIES)
def test_a_story_gives_away_what_its_page_shows(story: str) -> None:
    """Pictures and files stay at home, their words are kept; definitions that show nowhere on the page are dropped."""
    shared = story_to_share(story)
    assert shared == STORIES[story].strip("\n")
    assert "secret" not in shared


@pytest.mark.parametrize(
    "note", ["A long one. " * 40, "One, two, three, " * 12, "x" * 4000, "a: b\n- c\n#d", "{", "- ", "'"]
)
def test_long_and_odd_texts_stay_whole(note: str) -> None:
    """A note, a summary and an alternative name of any length and shape come back letter for letter."""
    kite = Kite("k", note[:150].strip(), summary=note[:400].strip(), bench=(Round(note=note.strip()),))
    again = read_kite(kite_text(kite, Units()).encode(), "content/kites/k.md").kite
    assert again is not None
    assert (again.name, again.summary, again.bench) == (kite.name, kite.summary, kite.bench)


def test_tips_pressed_back_are_shared(tmp_path: Path) -> None:
    """A reading of both tips, its distance read more than once, comes back in a friend's book."""
    text = "---\nname: Knot\nbench: [{tips: {both: '14, 15 g', back: '30, 31 mm'}}]\n---\n"
    book = read_book(small_book(tmp_path / "mine", {"knot": text}))
    assert not book.problems
    theirs, mine = in_their_book(kite_to_share(book, "knot")), book.kites["knot"]
    assert theirs.bench[0].tips == mine.bench[0].tips


def _merged_deep(levels: int) -> str:
    anchors = ["  - &m0 {private: true}"] + [f"  - &m{i} {{<<: *m{i - 1}, note: step}}" for i in range(1, levels)]
    return "\n".join([*anchors, f"  - {{<<: *m{levels - 1}, flyer: secret}}"])


@pytest.mark.parametrize(
    "flights",
    [
        *(_merged_deep(levels) for levels in (2, 3, 40)),
        "  - &e {note: x}\n  - &p {private: true}\n  - {<<: [" + "*e, " * 150 + "*p], flyer: secret}",
        "  - &p {private: true}\n  - {<<: [{<<: [{note: x}, {<<: *p}]}], flyer: secret}",
        "  - &p {private: true}\n  - {<<: {note: x}, <<: *p, flyer: secret}",
        "  - {flyer: secret, private: }",
        "  - {flyer: secret, private: null}",
        "  - {flyer: secret, private: ~}",
        "  - &p {private: true}\n  - {<<: *p, private: , flyer: secret}",
        "  - {flyer: secret, <<: {private: }}",
        "  - {flyer: secret, <<: {Private: true}}",
        "  - {flyer: secret, <<: [{note: x}, {privat: true}]}",
        "  - {flyer: secret, <<: {private: no, private: yes}}",
        "  - {flyer: secret, <<: [[{private: yes}]]}",
    ],
)
def test_what_is_meant_to_be_private_is_so_or_is_asked_about(flights: str, tmp_path: Path) -> None:
    """Merges of merges, long lists of them, a flag with nothing behind it, a slip in a merged key: never public."""
    book = read_book(small_book(tmp_path, {"turnstone": f"---\nname: Turnstone\nflights:\n{flights}\n---\n"}))
    assert book.problems or all(flight.private for flight in book.kites["turnstone"].flights if flight.flyer)
    assert book.problems or "secret" not in kite_to_share(book, "turnstone")


def test_a_merge_goes_by_the_nearest(tmp_path: Path) -> None:
    """A flight's own keys stand before merged ones, earlier merges before later ones, nearer before deeper."""
    flights = (
        "  - &a {note: a, flyer: a, control: 1}\n  - &b {<<: *a, flyer: b, speed: 2}\n  - {<<: [*b, *a], speed: 3}\n"
    )
    last = book_with(tmp_path, f"---\nname: Turnstone\nflights:\n{flights}---\n").kites["turnstone"].flights[-1]
    assert (last.note, last.flyer, last.control, last.speed) == ("a", "b", 1, 3)
