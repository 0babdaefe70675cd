"""Is it even? The bench's verdict as a friend would say it, with the next step at the knife or the scale."""

from __future__ import annotations

from typing import Literal

from bowbook.book.records import Side, Units
from bowbook.book.stock import rod_material
from bowbook.findings.bench_results import Balance, Measured, ShaveOption, Stiffness
from bowbook.findings.results import Findings
from bowbook.wording import numbers

Tone = Literal["settled", "act", "open", "blank"]


def is_it_even(kite: Findings, units: Units) -> tuple[str, str | None, Tone]:
    """The sentence, the next step or None, and how the answer stands."""
    balance = kite.balance
    if balance.verdict is None or balance.difference is None:
        return _not_measured(kite)
    if balance.verdict == "even":
        tolerance = numbers.share(balance.tolerance, units)
        most = numbers.share(balance.bound or abs(balance.difference.value), units)
        return f"The halves are even: at most {most} apart, within the {tolerance} this book allows.", None, "settled"
    side = _stiffer(balance.difference)
    if balance.verdict == "too close to call":
        return f"Too close to call: {close_call(balance, side, units)}.", _settle(balance), "open"
    return f"The {side} half is {apart_stiffer(balance, units)}.", _shave(kite, side, units), "act"


def short_even(kite: Findings, units: Units) -> tuple[str, Tone]:
    """The verdict in a few words, for lists: "left 7 % stiffer"."""
    balance = kite.balance
    if balance.verdict is None or balance.difference is None:
        left, right = _read_sides(kite)
        missing = {(True, False): "right half not read yet", (False, True): "left half not read yet"}
        return missing.get((left, right), "not measured yet"), "blank"
    if balance.verdict == "even":
        return "even", "settled"
    if balance.verdict == "too close to call":
        return "too close to call", "open"
    return f"{_stiffer(balance.difference)} {numbers.share(abs(balance.difference.value), units)} stiffer", "act"


def close_call(balance: Balance, side: Side, units: Units) -> str:
    """What a close call reads, as a sentence goes on: "the left half reads 2 % stiffer, ± 4 %"; or nothing."""
    assert balance.difference is not None
    far, give = numbers.shares(abs(balance.difference.value), balance.expanded, units)
    return reads_stiffer(side, far) + (f", {give}" if give else "")


def reads_stiffer(side: Side, far: str) -> str:
    """Which half reads stiffer by how much; that they read alike where the figure that is shown is nothing."""
    if not any(digit in far for digit in "123456789"):
        return "nothing tells the halves apart"
    return f"the {side} half reads {far} stiffer"


def apart_stiffer(balance: Balance, units: Units) -> str:
    """ "7 % stiffer, ± 2 %", the second figure being the 95 % half width."""
    assert balance.difference is not None
    far, give_or_take = numbers.shares(abs(balance.difference.value), balance.expanded, units)
    return f"{far} stiffer, {give_or_take}" if give_or_take else f"{far} stiffer"


def _stiffer(difference: Measured) -> Side:
    return "left" if difference.value > 0 else "right"


def _read_sides(kite: Findings) -> tuple[bool, bool]:
    return _is_read(kite.bow.left), _is_read(kite.bow.right)


def _is_read(half: Stiffness) -> bool:
    return half.EI_Nm2 is not None or half.press_N is not None


def _not_measured(kite: Findings) -> tuple[str, str | None, Tone]:
    """What is said while there is no verdict: nothing read, one half read, or both read but not yet comparable."""
    last = kite.kite.bench[-1] if kite.kite.bench else None
    left, right = _read_sides(kite)
    wanted = kite.wanting.get("balance.difference")
    if left != right:
        read, other = ("left", "right") if left else ("right", "left")
        shaved = last is not None and any(shave.side == other for shave in last.shaves)
        done = (
            f"The {other} half was shaved after it was last read" if shaved else f"Only the {read} half has been read"
        )
        return f"{done}.", f"Press the {other} half on the scale, and the two can be compared.", "open"
    if last is not None and (last.left is not None or last.right is not None):
        return "The readings are there, but they cannot be compared yet.", wanted, "open"
    if kite.kite.stage == "planned":
        return "Still a plan: there is no bow to press yet.", None, "blank"
    return (
        "Nobody has pressed this bow yet.",
        "Stand each half on the scale, press until it bows, and write the grams under bench.",
        "blank",
    )


def _settle(balance: Balance) -> str:
    """What would settle a close call."""
    if balance.more_readings is not None:
        more = numbers.capital(numbers.counted(balance.more_readings, "more reading"))
        return f"{more} of each half would very likely settle it."
    tenths = round(10 * (balance.settles_by_12 or 0.0))
    if tenths == 0:
        return "Twelve more of each half would hardly settle it: calmer fingers would, or a scale that reads finer."
    return f"Twelve more readings of each half would settle it in about {numbers.count(tenths)} of ten such cases."


def _shave(kite: Findings, side: Side, units: Units) -> str:
    """The two-step advice: take the first part, then measure again; or why that cannot be said."""
    options = kite.shave.options
    if not options:
        wanted = kite.wanting.get("shave.options")
        start = f"Shave the {side} half a little, then measure again."
        return f"{start} {_need(wanted)}" if wanted else start
    option = best_option(options)
    if option is None:
        wanted = kite.wanting.get("shave.options.thickness_m")
        if wanted and any(one.feasible for one in options):
            return f"Shave the {side} half a little, all along, then measure again. {_need(wanted)}"
        return _cannot(options, side)
    return f"{take_off(option, units)}, then measure again.{_where(kite, side, units)}"


def _where(kite: Findings, side: Side, units: Units) -> str:
    """Where along the half it is stiff, by sags at several places; for bamboo, that this is worth knowing first."""
    stretch = kite.shave.stretch
    if stretch is not None:
        place = numbers.plain_range(stretch.start_m, stretch.end_m, "length", units)
        much = numbers.share(stretch.above, units)
        return (
            f" By its sags the {side} half is stiffest at {place} from the centre mark, {much} above its other places."
        )
    material = rod_material(kite.bow.material)
    if material is not None and material.name == "bamboo":
        return (
            " It is bamboo, and one node may be all the difference: sag both halves at three places first, or take it "
            "off the middle third."
        )
    return ""


def best_option(options: tuple[ShaveOption, ...]) -> ShaveOption | None:
    """The stretch to shave: the one after which the bow stands most evenly; None where no thickness can be named."""
    return next((option for option in options if option.feasible and option.first_step_m is not None), None)


def take_off(option: ShaveOption, units: Units) -> str:
    """ "Take 0.04 mm off its middle third", with the strokes where they have been counted before."""
    assert option.first_step_m is not None
    amount = numbers.thin(option.first_step_m, units)
    stretch = option.zone if option.zone[:1].isalpha() else f"stretch {option.zone} from the centre mark"
    off = f"the diameter of its {stretch}" if option.dimension == "diameter" else f"its {stretch}"
    strokes = f", about {option.strokes} strokes going by the last ones" if option.strokes else ""
    return f"Take {amount} off {off}{strokes}"


def _cannot(options: tuple[ShaveOption, ...], side: Side) -> str:
    reason = next((option.reason for option in options if option.reason), None)
    said = f"Shaving the {side} half cannot bring the two together"
    return f"{said}: {reason}" if reason else f"{said}; a new bow from the same stock can."


def _need(wanted: str) -> str:
    """A wanting sentence as the reason why no thickness is named."""
    return f"How much to take off needs this: {wanted[:1].lower()}{wanted[1:]}"
