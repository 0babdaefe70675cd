"""A kite's record and its story are put together by date, state by state.

The expected order of each case is written by hand from the dates in its file.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from msgspec.structs import replace

from bowbook.book.records import Change, Covered, Flight, Kite, Press, Round, Shave
from bowbook.book.sail import Sail
from bowbook.build.publish import publish
from bowbook.pages.kite_days import StateDays, days_by_state
from bowbook.pages.story import Setting, StoryPart, to_parts
from helpers import small_book

PRESS = Press((2.0, 2.1))


def parts_of(story: str) -> tuple[StoryPart, ...]:
    return to_parts(story, Setting("kites/reed/index.html", "content/kites/reed.md", top=4))


def told(states: Sequence[StateDays]) -> list[tuple[str, list[tuple[str, str | None]]]]:
    return [(state.name, [(day.kind, day.on) for day in state.days]) for state in states]


def test_days_stand_oldest_first_and_the_skin_begins_a_state() -> None:
    """Rounds, covering, finished kite, story parts, photos and flights stand by date."""
    kite = Kite(
        "reed",
        "Reed",
        made="2026-05-04",
        sail=Sail("washi"),
        bench=(Round("2026-05-01", PRESS, PRESS, shaves=(Shave("left"),)), Round("2026-05-02", PRESS, PRESS)),
        covered=Covered(PRESS, PRESS, "2026-05-03"),
        flights=(Flight("2026-06-09", note="Again."), Flight("2026-05-10", note="First.")),
    )
    story = parts_of("## 2026-04-30 The strip\n\nSplit.\n\n## 2026-06-01 Rain\n\nNone flew.\n")
    assert told(days_by_state(kite, story, [("a.jpg", "2026-05-20")])) == [
        ("The bow, bare", [("told", "2026-04-30"), ("bench", "2026-05-01"), ("bench", "2026-05-02")]),
        (
            "The kite, covered",
            [
                ("covered", "2026-05-03"),
                ("made", "2026-05-04"),
                ("flown", "2026-05-10"),
                ("told", "2026-05-20"),
                ("told", "2026-06-01"),
                ("flown", "2026-06-09"),
            ],
        ),
    ]


def test_what_is_of_one_day_stands_together() -> None:
    """Two rounds, a part of the story and a photo of one date are one day, which is called by what was done."""
    kite = Kite("reed", "Reed", bench=(Round("2026-05-01", PRESS, PRESS), Round("2026-05-01", PRESS, PRESS)))
    (state,) = days_by_state(kite, parts_of("2026-05-01\n\nCold fingers.\n"), [("a.jpg", "2026-05-01")])
    (day,) = state.days
    assert (day.kind, day.rounds, day.photos) == ("bench", (0, 1), ("a.jpg",))
    assert [part.html for part in day.story] == ["<p>Cold fingers.</p>\n"]


def test_a_story_without_days_stays_whole_with_the_finished_kite() -> None:
    """Undated story is one day, after the bench and before the first flight, also where nothing has a date."""
    kite = Kite("reed", "Reed", bench=(Round(None, PRESS, PRESS),), flights=(Flight("2026-05-10", note="First."),))
    days = [day for state in days_by_state(kite, parts_of("One.\n\n## Two\n\nThree.\n"), []) for day in state.days]
    assert [day.kind for day in days] == ["bench", "told", "flown"]
    assert days[1].story[0].html == '<p>One.</p>\n<h4 id="story-two">Two</h4>\n<p>Three.</p>\n'


def test_vague_days_stand_among_exact_ones() -> None:
    """A month and a season stand where they can; a day that may lie within them keeps its place in the file."""
    kite = Kite(
        "reed",
        "Reed",
        flights=tuple(Flight(on, note="x") for on in ("2026-07-01", "spring 2026", "2025", "2026-09")),
    )
    (state,) = days_by_state(kite, (), [])
    assert [day.on for day in state.days] == ["2025", "spring 2026", "2026-07-01", "2026-09"]


def test_flights_without_words_fold_by_year_between_those_with_words() -> None:
    """Forty flights of which two have words are two days and, between and after them, a season each."""
    silent = [Flight(f"2024-{month:02d}-{day:02d}") for month in (6, 7) for day in range(1, 20)]
    worded = [Flight("2024-05-01", note="First."), Flight("2024-06-30", note="A gale.")]
    (state,) = days_by_state(Kite("reed", "Reed", flights=(*silent, *worded)), (), [])
    assert [(day.on, day.until, len(day.flights)) for day in state.days] == [
        ("2024-05-01", None, 1),
        ("2024-06-01", "2024-06-19", 19),
        ("2024-06-30", None, 1),
        ("2024-07-01", "2024-07-19", 19),
    ]


def test_a_flight_without_words_joins_the_day_of_one_that_has_some() -> None:
    """Two flyers on one day are one day, though only one of them wrote."""
    flights = (Flight("2024-05-01", "Ansa", note="First."), Flight("2024-05-01", "Rook"))
    (state,) = days_by_state(Kite("reed", "Reed", flights=flights), (), [])
    assert [len(day.flights) for day in state.days] == [2]


def test_an_empty_kite_has_no_days() -> None:
    """A name alone tells of no day."""
    assert days_by_state(Kite("reed", "Reed"), (), []) == ()


def test_a_day_is_named_by_a_heading_or_by_a_line_of_its_own() -> None:
    """The day is taken out of the words; a heading over a line that is a day keeps with it; other dates stay text."""
    story = (
        "Before.\n\n## 2026-05-03: Split\n\nOne.\n\n## Bent (2026-05-04)\n\nTwo.\n\n## Glued\n\n2026-05-05\n\nThree."
        "\n\n2026-05\nFour, on 2026-05-06 it rained.\n\n## No day\n\nFive."
    )
    assert [(part.on, part.headed) for part in parts_of(story)] == [
        (None, False),
        ("2026-05-03", True),
        ("2026-05-04", True),
        ("2026-05-05", True),
        ("2026-05", False),
    ]
    assert [part.html.split("\n")[0].partition(">")[2] for part in parts_of(story)] == [
        "Before.</p>",
        "Split</h4>",
        "Bent</h4>",
        "Glued</h4>",
        "Four, on 2026-05-06 it rained.</p>",
    ]


def test_a_line_that_is_no_day_stays_in_the_story() -> None:
    """A day that is not in the calendar is the maker's own words."""
    assert [part.html for part in parts_of("2026-02-30\n\nRain.")] == ["<p>2026-02-30</p>\n<p>Rain.</p>\n"]


def test_every_change_begins_a_state_with_the_days_that_follow_it() -> None:
    """A new skin and a new stringing part the flights before them from those after."""
    kite = Kite(
        "reed",
        "Reed",
        stage="given",
        to="Oda",
        bench=(Round("2023-02-18", PRESS, PRESS), Round("2023-02-26", PRESS, PRESS, skin_on=True)),
        changes=(Change("2024-06-01", span_m=0.58), Change("2024-03-16", skin="tissue")),
        flights=tuple(Flight(on, note="x") for on in ("2023-03-04", "2024-03-30", "2024-06-02")),
    )
    states = days_by_state(kite, (), [])
    assert told(states) == [
        ("The bow, bare", [("bench", "2023-02-18")]),
        ("First skin", [("covered", "2023-02-26"), ("flown", "2023-03-04")]),
        ("Second skin", [("changed", "2024-03-16"), ("flown", "2024-03-30")]),
        ("Restrung", [("changed", "2024-06-01"), ("flown", "2024-06-02")]),
        ("With Oda", []),
    ]
    assert [state.cover for state in states] == ["bare", "first", "later", "later", "away"]


def test_a_kite_that_went_has_the_day_it_did() -> None:
    """A stage in `changes` has its day: what was done by then stands before it, what was told then stands with it."""
    kite = Kite(
        "reed",
        "Reed",
        stage="given",
        to="Oda",
        made="2024-02-01",
        changes=(Change("2024-05-01", stage="resting"), Change("2026-02-14", stage="given")),
        flights=(Flight("2024-03-30", note="x"),),
    )
    states = days_by_state(kite, parts_of("## 2026-02-14 Over the wall\n\nIn its bag.\n"), [])
    assert told(states) == [
        ("The kite", [("made", "2024-02-01"), ("flown", "2024-03-30"), ("changed", "2024-05-01")]),
        ("With Oda", [("changed", "2026-02-14")]),
    ]
    assert (states[-1].cover, states[-1].since) == ("away", "2026-02-14")
    assert len(states[-1].days[0].story) == 1

    lost = replace(kite, stage="lost", changes=(Change("2024-03-30", stage="lost"),))
    assert told(days_by_state(lost, (), [])) == [
        ("The kite", [("made", "2024-02-01"), ("flown", "2024-03-30")]),
        ("Lost", [("changed", "2024-03-30")]),
    ]


def test_the_strip_of_years_shows_when_a_kite_went(published_demo: Path) -> None:
    """Marginalia was given away in February 2026: its strip says so, and so does its last state."""
    page = (published_demo / "output/kites/marginalia/index.html").read_text(encoding="utf-8")
    assert "With Oda from Feb 2026." in page.replace("\N{NO-BREAK SPACE}", " ")


def test_a_later_test_of_the_tips_leaves_a_round_its_verdict(published_demo: Path) -> None:
    """Quarto's bow was pressed in 2024 and its tips in 2026: the first day still says what its readings showed."""
    page = (published_demo / "output/kites/quarto/index.html").read_text(encoding="utf-8")
    first = page[page.index("First round") :].split("</article>")[0]
    assert "where this book calls" in first
    assert "<svg" in first


LIFE = """\
---
name: Reed
sail: {skin: film, outline: [[0, 0], [300 mm, 190 mm], [0, 520 mm]]}
bows:
  light: {rod: carbon, length: 640 mm, span: 600 mm}
  strong: {rod: carbon, length: 640 mm, span: 600 mm}
bench:
  - {on: 2026-05-01, left: '214, 213, 215 g', right: '213, 214, 214 g'}
  - {on: 2026-05-03, skin: on, left: '231, 230, 231 g', right: '230, 231, 230 g'}
  - {on: 2026-05-05, bow: strong, left: '310, 312 g', right: '301, 300 g'}
  - {on: 2026-05-06, bow: strong, skin: on, left: 332 g, right: 318 g}
  - {on: 2027-04-03, skin: on, left: '240, 241, 240 g', right: '240, 241, 240 g'}
changes:
  - {on: 2027-04-02, skin: paper}
---
"""


def test_every_round_of_every_bow_and_state_has_its_chart(tmp_path: Path) -> None:
    """Of each skin and each bow; the shares by hand: 16.7 of 230.5 g, 19.25 of 325 g, 26.5 of 240.3 g."""
    stock = "carbon: {material: carbon, round: 1.5 mm}\n"
    book = small_book(tmp_path / "book", {"reed": LIFE}, rods=stock, skins="film: {}\npaper: {}\n")
    publish(book)
    page = (book / "output" / "kites" / "reed" / "index.html").read_text(encoding="utf-8")
    page = " ".join(page.replace("\N{NO-BREAK SPACE}", " ").split())
    for day, drawn, said in (
        ("2026-05-01", "left 214 g, 213 g, 215 g", " apart"),
        ("2026-05-03", "left 231 g, 230 g, 231 g", "The skin gives 7.2 %"),
        ("2026-05-05", "left 310 g, 312 g, mean 311 g; right 301 g, 300 g", "The left half"),
        ("2026-05-06", "left 332 g, mean 332 g; right 318 g", "The skin gives 5.9 %"),
        ("2027-04-03", "left 240 g, 241 g, 240 g", "The skin gives 11 %"),
    ):
        of_day = page[page.index(f'datetime="{day}"') :].split("</article>")[0]
        assert drawn in of_day, day
        assert said in of_day, (day, of_day)
    assert "Pressed with the skin on; the dot is the bow alone." in page
