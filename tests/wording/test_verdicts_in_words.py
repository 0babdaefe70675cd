"""The sentence a kite's page says, for every state a kite can be in: read here as a maker reads it."""

from __future__ import annotations

import pytest
from msgspec.structs import replace

from bowbook.book.records import Shave, Units, Zone
from bowbook.findings.bench_results import Measured, RoundBalance
from bowbook.findings.results import Findings, FlyerFindings, Range, WindFindings
from bowbook.wording import answers
from bowbook.wording.balance import is_it_even, short_even
from bowbook.wording.days import round_judged as of_round
from bowbook.wording.flyer import doubt, zone
from bowbook.wording.kite_answers import sure_answers
from bowbook.wording.missing import missing_of, section_of
from factories import MPH, flyer, judged, kite, liked, option, pressed, skinned, to_shave

UNITS = Units()


def said(found: Findings) -> tuple[str, str | None]:
    """Answer and next step on evenness, with plain blanks."""
    text, step, _ = is_it_even(found, UNITS)
    return plain(text), plain(step) if step else None


def plain(text: str) -> str:
    """The text with ordinary blanks, which pages keep from breaking."""
    return text.replace("\u00a0", " ").replace("\u202f", " ")


def test_a_stiffer_half_comes_with_the_first_step() -> None:
    """The stiffer half is named with its 95 % half width, and the advice is the first step, then to measure again."""
    found = to_shave(judged(kite(), "left stiffer", 0.07, 0.02), option("whole half"), option("middle third"))
    assert said(found) == (
        "The left half is 7 % stiffer, ± 2 %.",
        "Take 0.04 mm off its whole half, then measure again.",
    )


def test_the_right_half_is_named_where_the_difference_is_below_nought() -> None:
    """The difference is left less right: below nought the right half is the stiffer one."""
    assert said(judged(kite(), "right stiffer", -0.07, 0.02))[0] == "The right half is 7 % stiffer, ± 2 %."


def test_a_round_rod_loses_diameter_and_logged_strokes_are_counted() -> None:
    """Advice says what is measured off, and how many strokes that was the last time."""
    found = to_shave(
        judged(kite(), "left stiffer", 0.07, 0.02), option("middle third", dimension="diameter", strokes=12)
    )
    assert said(found)[1] == (
        "Take 0.04 mm off the diameter of its middle third, about 12 strokes going by the last ones, "
        "then measure again."
    )


def test_where_the_middle_third_cannot_do_it_the_whole_half_is_advised() -> None:
    """An infeasible stretch is never advised."""
    dead = option("middle third", feasible=False, reason="nothing would be left of it")
    found = to_shave(judged(kite(), "left stiffer", 0.3, 0.02), option("whole half"), dead)
    assert said(found)[1] == "Take 0.04 mm off its whole half, then measure again."


def test_where_no_stretch_can_do_it_the_reason_is_given() -> None:
    """Infeasible everywhere: the page says so and why, and advises no shaving."""
    dead = option("middle third", feasible=False, reason="nothing would be left of it.")
    step = said(to_shave(judged(kite(), "left stiffer", 0.9, 0.02), dead))[1]
    assert step == "Shaving the left half cannot bring the two together: nothing would be left of it."


def test_without_a_section_the_page_says_what_it_needs_to_name_a_thickness() -> None:
    """No section, no thickness: the advice is still two-step, and says what is needed to put a number to it."""
    found = replace(
        judged(kite(), "left stiffer", 0.07, 0.02), wanting={"shave.options": "The rod's section, in stock/rods.yaml."}
    )
    assert said(found)[1] == (
        "Shave the left half a little, then measure again. "
        "How much to take off needs this: the rod's section, in stock/rods.yaml."
    )


def test_even_says_how_far_apart_and_within_what() -> None:
    """Even is said with how far apart they are at most, and the tolerance."""
    assert said(judged(kite(), "even", -0.004, 0.012))[0] == (
        "The halves are even: at most 1.6 % apart, within the 3 % this book allows."
    )


@pytest.mark.parametrize(
    ("more", "step"),
    [
        (1, "One more reading of each half would very likely settle it."),
        (3, "Three more readings of each half would very likely settle it."),
        (None, "Twelve more of each half would hardly settle it: calmer fingers would, or a scale that reads finer."),
    ],
)
def test_too_close_to_call_says_what_would_settle_it(more: int | None, step: str) -> None:
    """A close call names the half that reads stiffer and how many more readings it takes; or that none would do."""
    found = judged(kite(), "too close to call", 0.03, 0.04, more)
    assert said(found) == ("Too close to call: the left half reads 3 % stiffer, ± 4 %.", step)


def test_a_difference_of_nothing_names_no_half() -> None:
    """Where the figure that would be shown is 0 %, no half reads stiffer by it: not in the answer, nor of a round."""
    found = judged(kite(), "too close to call", 0.0004, 0.04)
    assert said(found)[0] == "Too close to call: nothing tells the halves apart, ± 4 %."
    sure = sure_answers(found, UNITS, {}, None)[0]
    assert plain(sure.say) == "Too close to call. Nothing tells the halves apart."
    one = RoundBalance("2026-05-01", Measured(-0.0004, 0.02), "too close to call")
    assert plain(of_round(one, 2.0, 0.03, UNITS) or "") == "Too close to call: nothing tells the halves apart, ± 4 %."


def test_one_half_read_asks_for_the_other() -> None:
    """With one half read the page asks for the other, and does not compare."""
    assert said(pressed(kite(), 260, None)) == (
        "Only the left half has been read.",
        "Press the right half on the scale, and the two can be compared.",
    )


def test_a_half_shaved_since_its_last_reading_is_asked_for_again() -> None:
    """A shave after the last round leaves that half unknown, and the page says it was shaved."""
    found = pressed(kite(), None, 198)
    bench = (replace(found.kite.bench[0], shaves=(Shave("left", Zone("middle third", 1 / 3, 2 / 3)),)),)
    text, step = said(replace(found, kite=replace(found.kite, bench=bench)))
    assert text == "The left half was shaved after it was last read."
    assert step == "Press the left half on the scale, and the two can be compared."


def test_nothing_pressed_tells_how_to_begin() -> None:
    """A bow nobody has pressed gets told how; a plan has no bow to press."""
    assert said(kite())[0] == "Nobody has pressed this bow yet."
    assert "grams under bench" in (said(kite())[1] or "")
    assert said(kite(stage="planned")) == ("Still a plan: there is no bow to press yet.", None)


@pytest.mark.parametrize(
    ("found", "short"),
    [
        (judged(kite(), "left stiffer", 0.07, 0.02), "left 7 % stiffer"),
        (judged(kite(), "right stiffer", -0.07, 0.02), "right 7 % stiffer"),
        (judged(kite(), "even", 0.004, 0.012), "even"),
        (judged(kite(), "too close to call", 0.03, 0.04), "too close to call"),
        (pressed(kite(), 260, None), "right half not read yet"),
        (pressed(kite(), None, 260), "left half not read yet"),
        (kite(), "not measured yet"),
    ],
)
def test_lists_say_it_in_a_few_words(found: Findings, short: str) -> None:
    """Every state has a short form."""
    assert plain(short_even(found, UNITS)[0]) == short


@pytest.mark.parametrize(
    ("how", "words_on_skin", "step"),
    [
        ("covered", "With the skin, which gives 20 % of it, it comes to", False),
        ("same skin", "With the skin, which by its sister kites gives 20 % of it, it comes to", True),
        ("lower bound", "With the skin, which by its cloth alone gives at least 20 % of it, it comes to", True),
    ],
)
def test_the_whole_stiffness_says_how_the_skins_part_is_known(how: str, words_on_skin: str, step: bool) -> None:
    """A measured skin is left at that; a judged one asks for a covered press."""
    text, wanted, tone = answers.how_stiff(skinned(pressed(kite()), how), UNITS)
    assert plain(text) == f"The halves press at 214 ± 2 g and 200 ± 2 g. {words_on_skin} 0.0250 ± 0.0006 N·m²."
    assert (wanted is not None) is step
    assert tone == "settled"


def test_stiffness_without_a_skin_or_with_one_half_says_so() -> None:
    """Bow alone, half alone, nothing: each says what is still open."""
    assert "what the skin adds is not known yet" in answers.how_stiff(pressed(kite()), UNITS)[0]
    assert answers.how_stiff(pressed(kite(), 214, None), UNITS)[0].endswith("The other half is still to be read.")
    assert answers.how_stiff(kite(), UNITS)[0] == "Nobody knows yet: a press reading of each half will tell."


def wind(found: Findings, *flyers: FlyerFindings, own: str | None = None) -> tuple[str, str | None, str]:
    """Answer, next step and tone on the wind."""
    text, step, tone = answers.which_wind(found, UNITS, {f.name: f for f in flyers}, own)
    return plain(text), step, tone


def test_a_flown_range_names_its_flyer() -> None:
    """A flown range is a fact about a flyer and a kite."""
    assert wind(liked(kite(), 5, 8))[0] == "MK likes it in 5–8 mph."


def test_several_flyers_are_named_the_kites_own_first() -> None:
    """Where several have flown it, the one the catalogue is for comes first."""
    one = liked(kite(), 5, 8, "ZZ")
    both = replace(one, wind=replace(one.wind, flown={"AB": Range(6 * MPH, 9 * MPH), **one.wind.flown}))
    assert wind(both)[0] == "ZZ likes it in 5–8 mph; AB likes it in 6–9 mph."


def test_a_prediction_says_so_and_on_how_much_it_rests() -> None:
    """A predicted range is never said as if it were flown."""
    text, step, tone = wind(liked(kite(), 9, 12, flown=False))
    assert text == "It should suit MK in 9–12 mph (going by six kites). That is predicted, not flown."
    assert step == "Fly it, and write the wind it liked best under flights."
    assert tone == "open"


@pytest.mark.parametrize(
    ("records", "missing"),
    [
        ((), "Log the best wind of three kites, and this one gets a range."),
        (
            (flyer(1),),
            (
                "One kite has a best wind from MK and a measured stiffness, skin included; "
                "two more, and ranges can be predicted."
            ),
        ),
        (
            (flyer(2),),
            (
                "Two kites have a best wind from MK and a measured stiffness, skin included; "
                "one more and ranges can be predicted."
            ),
        ),
    ],
)
def test_too_few_records_say_how_many_are_missing(records: tuple[FlyerFindings, ...], missing: str) -> None:
    """Under three kites no range is said, only the flex wind and what is missing."""
    found = replace(kite(), wind=WindFindings(flex_m_s=Measured(5.4 * MPH, 0.1 * MPH, 0.1 * MPH)))
    text, step, _ = wind(found, *records)
    assert text == "Its tips flex at 5.4 ± 0.2 mph. Which wind that makes it like, too few records say yet."
    assert step == missing


def test_nothing_known_names_no_wind() -> None:
    """Without a flex wind no wind is named, and the page passes on what is wanting."""
    found = replace(kite(), wanting={"wind.flex_m_s": "The sail's outline."})
    assert wind(found) == ("No wind can be named for it yet.", "The sail's outline.", "blank")


def test_a_doubtful_flyer_is_said_to_be_one() -> None:
    """Where the slope's interval leaves out 1, the page warns that stiffness does not explain the records."""
    who = FlyerFindings("MK", 8, 8, 0.6, 0.9, 0.1, 0.12, Measured(0.3, 0.1, 0.1), Range(0.1, 0.5))
    assert "Stiffness does not explain these records" in (doubt(who, UNITS) or "")
    sound = replace(who, slope_interval=Range(0.8, 1.2))
    assert plain(doubt(sound, UNITS) or "") == (
        "Asked about each kite with that kite left out, the others were 12 % off on the middle of its wind."
    )
    assert zone(who) == "Likes a kite between 0.6 and 0.9 times the wind in which its tips flex."


def test_the_same_thing_to_do_is_asked_for_once() -> None:
    """Figures that hang on another are not asked for while that one is missing; one sentence gathers what it gives."""
    sentence = "A reading of the right half."
    found = replace(
        kite(),
        wanting={
            "bow.right.EI_Nm2": sentence,
            "bow.right.press_N": "A press reading of the right half.",
            "balance.difference": "Readings of both halves.",
            "wind.flown": "A flight.",
        },
    )
    assert [(m.todo, m.gives) for m in missing_of(found)] == [
        (sentence, "the right half's stiffness"),
        ("A flight.", "the wind it was liked in"),
    ]


def test_every_note_leads_to_a_part_of_the_page_that_explains_it() -> None:
    """A note about the hold leads to pressing, one about the skin to the skin."""
    assert section_of("Held as pinned: the reading does not say.") == "press"
    assert section_of("The skin's part is learnt from two other kites.") == "skin"
