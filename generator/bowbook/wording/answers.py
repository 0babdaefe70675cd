"""What a page says about one kite, one sentence per question, for every state a kite can be in.

Three questions, always in this order: is it even? how stiff? which wind? The bench's answer is worded in
`balance`, a flyer's comfort in `flyer`, the rest here; what pages, lists and the terminal say comes from there.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.days import in_words
from bowbook.book.records import Units
from bowbook.findings.results import LEAST_TIPS_N, Findings, FlyerFindings, Range
from bowbook.wording import numbers
from bowbook.wording.balance import Tone, is_it_even
from bowbook.wording.flyer import RECORDS_NEEDED, records_missing

CHANGED = {"new bow": "given a new bow", "new skin": "re-covered"}
"""What began a state, after "it was"; any other word stands as it is."""


def skin_adds(kite: Findings, units: Units) -> str:
    """What the skin adds to the bow, where it was pressed with the skin on; else what is wanting for that."""
    share = kite.skin.share
    if kite.skin.how != "covered" or share is None:
        return "What the skin adds cannot be said yet: bare readings of the same bow, in the same state, are wanting."
    return f"The skin adds {numbers.share(share, units)} of the stiffness that bow and skin have together."


class Answer(Struct, frozen=True):
    """One question and its answer. `next_step` is what to do about it, or None."""

    question: str
    text: str
    tone: Tone
    next_step: str | None = None


Flyers = Mapping[str, FlyerFindings]


def three_answers(kite: Findings, units: Units, flyers: Flyers, own: str | None = None) -> tuple[Answer, ...]:
    """The three answers for one kite; `own` is the flyer the book is for."""
    even_text, even_next, even_tone = is_it_even(kite, units)
    stiff_text, stiff_next, stiff_tone = how_stiff(kite, units)
    wind_text, wind_next, wind_tone = which_wind(kite, units, flyers, own)
    return (
        Answer("Is it even?", even_text, even_tone, even_next),
        Answer("How stiff?", stiff_text, stiff_tone, stiff_next),
        Answer("Which wind?", wind_text, wind_tone, wind_next),
    )


def how_stiff(kite: Findings, units: Units) -> tuple[str, str | None, Tone]:
    """How stiff the bow is, alone and with its skin."""
    left, right = kite.bow.left.EI_Nm2, kite.bow.right.EI_Nm2
    if kite.total is not None:
        total = numbers.measured(kite.total, "rigidity", units)
        return f"{_presses(kite, units)}{_with_skin(kite, units)} {total}.", _skin_step(kite), "settled"
    if left and right:
        bow = numbers.measured(kite.bow.mean_EI_Nm2 or left, "rigidity", units)
        wanted = kite.wanting.get("skin.EI_Nm2") or "Press both halves once more with the skin on."
        return (
            f"{_presses(kite, units)}The bow alone comes to {bow}; what the skin adds is not known yet.",
            wanted,
            "open",
        )
    if left or right:
        side, half = ("left", left) if left else ("right", right)
        assert half is not None
        bow = numbers.measured(half, "rigidity", units)
        return f"The {side} half alone comes to {bow}. The other half is still to be read.", None, "open"
    return "Nobody knows yet: a press reading of each half will tell.", None, "blank"


def _presses(kite: Findings, units: Units) -> str:
    """What the scale said of both halves, as a sentence; "" where they were not pressed."""
    left, right = kite.bow.left.press_N, kite.bow.right.press_N
    if left is None or right is None:
        return ""
    said = [numbers.measured(half, "force", units) for half in (left, right)]
    return f"The halves press at {said[0]} and {said[1]}. "


def tips_said(kite: Findings, units: Units) -> tuple[str, ...]:
    """What the tips test says, and beside it what the bow's tension says of the same wind."""
    tips, computed = kite.tips, kite.wind.computed_m_s
    if tips.read_N is None:
        return ()
    read = f"Both tips together push back with {numbers.measured(tips.read_N, 'force', units)}"
    if tips.flex_m_s is None:
        return (f"{read}. {kite.wanting.get('wind.flex_m_s', 'The sail’s outline, to say in which wind it flexes.')}",)
    said = f"{read}: by that it flexes at {numbers.measured(tips.flex_m_s, 'wind', units)}."
    if computed is None:
        return (said,)
    stands = "The tips test is the surer one, and stands."
    if kite.wind.flex_how != "tips":
        light = tips.read_N.value < LEAST_TIPS_N
        stands = (
            "The tension stands: under 8 g tips say too little."
            if light
            else "The tension is the surer one, and stands."
        )
    return said, f"By its bow’s tension it is {numbers.measured(computed, 'wind', units)}. {stands}"


def _with_skin(kite: Findings, units: Units) -> str:
    """The words before the whole stiffness: what the skin gives of it, and how that is known."""
    if kite.skin.share is None or kite.skin.how is None:
        return "Bow and skin together come to"
    part = numbers.share(kite.skin.share, units)
    how = {
        "covered": f"With the skin, which gives {part} of it",
        "same skin": f"With the skin, which by its sister kites gives {part} of it",
        "lower bound": f"With the skin, which by its cloth alone gives at least {part} of it",
    }[kite.skin.how]
    return f"{how}, it comes to"


def _skin_step(kite: Findings) -> str | None:
    if kite.skin.how in ("same skin", "lower bound"):
        return "Press both halves once more with the skin on, and its part is measured instead of judged."
    return None


def which_wind(kite: Findings, units: Units, flyers: Flyers, own: str | None) -> tuple[str, str | None, Tone]:
    """Which wind the kite likes, said for the book's own flyer first."""
    wind, others = kite.wind, _with_other_bows(kite, units)
    if wind.flown:
        said = [
            f"{flyer} likes it in {numbers.winds(wind.flown[flyer], units)}{_as_it_was(kite, flyer)}"
            for flyer in _own_flyer_first(list(wind.flown), wind.flyer)
        ]
        return f"{'; '.join(said)}.{others}", None, "settled"
    if wind.predicted:
        said = [
            f"{flyer} in {numbers.winds(p, units)} (going by {numbers.counted(p.kites, 'kite')})"
            for flyer in _own_flyer_first(list(wind.predicted), wind.flyer)
            for p in (wind.predicted[flyer],)
        ]
        return (
            f"It should suit {numbers.listed(said)}. That is predicted, not flown.{others}",
            "Fly it, and write the wind it liked best under flights.",
            "open",
        )
    unflown, step, tone = _before_any_range(kite, units, flyers, own)
    return f"{unflown}{others}", step, tone


def _as_it_was(kite: Findings, flyer: str) -> str:
    """What was done to the kite after a flyer's last liked winds, as the sentence goes on; "" for nothing."""
    own = [state for state in kite.states if state.shown_bow]
    last = max((n for n, state in enumerate(own) if flyer in state.flown), default=len(own) - 1)
    if last + 1 >= len(own):
        return ""
    following = own[last + 1]
    done = numbers.listed([CHANGED.get(word, word) for word in following.what])
    return f", before it was {done}" + (f" ({in_words(following.since)})" if following.since else "")


def _with_other_bows(kite: Findings, units: Units) -> str:
    """What flyers like it in with the bows that the kite's own figures are not of; a sentence each, with a blank."""
    liked: dict[str | None, dict[str, Range]] = {}
    for state in kite.states:
        if not state.shown_bow and state.flown:
            liked[state.bow] = {**liked.get(state.bow, {}), **state.flown}
    said = ""
    for bow, flown in liked.items():
        first, *others = _own_flyer_first(list(flown), kite.wind.flyer)
        parts = [f"{first} likes it in {numbers.winds(flown[first], units)}"]
        parts += [f"{other} in {numbers.winds(flown[other], units)}" for other in others]
        said += f" With its {bow} bow {numbers.listed(parts)}."
    return said


def _before_any_range(kite: Findings, units: Units, flyers: Flyers, own: str | None) -> tuple[str, str | None, Tone]:
    """What can be said of the wind while no range is known: the flex wind, and what is missing."""
    flex = kite.wind.flex_m_s
    if flex is None:
        step = kite.wanting.get("wind.flex_m_s") or "Fly it, and write the wind it liked best under flights."
        return "No wind can be named for it yet.", step, "blank"
    tips = f"Its tips flex at {numbers.measured(flex, 'wind', units)}"
    return f"{tips}. Which wind that makes it like, too few records say yet.", _records_missing(flyers, own), "open"


def _records_missing(flyers: Flyers, own: str | None) -> str | None:
    """How many more kites with a best wind a flyer needs before a prediction."""
    flyer = flyers.get(own or "") or max(flyers.values(), key=lambda f: f.kites, default=None)
    if flyer is None:
        return f"Log the best wind of {numbers.counted(RECORDS_NEEDED, 'kite')}, and this one gets a range."
    return records_missing(flyer)


def _own_flyer_first(flyers: list[str], own: str | None) -> list[str]:
    return sorted(flyers, key=lambda name: (name != own, name))


def likes(kite: Findings, units: Units) -> str | None:
    """The one range lists show, such as "5–8 mph"; None where there is none."""
    return numbers.winds(kite.wind.range, units) if kite.wind.range else None
