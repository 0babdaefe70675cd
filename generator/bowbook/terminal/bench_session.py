"""The questions at the bench: readings as they come off the scale, what is known so far, the verdict, the shave."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial

from msgspec.structs import replace

from bowbook.book.as_typed import Typed, together, typed_quantities, with_unit
from bowbook.book.quantities import parse_quantity
from bowbook.book.records import Kite, Press, Round, Side, Tips, Units
from bowbook.book.units import show, unit_of
from bowbook.book.written_numbers import QuantityError
from bowbook.findings.bench_results import ShaveOption
from bowbook.findings.odd_values import Odd, odd_values
from bowbook.terminal.bench_advice import HELP, MARK, Bench, enough, how_to_read, tips_back_m
from bowbook.terminal.output import say, say_table, tell
from bowbook.terminal.prompts import ask, one_of, whole_number
from bowbook.terminal.stage import bare_rounds
from bowbook.terminal.unfinished_round import ASKED, PARTS, BenchReadings, Part, keep_session
from bowbook.wording import numbers
from bowbook.wording.balance import apart_stiffer

MOST_N = 2000.0  # a reading above this has lost its decimal point
MOST_LETTERS = 80  # of a tool's name
ASTRAY = 1.25  # a repeat this far from the others is worth a second look; common practice, no source
DROP, BACK = "-", "<"


def read_all(bench: Bench, session: BenchReadings) -> None:
    """Ask for every part that is not done with, keeping the session after each answer."""
    for part in ASKED[session.kind]:
        if part not in session.done:
            _read_part(bench, session, part)


def _read_part(bench: Bench, session: BenchReadings, part: Part) -> None:
    """Readings of one part until Enter alone."""
    unit = unit_of("force", bench.units)
    tell(how_to_read(bench, session, part))
    wanted = enough(bench, part)
    asked: set[str] = set()
    _say_so_far(bench, session, part)
    while True:
        readings = session.readings(part)
        count = f", {len(readings) + 1} of {wanted}" if 0 < len(readings) < wanted else ""
        leave = "leave out" if part == "whole" else "not now"
        more = f" once more{count} (Enter: on)" if readings else f" (Enter: {leave})"
        answer = ask(f"  {part}{more}, {unit}:", partial(_reading, units=bench.units, may_drop=bool(readings)), HELP)
        if answer == DROP:
            dropped = readings.pop()
            say(f"    took back {dropped.figure} {dropped.unit}")
        elif not answer:
            session.done.append(part)
            keep_session(bench.root, session)
            return
        elif not isinstance(answer, str):
            readings.extend(answer)
            if not _stands(bench, session, part, asked):
                del readings[-len(answer) :]
        keep_session(bench.root, session)
        _say_so_far(bench, session, part)


def say_first(bench: Bench, session: BenchReadings) -> None:
    """What to do before the first reading: mark the middle of a bow not read before; say how far the tips go."""
    at_once = not (bench.kite.bow.mark or bench.book.settings.mark or bare_rounds(bench.kite))
    if session.kind == "bare" and at_once:
        tell(MARK)
    if session.kind == "tips" and not session.back:
        usual = tips_back_m(bench.kite)
        typed = f"[{show(usual, 'length', bench.units)}]" if usual else ", such as 30 mm:"
        session.back[:] = ask(
            f"How far will you press the tips back, from where they rest? {typed}",
            partial(tips_back, bench=bench, usual=usual),
        )
        keep_session(bench.root, session)


def tips_back(text: str, bench: Bench, usual: float | None = None) -> tuple[Typed, ...]:
    """How far the tips go, as typed; Enter alone gives what is usual. Raises ValueError with a sentence."""
    text = text or (show(usual, "length", bench.units) if usual else "")
    typed = typed_quantities(text, "length", bench.units)
    if len(typed) != 1 or not 0 < typed[0].si < (bench.kite.bow.length_m or 2.0) / 2:
        raise ValueError("Write one length, less than half the bow; a tenth of the half span is best.")
    return typed


def odd_in(bench: Bench, session: BenchReadings) -> tuple[Odd, ...]:
    """What looks like a slip in the readings of this round."""
    kite = as_it_will_be(bench.kite, session)
    number = len(kite.bench) - 1 if session.redo is None else session.redo
    return tuple(odd for odd in odd_values(kite, bench.book) if odd.path.startswith(f"bench.{number}."))


def _stands(bench: Bench, session: BenchReadings, part: Part, asked: set[str]) -> bool:
    """Whether what was just typed is meant: what looks like a slip is asked about at once, each thing once."""
    for odd in sorted(odd_in(bench, session), key=lambda odd: not odd.path.endswith(f".{part}")):
        if odd.kind not in asked:
            asked.add(odd.kind)
            tell(f"{numbers.capital(odd.what)}. {odd.instead}", "    ! ", fg="yellow")
            words = one_of({"": True, "yes": True, "no": False}, "yes, or no to take it back")
            if not ask("    Does it stand? yes, or no to take it back [yes]", words):
                return False
    return True


def _reading(text: str, units: Units, may_drop: bool) -> tuple[Typed, ...] | str:
    """The readings in an answer; "" for none, DROP to take one back. Raises ValueError with a sentence."""
    if not text:
        return ""
    if text == DROP:
        if not may_drop:
            raise ValueError("There is no reading to take back.")
        return DROP
    typed = typed_quantities(text, "force", units)
    if not all(0 < one.si <= MOST_N for one in typed):
        raise ValueError("A reading is more than nothing, and less than a scale can bear. Type it again.")
    return typed


def _say_so_far(bench: Bench, session: BenchReadings, part: Part) -> None:
    """What is known after this reading: the part's mean, and the difference once both halves have one."""
    readings = [one.si for one in session.readings(part)]
    if not readings:
        return
    others = readings[:-1]
    if others and not 1 / ASTRAY < readings[-1] * len(others) / sum(others) < ASTRAY:
        tell("That is far from the others. If the bow slipped, - takes it back.", "    ! ", fg="yellow")
    if session.kind != "bare":
        say(f"    {part} {_mean(bench, readings)}")
        return
    found = bench.findings_of(with_round(bench.kite, the_round(session)))
    last = found.balance.rounds[-1]
    mean = {"left": last.left_N, "right": last.right_N, "whole": last.whole_N}[part]
    known = numbers.measured(mean, "force", bench.units) if mean else _mean(bench, readings)
    single = "; a second reading says how sure that is" if len(readings) == 1 and part != "whole" else ""
    say(f"    {part} {known}{single}")
    d = last.difference
    if part != "whole" and d is not None and found.balance.expanded is not None:
        side = "left" if d.value > 0 else "right"
        say(f"    so far the {side} half is {apart_stiffer(found.balance, bench.units)}")


def _mean(bench: Bench, readings: list[float]) -> str:
    return show(sum(readings) / len(readings), "force", bench.units)


def the_round(session: BenchReadings, on: str | None = None) -> Round:
    """The session as a round of the kite's record."""
    left, right, whole = (
        Press(tuple(one.si for one in session.readings(part))) if session.readings(part) else None for part in PARTS
    )
    back_m = sum(one.si for one in session.back) / max(1, len(session.back))
    tips = Tips(tuple(one.si for one in session.tips), back_m) if session.tips and session.back else None
    return Round(on or date.today().isoformat(), left, right, whole, tips=tips, skin_on=session.covered)


def take_given(session: BenchReadings, given: Mapping[str, str | None], units: Units) -> None:
    """Put readings given beforehand in place of those of the session. Raises ValueError for what is none."""
    for part in (*PARTS, *ASKED["tips"]):
        text = given.get(part)
        if text is None:
            continue
        try:
            typed = typed_quantities(text, "force", units)
        except QuantityError as wrong:
            raise ValueError(f"{_option(part)}: {wrong}") from None
        if not typed or not all(0 < one.si <= MOST_N for one in typed):
            raise ValueError(f"{_option(part)}: a reading is more than nothing, and less than a scale can bear.")
        session.readings(part)[:] = typed


def _option(part: Part) -> str:
    return "--both" if part == "tips" else f"--{part}"


def typed_entry(session: BenchReadings, on: str | None = None) -> dict[str, object]:
    """The session as a maker writes a round, each reading as it was typed."""
    head = {"on": on or date.today().isoformat()} | ({"skin": "on"} if session.covered else {})
    if session.tips:
        return {**head, "tips": {"both": together(session.tips), "back": together(session.back)}}
    return {**head, **{part: together(session.readings(part)) for part in PARTS if session.readings(part)}}


def with_round(kite: Kite, one: Round) -> Kite:
    """The kite as it will be once this round is recorded."""
    return replace(kite, bench=(*kite.bench, one))


def as_it_will_be(kite: Kite, session: BenchReadings) -> Kite:
    """The kite as it will be once the session is recorded."""
    one = the_round(session)
    return with_round(kite, one) if session.redo is None else with_round_again(kite, session.redo, one)


def covered_alone(kite: Kite, session: BenchReadings) -> Kite:
    """The kite as if the covered readings were all there is: what they say of left against right."""
    one = replace(the_round(session), skin_on=False)
    return replace(kite, bench=(one,), covered=None, changes=())


def with_round_again(kite: Kite, number: int, one: Round) -> Kite:
    """The kite as it will be once a round is written anew; its shaves and its note stay."""
    was = kite.bench[number]
    again = replace(one, shaves=was.shaves, note=was.note, tips=one.tips or was.tips, bow=was.bow)
    return replace(kite, bench=(*kite.bench[:number], again, *kite.bench[number + 1 :]))


def more_wanted(bench: Bench, session: BenchReadings) -> bool:
    """Whether the maker goes back to a half before the round is recorded; that half is open again then."""
    choices: dict[str, Part | None] = {"": None, "left": "left", "right": "right"}
    part = ask("  Read a half again? left or right (Enter: no):", one_of(choices, "left, right, or nothing"))
    if part is None:
        return False
    session.done.remove(part)
    keep_session(bench.root, session)
    return True


def say_options(options: tuple[ShaveOption, ...], units: Units) -> None:
    """A table of stretches to shave: all that must come off, the first step, what the scale says at the end."""
    rows = []
    for option in options:
        if not option.feasible or option.thickness_m is None:
            rows.append(
                (option.zone, "cannot" if not option.feasible else "—", "", option.reason or "section not known")
            )
            continue
        first = _fine(option.first_step_m, units) if option.first_step_m is not None else "—"
        strokes = f" ({option.strokes} strokes)" if option.strokes else ""
        after = show(option.press_after_N, "force", units) if option.press_after_N is not None else "—"
        rows.append((option.zone, _fine(option.thickness_m, units), f"{first}{strokes}", after))
    say_table(("  stretch", "in all", "first take", "reads when even"), [("  " + r[0], *r[1:]) for r in rows])


def _fine(taken_m: float, units: Units) -> str:
    """A shaving as a calliper says it."""
    return numbers.shaved(taken_m, units)


def ask_shave(bench: Bench, side: Side | None, first: str = "whole half") -> dict[str, str] | None:
    """What was shaved after the readings as it is typed, or None for nothing yet; `first` is what was advised first."""
    say()
    tell("Sand wet, with gloves and a mask for fine dust; move the knife away from your hand. What is off stays off.")
    sides: dict[str, Side | None] = {"": None, "left": "left", "right": "right", "nothing": None}
    if side:
        sides["yes"] = side
    words = f"left, right, yes ({side}) or nothing" if side else "left, right or nothing"
    shaved = ask(
        f"  What did you shave? {words} (Enter: nothing yet):",
        one_of(sides, words),
        "Answer when you are done, or leave now and say it when you come back: the round is written already.",
    )
    if shaved is None:
        return None
    where = f"  Where? whole half, middle third, inner third, outer third, 100-200 mm [{first}]:"
    zone = ask(where, _zone(bench, first))
    strokes = ask("  How many strokes? (Enter: not counted):", whole_number(1, 100_000, "the strokes"))
    taken = ask("  How much came off, by the calliper? (Enter: not measured):", _thickness(bench.units))
    last = last_tool(bench)
    tool = ask(f"  With which tool? {f'[{last}]' if last else '(Enter: not noted):'}", _tool(last))
    known = {"side": shaved, "zone": zone, "strokes": strokes and str(strokes), "taken": taken, "tool": tool}
    return {key: text for key, text in known.items() if text}


def last_tool(bench: Bench) -> str | None:
    """The tool that was last written for this kite, else for any other of the book."""
    kites = (*(kite for kite in bench.book.kites.values() if not kite.example), bench.kite)
    tools = [shave.tool for kite in kites for one in kite.bench for shave in one.shaves if shave.tool]
    return tools[-1] if tools else None


def _tool(last: str | None) -> Callable[[str], str | None]:
    """An `understand` for a tool's name; Enter alone gives the last one."""

    def understand(answer: str) -> str | None:
        if not answer:
            return last
        if len(answer) > MOST_LETTERS or not answer.isprintable():
            raise ValueError(f"Write its name on one line of up to {MOST_LETTERS} letters, such as sanding block.")
        return answer

    return understand


def _zone(bench: Bench, first: str) -> Callable[[str], str]:
    """An `understand` for a stretch of a half; Enter alone gives `first`, in the words of a file."""
    from bowbook.format.common_fields import ZONES

    def understand(answer: str) -> str:
        answer = answer or first
        word = answer.casefold()
        named = [name for name in ZONES if name.startswith(word)]
        if len(named) == 1:
            return named[0]
        try:
            low, high = (part.strip() for part in answer.replace("–", "-").split("-"))
            unit = high.lstrip("0123456789. ")
            start = parse_quantity(f"{low} {unit}", "length", bench.units)
            end = parse_quantity(high, "length", bench.units)
        except ValueError:
            raise ValueError("Write a stretch of the half: middle third, or 100-200 mm from the centre mark.") from None
        if not 0 <= start < end <= (bench.kite.bow.length_m or 20.0) / 2:
            raise ValueError("That stretch is not on the half: it runs outward from the centre mark to the tip.")
        return answer if unit else f"{answer} {unit_of('length', bench.units)}"

    return understand


def _thickness(units: Units) -> Callable[[str], str]:
    """An `understand` for a small thickness, as it is typed; Enter alone gives ""."""

    def understand(answer: str) -> str:
        if not answer:
            return ""
        value = parse_quantity(answer, "thin", units)
        if not 0 < value <= 0.05:
            raise ValueError(f"{show(value, 'thin', units)} is no shaving. Write what came off, such as 0.05 mm.")
        return with_unit(answer, "thin", units)

    return understand
