"""Whether a bow reads another force than it did with nothing done to it: it takes a set, bamboo dries and swells."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from math import hypot, sqrt

from msgspec.structs import replace

from bowbook.book.days import in_words
from bowbook.book.records import Press, Round
from bowbook.book.units import show
from bowbook.findings.bench_results import Measured
from bowbook.findings.readings import Precision, change_between, mean_N
from bowbook.findings.results import Drift, Reread
from bowbook.findings.states import Entry, State, covered_of
from bowbook.mechanics import scatter
from bowbook.mechanics.student import t_quantile

LEAST_SESSION = 0.005  # relative: no two days at a kitchen scale are nearer, whatever a few readings say
SURELY, SHOWN = 0.995, 0.975  # two-sided: 99 % before anything is said, 95 % in the ± that is printed


def drift_of(state: State, own: Sequence[Reread], precision: Precision) -> Drift | None:
    """How far the bow reads from what it did, bare or with its skin on, whichever was read last.

    From the first to the last round since the bow was shaved or new; None for no more than sessions scatter. `own`
    are the kite's own rereadings: they are left out of the scatter between days that it is judged by.
    """
    bare, covered = _since_shaved(state), _pressed(state.covered)
    found = [
        (entries[-1].moment, drift)
        for entries, drift in (
            (covered, _between(covered, own, precision)),
            (bare, _between(bare, own, precision)),
        )
        if drift is not None
    ]
    return max(found, key=lambda one: one[0])[1] if found else None


def compared(state: State, own: Sequence[Reread], precision: Precision) -> tuple[State, int | None]:
    """The state with the covered press that tells what its skin adds, and how many bare rounds go with it.

    The last press with the skin on beside the last bare one; where the bow changed by itself between two presses of a
    kind, the newest two that nothing of this stands between. None for all bare rounds.
    """
    bare, covered = _since_shaved(state), _pressed(state.covered)
    if not bare or not covered or (len(covered) < 2 and len(bare) < 2) or drift_of(state, own, precision) is None:
        return state, None
    pairs = [(one, beside) for one in covered if (beside := bare_beside(state, one, own, precision))]
    last, with_bare = pairs[-1]
    reading, where = covered_of(state.covered[: state.covered.index(last) + 1])
    shown = replace(state, kite=replace(state.kite, covered=reading), filed={**state.filed, **where})
    return shown, state.bare.index(with_bare) + 1


def bare_beside(state: State, covered: Entry, own: Sequence[Reread], precision: Precision) -> Entry | None:
    """The bare round nearest in time to one with the skin on; None where there is none, or the bow drifted between."""
    bare = _since_shaved(state)
    if not bare:
        return None

    def days_from(one: Entry, other: Entry) -> timedelta:
        return abs(one.moment - other.moment)

    beside = min(reversed(bare), key=lambda one: days_from(one, covered))
    nearer = [one for one in _pressed(state.covered) if days_from(one, beside) < days_from(covered, beside)]
    return None if any(_between([one, covered], own, precision) for one in nearer) else beside


def _since_shaved(state: State) -> list[Entry]:
    """The rounds with a press of a bare half since the bow was shaved or new."""
    bare = list(state.bare)
    for n in reversed(range(len(bare) - 1)):
        if bare[n].round.shaves:
            bare = bare[n + 1 :]
            break
    return _pressed(bare)


def _pressed(entries: Sequence[Entry]) -> list[Entry]:
    return [one for one in entries if isinstance(one.round.left, Press) or isinstance(one.round.right, Press)]


def _between(entries: Sequence[Entry], own: Sequence[Reread], precision: Precision) -> Drift | None:
    """How far the last of these rounds reads from the first; None for no more than sessions scatter."""
    read = [entry.round for entry in entries]
    if len(read) < 2 or read[-1].on is None or read[0].on == read[-1].on:
        return None
    pairs = _alike(read[0], read[-1])
    if not pairs:
        return None
    change = sum(mean_N(after) / mean_N(before) for before, after in pairs) / len(pairs) - 1
    repeats = hypot(*(_relative(one, precision) for pair in pairs for one in pair)) / len(pairs)
    changes = [change_between(again, precision.presses, precision.scale_N) for again in own]
    days = scatter.session_scatter_without(precision.session, changes)
    u = hypot(repeats, sqrt(2) * max(days.relative, LEAST_SESSION))
    degrees = days.degrees
    if abs(change) <= t_quantile(SURELY, degrees) * u:
        return None
    expanded = t_quantile(SHOWN, degrees) * u
    paths = tuple(entry.path for entry in entries)
    return Drift(read[0].on, read[-1].on, Measured(change, u), expanded, read[-1].skin_on, paths)


def drift_said(drift: Drift) -> str:
    """The drift as a sentence: "Softer by 6 ± 2 % since 1 May 2026: …"."""
    how = "Softer" if drift.change.value < 0 else "Stiffer"
    since = f" since {in_words(drift.since)}" if drift.since else " than it was"
    since += ", pressed with the skin on" if drift.skin_on else ""
    bare = " What is said of bow and winds is of its last bare press: press it bare again." if drift.skin_on else ""
    why = "bamboo dries, bows take a set" if drift.change.value < 0 else "bamboo swells, hands hold otherwise"
    return f"{how} by {show(abs(drift.change.value), 'ratio', '%', drift.expanded)}{since}: {why}.{bare}"


def _alike(before: Round, after: Round) -> list[tuple[Press, Press]]:
    """The halves that were pressed in the same way in both rounds."""
    found = []
    for one, other in ((before.left, after.left), (before.right, after.right)):
        if isinstance(one, Press) and isinstance(other, Press):
            same = (one.length_m, one.hold, one.rise_m) == (other.length_m, other.hold, other.rise_m)
            found += [(one, other)] if same else []
    return found


def _relative(reading: Press, precision: Precision) -> float:
    """The standard uncertainty of a mean reading that its repeats leave, as a part of it."""
    mean = scatter.mean_reading(reading.values_N, precision.presses, precision.scale_N)
    return hypot(mean.scatter, mean.step) / mean.mean
