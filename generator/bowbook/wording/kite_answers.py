"""The three answers of a kite's own page: what is said, how sure it is, and what is missing for it."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from bowbook.book.records import Side, Units
from bowbook.findings.results import Findings, FlyerFindings
from bowbook.wording import numbers
from bowbook.wording.answers import three_answers
from bowbook.wording.balance import Tone, reads_stiffer


class SureAnswer(Struct, frozen=True):
    """One question and its answer in a line, how sure it is in words, and the next thing to do with its label."""

    question: str
    say: str
    sure: str | None
    want: str | None
    want_label: str
    tone: Tone


def sure_answers(
    found: Findings, units: Units, flyers: Mapping[str, FlyerFindings], own: str | None
) -> tuple[SureAnswer, ...]:
    """Is it even, how tight is its bow, which wind; in this order."""
    even, stiff, wind = three_answers(found, units, flyers, own)
    say_even, sure_even = _even(found, units, even.text)
    say_stiff, sure_stiff = _stiff(found, units, stiff.text)
    say_wind, sure_wind = _wind(found, units, wind.text)
    tight = "How tight is its bow?" if found.shape.tension is not None else stiff.question
    label = "To do" if even.tone == "act" else "Missing"
    return (
        SureAnswer(even.question, say_even, sure_even, even.next_step, label, even.tone),
        SureAnswer(tight, say_stiff, sure_stiff, stiff.next_step, "Missing", stiff.tone),
        SureAnswer(wind.question, say_wind, sure_wind, wind.next_step, "Missing", wind.tone),
    )


def _even(found: Findings, units: Units, text: str) -> tuple[str, str | None]:
    balance = found.balance
    if balance.difference is None or balance.verdict is None:
        return text, None
    size, spread = abs(balance.difference.value), balance.expanded
    far, give = numbers.shares(size, spread, units)
    side: Side = "left" if balance.difference.value > 0 else "right"
    rule = f"This book calls {numbers.share(balance.tolerance, units)} even."
    if balance.verdict == "even":
        most = numbers.share(balance.bound or size, units)
        say = f"Yes. The {side} half is a shade the stiffer, and you will not feel it."
        if size < balance.tolerance / 6:
            say = "Yes, as near as the scale can say."
        return say, f"At most {most} apart, 19 times in 20. {rule}"
    sure = f"Give or take {give.removeprefix('±').strip()}, 19 times in 20. {rule}" if give else rule
    if balance.verdict == "too close to call":
        return f"Too close to call. {numbers.capital(reads_stiffer(side, far))}.", sure
    return f"No. The {side} half is {far} stiffer.", sure


def _stiff(found: Findings, units: Units, text: str) -> tuple[str, str | None]:
    tension, total, share = found.shape.tension, found.total, found.skin.share
    if tension is None:
        return text, None
    say = f"Strung, it pushes its tips apart with {numbers.surely(tension.value, tension.u, 'force', units)}."
    if total is None:
        unknown = "" if found.skin.how else "; what the skin adds is not known yet"
        return say, f"That is the bow alone{unknown}."
    skin = f", {numbers.share(share, units)} of it the skin’s" if share is not None and found.skin.how else ""
    how = {
        "same skin": " By its sister kites in the same skin, not measured on this one.",
        "lower bound": " The skin’s part is a lower bound, by its cloth alone.",
    }.get(found.skin.how or "", "")
    return say, f"Bow and skin together have a stiffness of {numbers.measured(total, 'rigidity', units)}{skin}.{how}"


def _flexes(found: Findings, units: Units) -> str | None:
    """The flex wind; where both tips were pressed, what they say beside what the tension says."""
    wind, tips = found.wind, found.tips.flex_m_s
    if wind.flex_m_s is None:
        return None
    say = f"It flexes at {numbers.measured(wind.flex_m_s, 'wind', units)}"
    if tips is None:
        return f"{say}."
    if wind.flex_how == "tips":
        beside = (
            f"; by its bow’s tension at {numbers.measured(wind.computed_m_s, 'wind', units)}"
            if wind.computed_m_s
            else ""
        )
        return f"{say} by its tips{beside}."
    return f"{say} by its bow’s tension; by its tips at {numbers.measured(tips, 'wind', units)}."


def _wind(found: Findings, units: Units, text: str) -> tuple[str, str | None]:
    wind = found.wind
    flex = _flexes(found, units)
    if wind.flown:
        flights = sum(state.flights for state in found.states if state.shown_bow)
        sure = f"Flown, not computed: by {numbers.counted(flights, 'flight')} with a best wind."
        return text, f"{sure} {flex}" if flex else sure
    expected = wind.predicted.get(wind.flyer or "")
    if expected is not None:
        say = f"{wind.flyer} should like it in {numbers.winds(expected, units)}."
        sure = f"Predicted from {numbers.counted(expected.kites, 'kite')}, not flown yet."
        if expected.low_interval and expected.high_interval:
            low, high = (numbers.winds(edge, units) for edge in (expected.low_interval, expected.high_interval))
            sure += f" Its edges lie in {low} and {high}, 19 times in 20."
        return say, f"{sure} {flex}" if flex else sure
    return text, _flexes(found, units) if found.tips.flex_m_s is not None else None
