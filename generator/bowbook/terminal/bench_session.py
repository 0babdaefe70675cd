"""The talk at the bench: readings as they come off the scale, what is known so far, the verdict, the shave."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from functools import partial
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.as_typed import Typed, together, typed_quantities
from bowbook.book.quantities import QuantityError
from bowbook.book.records import Book, Kite, Press, Round, Shave, Side, Units, Zone
from bowbook.book.units import parse_quantity, show, unit_of
from bowbook.findings.bench_results import ShaveOption
from bowbook.findings.results import Findings
from bowbook.terminal.output import say, say_table, tell
from bowbook.terminal.prompts import ask, one_of, whole_number
from bowbook.terminal.unfinished_round import PARTS, Part, Session, keep
from bowbook.wording import numbers
from bowbook.wording.balance import apart_stiffer

MOST_N = 2000.0  # a reading above this has lost its decimal point
ASTRAY = 1.25  # a repeat this far from the others is worth a second look; common practice, no source
DROP, BACK = "-", "<"

HELP = (
    "Type what the scale says and press Enter, once for each press: 214, or 7.5 oz. Enter alone goes on. "
    "Let go and hold anew between presses. - takes the last reading back. Ctrl-C leaves the bench; what was read so "
    "far is kept."
)
_WHAT = {
    "left": "Left half on the scale, centre mark held, pressed until it bows",
    "right": "Turn it over: right half on the scale",
    "whole": "The whole bow, pressed end to end (optional)",
}


class Bench(Struct, frozen=True):
    """What the talk works with: where the book lies, the book, the kite as its file says, and who works out."""

    root: Path
    book: Book
    kite: Kite
    seen: bytes  # of the kite's file, when it was read
    compute_findings: Callable[[Book, Kite], Findings]
    strip: str | None = None  # the name of the loose strip that it is, in place of a kite's bow

    @property
    def units(self) -> Units:
        """The book's units."""
        return self.book.settings.units


def read_all(bench: Bench, session: Session) -> None:
    """Ask for every part that is not done with, keeping the session after each answer."""
    parts = PARTS[:2] if session.covered else PARTS
    for part in parts:
        if part not in session.done:
            _read_part(bench, session, part)


def _read_part(bench: Bench, session: Session, part: Part) -> None:
    """Readings of one part until Enter alone."""
    unit = unit_of("force", bench.units)
    tell(f"{_WHAT[part]}{', skin on' if session.covered else ''}.")
    _say_so_far(bench, session, part)
    while True:
        readings = session.readings(part)
        more = (
            " once more (Enter: on)" if readings else " (Enter: not now)" if part != "whole" else " (Enter: leave out)"
        )
        answer = ask(f"  {part}{more}, {unit}:", partial(_reading, units=bench.units, may_drop=bool(readings)), HELP)
        if answer == DROP:
            dropped = readings.pop()
            say(f"    took back {dropped.figure} {dropped.unit}")
        elif not answer:
            session.done.append(part)
            keep(bench.root, session)
            return
        elif not isinstance(answer, str):
            readings.extend(answer)
        keep(bench.root, session)
        _say_so_far(bench, session, part)


def _reading(text: str, units: Units, may_drop: bool) -> tuple[Typed, ...] | str:
    """The readings in an answer; "" for none, DROP to take one back. Raises ValueError with a sentence."""
    if not text:
        return ""
    if text == DROP:
        if not may_drop:
            raise ValueError("There is no reading to take back.")
        return DROP
    try:
        typed = typed_quantities(text, "force", units)
    except QuantityError as wrong:
        raise ValueError(f"{wrong.message}. {wrong.hint}") from None
    if not all(0 < one.si <= MOST_N for one in typed):
        raise ValueError("A reading is more than nothing, and less than a scale can bear. Type it again.")
    return typed


def _say_so_far(bench: Bench, session: Session, part: Part) -> None:
    """What is known after this reading: the part's mean, and the difference once both halves have one."""
    readings = [one.si for one in session.readings(part)]
    if not readings:
        return
    others = readings[:-1]
    if others and not 1 / ASTRAY < readings[-1] * len(others) / sum(others) < ASTRAY:
        tell("That is far from the others. If the bow slipped, - takes it back.", "    ! ", fg="yellow")
    if session.covered:
        say(f"    {part} {_mean(bench, readings)}")
        return
    found = bench.compute_findings(bench.book, with_round(bench.kite, the_round(session)))
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


def the_round(session: Session, on: str | None = None) -> Round:
    """The session as a round of the kite's record."""
    left, right, whole = (
        Press(tuple(one.si for one in session.readings(part))) if session.readings(part) else None for part in PARTS
    )
    return Round(on or date.today().isoformat(), left, right, whole, skin_on=session.covered)


def take_given(session: Session, given: Mapping[str, str | None], units: Units) -> None:
    """Put readings given beforehand in place of those of the session. Raises ValueError for what is none."""
    for part in PARTS:
        text = given.get(part)
        if text is None:
            continue
        try:
            typed = typed_quantities(text, "force", units)
        except QuantityError as wrong:
            raise ValueError(f"--{part}: {wrong.message}. {wrong.hint}") from None
        if not typed or not all(0 < one.si <= MOST_N for one in typed):
            raise ValueError(f"--{part}: a reading is more than nothing, and less than a scale can bear.")
        session.readings(part)[:] = typed


def typed_entry(session: Session, on: str | None = None) -> dict[str, object]:
    """The session as a maker writes a round, each reading as it was typed."""
    head = {"on": on or date.today().isoformat()} | ({"skin": "on"} if session.covered else {})
    return {**head, **{part: together(session.readings(part)) for part in PARTS if session.readings(part)}}


def with_round(kite: Kite, one: Round) -> Kite:
    """The kite as it will be once this round is recorded."""
    return replace(kite, bench=(*kite.bench, one))


def covered_alone(kite: Kite, session: Session) -> Kite:
    """The kite as if the covered readings were all there is: what they say of left against right."""
    one = replace(the_round(session), skin_on=False)
    return replace(kite, bench=(one,), covered=None, changes=())


def with_round_again(kite: Kite, number: int, one: Round) -> Kite:
    """The kite as it will be once a round is written anew; its shaves and its note stay."""
    was = kite.bench[number]
    again = replace(one, shaves=was.shaves, note=was.note, tips=was.tips, bow=was.bow)
    return replace(kite, bench=(*kite.bench[:number], again, *kite.bench[number + 1 :]))


def more_wanted(bench: Bench, session: Session) -> bool:
    """Whether the maker goes back to a half before the round is recorded; that half is open again then."""
    choices: dict[str, Part | None] = {"": None, "left": "left", "right": "right"}
    part = ask("  Read a half again? left or right (Enter: no):", one_of(choices, "left, right, or nothing"))
    if part is None:
        return False
    session.done.remove(part)
    keep(bench.root, session)
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


def ask_shave(bench: Bench, side: Side | None) -> Shave | None:
    """What was shaved after the readings, or None for nothing yet."""
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
    zone = ask("  Where? whole half, middle third, inner third, outer third, 100-200 mm [middle third]:", _zone(bench))
    strokes = ask("  How many strokes? (Enter: not counted):", whole_number(1, 100_000, "the strokes"))
    taken = ask("  How much came off, by the calliper? (Enter: not measured):", _thickness(bench.units))
    return Shave(shaved, zone, strokes, taken)


def _zone(bench: Bench) -> Callable[[str], Zone]:
    """An `understand` for a stretch of a half."""
    from bowbook.format.shapes import ZONES

    def understand(answer: str) -> Zone:
        word = answer.casefold() or "middle third"
        named = [name for name in ZONES if name.startswith(word)]
        if len(named) == 1:
            start, end = ZONES[named[0]]
            return Zone(named[0], start, end)
        try:
            low, high = (part.strip() for part in answer.replace("–", "-").split("-"))
            unit = high.lstrip("0123456789. ")
            start = parse_quantity(f"{low} {unit}", "length", bench.units)
            end = parse_quantity(high, "length", bench.units)
        except ValueError:
            raise ValueError("Write a stretch of the half: middle third, or 100-200 mm from the centre mark.") from None
        if not 0 <= start < end <= (bench.kite.bow.length_m or 20.0) / 2:
            raise ValueError("That stretch is not on the half: it runs outward from the centre mark to the tip.")
        return Zone(answer, start, end, "m")

    return understand


def _thickness(units: Units) -> Callable[[str], float | None]:
    """An `understand` for a small thickness; Enter alone gives None."""

    def understand(answer: str) -> float | None:
        if not answer:
            return None
        try:
            value = parse_quantity(answer, "thin", units)
        except QuantityError as wrong:
            raise ValueError(f"{wrong.message}. {wrong.hint}") from None
        if not 0 < value <= 0.05:
            raise ValueError(f"{show(value, 'thin', units)} is no shaving. Write what came off, such as 0.05 mm.")
        return value

    return understand
