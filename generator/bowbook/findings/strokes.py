"""How much a stroke lowers the reading, learnt from every shaving the maker logged, nearest first."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from bowbook.book.records import Kite, Press
from bowbook.findings.bench_results import Measured, ShaveOption, Shaving
from bowbook.findings.readings import mean_N, pairs_of_rounds, reading_of
from bowbook.findings.results import LearntStrokes, LoggedStrokes
from bowbook.mechanics import strokes
from bowbook.mechanics.scatter import two_digits


def logged(kite: Kite, material: str | None) -> tuple[LoggedStrokes, ...]:
    """Every shaving of a kite whose strokes were counted and whose half was pressed before and after it."""
    found = []
    for before, after in pairs_of_rounds(kite):
        sides = [shave.side for shave in before.shaves]
        alone = [shave for shave in before.shaves if sides.count(shave.side) == 1]  # of several none can be told apart
        if kite.example:
            continue
        for shave in alone:
            first, second = reading_of(before, shave.side), reading_of(after, shave.side)
            if shave.strokes and isinstance(first, Press) and isinstance(second, Press):
                fall = mean_N(first) - mean_N(second)
                found.append(LoggedStrokes(material, shave.tool, shave.strokes, fall))
    return tuple(found)


def nearest_strokes(
    kite: str, material: str | None, of_kites: Mapping[str, tuple[LoggedStrokes, ...]]
) -> tuple[LoggedStrokes, ...]:
    """The shavings to learn from: this kite's with its newest tool, else any of that material and tool, else of it."""
    own = of_kites.get(kite, ())
    tool = own[-1].tool if own else None
    if own:
        return tuple(one for one in own if one.tool == tool)
    same = [one for logs in of_kites.values() for one in logs if material and one.material == material]
    if not same:
        return ()
    counts: dict[str | None, int] = {}
    for one in same:
        counts[one.tool] = counts.get(one.tool, 0) + one.strokes
    most = max(counts, key=lambda name: counts[name])
    return tuple(one for one in same if one.tool == most)


def learnt_strokes(kite: str, material: str | None, of_kites: Mapping[str, tuple[LoggedStrokes, ...]]) -> LearntStrokes:
    """What strokes do to a kite of this material; what only other kites say is pooled, and so rounded to two digits."""
    logs = nearest_strokes(kite, material, of_kites)
    if not logs:
        return LearntStrokes()
    mean, spread = strokes.rate([one.fall_N for one in logs], [one.strokes for one in logs])
    if kite not in of_kites:
        mean, spread = two_digits(mean), None if spread is None else two_digits(spread)
    return LearntStrokes(Measured(mean, spread, spread))


def with_strokes(shave: Shaving, read_N: float | None, learnt: LearntStrokes) -> Shaving:
    """The options with how many strokes to make next. `read_N` is the stiffer half's reading as it is."""
    rate = learnt.rate_N
    if rate is None or not shave.options or read_N is None:
        return shave

    def told(option: ShaveOption) -> ShaveOption:
        if option.press_after_N is None or rate.value <= 0:
            return option
        fall = strokes.FIRST_STEP * (read_N - option.press_after_N)
        count = strokes.next_strokes(fall, rate.value) if fall > 0 else None
        return replace(option, strokes=count)

    return replace(shave, options=tuple(told(option) for option in shave.options))
