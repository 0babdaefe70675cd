"""What every round of a kite showed: of each bow and each state, bare and with the skin on."""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.book.records import Book, Press, Side
from bowbook.findings.bench_results import Measured, RoundBalance
from bowbook.findings.drift import bare_beside
from bowbook.findings.evenness import round_balance
from bowbook.findings.readings import Measuring, Precision, measured, reading_of
from bowbook.findings.results import Findings, Reread, RoundFindings
from bowbook.findings.states import SIDES, Entry, State


def each_round(
    book: Book, states: Sequence[tuple[State, Findings | None]], own: Sequence[Reread], precision: Precision
) -> dict[str, RoundFindings]:
    """Every round by its path; `states` with what was found of them, the one that is shown first."""
    m, found = Measuring(precision), dict[str, RoundFindings]()
    for state, of_state in states:
        for n, entry in enumerate(state.bare):
            if entry.path not in found:
                judged = of_state.balance.rounds[n] if of_state else round_balance(book, state.kite, n, entry.round, m)
                last = found.get(state.bare[n - 1].path) if n else None
                before = (last.showed.left_N, last.showed.right_N) if last else (None, None)
                found[entry.path] = RoundFindings(entry.round, judged, state.bow, state.bow_number, before)
        for entry in state.own:
            if entry.round.skin_on and entry.path not in found:
                found[entry.path] = _covered(state, entry, of_state, own, m)
    return found


def _covered(
    state: State, entry: Entry, of_state: Findings | None, own: Sequence[Reread], m: Measuring
) -> RoundFindings:
    """A press with the skin on, beside the bare bow that goes with it."""
    left, right = (_mean(entry, side, m) for side in SIDES)
    beside = bare_beside(state, entry, own, m.precision)
    bare = state.bare[: state.bare.index(beside) + 1] if beside else ()
    before_left, before_right = (_last(bare, side, m) for side in SIDES)
    measures = any(state.filed.get(f"covered.{side}", "").startswith(f"{entry.path}.") for side in SIDES)
    return RoundFindings(
        entry.round,
        RoundBalance(entry.round.on, None, None, left, right),
        state.bow,
        state.bow_number,
        (before_left, before_right),
        of_state.skin.share if of_state and measures and of_state.skin.how == "covered" else None,
    )


def _last(bare: Sequence[Entry], side: Side, m: Measuring) -> Measured | None:
    """The last reading of a half in these rounds that nothing was shaved after."""
    for n, one in reversed(list(enumerate(bare))):
        if n < len(bare) - 1 and one.round.shaves:
            return None
        if (read := _mean(one, side, m)) is not None:
            return read
    return None


def _mean(entry: Entry, side: Side, m: Measuring) -> Measured | None:
    reading = reading_of(entry.round, side)
    return measured(m.press(reading)) if isinstance(reading, Press) else None
