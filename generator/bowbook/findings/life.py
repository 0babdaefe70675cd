"""A kite's life worked out: the state that can tell gives its figures, the others their winds, all of them its flights.

The work on one state is `on_the_bench` and `kite_result`, as for a kite that never changed.
"""

from __future__ import annotations

from collections.abc import Sequence

from msgspec.structs import replace

from bowbook.book.days import in_words
from bowbook.book.records import Book, Kite
from bowbook.findings.drift import compared, drift_of, drift_said
from bowbook.findings.each_round import each_round
from bowbook.findings.kite_findings import kite_result, on_the_bench
from bowbook.findings.ledger import Ledger
from bowbook.findings.odd_values import odd_values
from bowbook.findings.pooled import PooledFigures
from bowbook.findings.readings import Precision, repeated
from bowbook.findings.results import Drift, Findings, KiteResult, Liked, Range, RoundFindings, StateFindings
from bowbook.findings.states import State, newest, states_of
from bowbook.findings.target import target_findings
from bowbook.findings.winds import flown


def life_at_the_bench(book: Book, kite: Kite, precision: Precision) -> Findings:
    """Balance, shaving, bow and shape of the newest state of a kite that can tell; no skin and no wind."""
    state, beside = compared(newest(states_of(kite)), repeated(kite).reread, precision)
    shown = state.kite
    found = on_the_bench(book, shown, precision, beside).findings()
    return replace(found, kite=replace(shown, flights=kite.flights), target=target_findings(shown, found.bow))


def life_result(kite: Kite, book: Book, pooled: PooledFigures) -> KiteResult:
    """A kite with its skin and its winds, state by state; what was learnt is of the skin of the state shown."""
    again, precision = repeated(kite).reread, pooled.precision
    states = list(states_of(kite))
    at = states.index(newest(states))
    shown, beside = compared(states[at], again, precision)
    states[at], worked = shown, {at: kite_result(shown.kite, book, pooled, beside)}
    for n, state in enumerate(states):
        following = states[n + 1] if n + 1 < len(states) else None
        if n != at and state.told and _is_worth(state, following):
            of_skin = pooled.skin if state.kite.sail.skin == shown.kite.sail.skin else None
            states[n], beside = compared(state, again, precision)
            worked[n] = kite_result(states[n].kite, book, replace(pooled, skin=of_skin), beside)
    main = worked[at]
    found = tuple(_state(book, state, worked.get(n), shown) for n, state in enumerate(states))
    with_findings = [(state, worked[n].findings if n in worked else None) for n, state in enumerate(states)]
    rounds = each_round(book, [with_findings[at], *reversed(with_findings)], again, precision)
    flown_by: dict[str, Range] = {}
    liked: dict[str, Liked] = {}
    for state, one in zip(states, found, strict=True):
        flown_by |= one.flown if one.shown_bow else {}
        if one.flex_m_s is not None and not one.flex_m_s.least and state.told:
            liked |= {name: Liked(one.flex_m_s.value, r.low, r.high) for name, r in one.flown.items()}
    drift = drift_of(shown, again, precision)
    odd = tuple(one.said for one in odd_values(kite, book) if one.kind != "under bare")  # the skin's part says that
    return _with_life(kite, states, shown, main, found, flown_by, liked, drift, rounds, odd)


def _is_worth(state: State, following: State | None) -> bool:
    """Whether a state's winds are worked out: what was shaved on at once, and never flown, is bench work alone."""
    return bool(state.kite.flights) or following is None or following.what != ("shaved",)


def _state(book: Book, state: State, worked: KiteResult | None, shown: State) -> StateFindings:
    kite = state.kite
    if worked is not None:
        flex, own = worked.summary.flex_m_s, dict(worked.summary.flown)
    else:
        flex, own = None, flown(kite, book.settings, Ledger(kite))
    return StateFindings(
        state.since,
        state.what,
        state.bow or kite.bow.rod,
        kite.sail.skin,
        flex,
        own,
        state.bow == shown.bow,
        sum(flight.best is not None for flight in kite.flights),
    )


def _with_life(
    filed: Kite,
    states: Sequence[State],
    shown: State,
    main: KiteResult,
    told: tuple[StateFindings, ...],
    flown_by: dict[str, Range],
    liked: dict[str, Liked],
    drift: Drift | None,
    rounds: dict[str, RoundFindings],
    odd: tuple[str, ...],
) -> KiteResult:
    """The result of the state that is shown, with what all states say of the kite."""
    found, last = main.findings, states[-1]
    warnings = (*odd, *found.warnings, *(() if drift is None else (drift_said(drift),)))
    if last is not shown and shown.told:
        since = f" since {in_words(last.since)}" if last.since else ""
        before = f"What is said here is of the bow as it was before{since}: {_done(last)}, and not read again."
        warnings = (before, *warnings)
    found = replace(
        found,
        kite=replace(shown.kite, flights=filed.flights),
        states=told,
        drift=drift,
        rounds=rounds,
        target=target_findings(shown.kite, found.bow),
        wind=replace(found.wind, flown=flown_by),
        wanting=_wanting(found, told, flown_by),
        warnings=warnings,
    )
    problems = tuple(replace(p, path=_filed_path(p.path, shown)) for p in main.summary.problems)
    summary = replace(
        main.summary,
        flown=flown_by,
        liked=liked,
        batch=filed.batch,
        press_N=_mean_press(found),
        problems=problems,
    )
    return KiteResult(found, summary)


def _wanting(found: Findings, told: tuple[StateFindings, ...], flown_by: dict[str, Range]) -> dict[str, str]:
    """What is wanting of the kite, where another of its states, or another bow, has the best winds."""
    wanting = dict(found.wanting)
    if flown_by:
        wanting.pop("wind.flown", None)
    elif any(state.flown for state in told):
        wanting["wind.flown"] = "A flight with this bow, with its flyer and the best wind."
    return wanting


def _mean_press(found: Findings) -> float | None:
    left, right = found.bow.left.press_N, found.bow.right.press_N
    return (left.value + right.value) / 2 if left and right else None


def _done(state: State) -> str:
    """What began a state, as a sentence goes on."""
    words = {"shaved": "it was shaved", "new bow": "it has a new bow", "new skin": "it has a new skin"}
    return " and ".join(words.get(word, f"it was {word}") for word in state.what)


def _filed_path(path: str, state: State) -> str:
    """Where in the file a value of a state's record stands: "bench.0.left" may be "bench.3.left" there."""
    head = path
    while head and head not in state.filed:
        head = head.rpartition(".")[0]
    return state.filed[head] + path[len(head) :] if head else path
