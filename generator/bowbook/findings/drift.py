"""Whether a bow that nobody touched reads another force than it did: it takes a set, and bamboo dries and swells."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

from bowbook.book.records import Kite, Press, Round
from bowbook.book.units import show
from bowbook.findings.bench_results import Measured
from bowbook.findings.readings import Precision, change_between, mean_N
from bowbook.findings.results import Drift, Reread
from bowbook.mechanics import scatter
from bowbook.mechanics.student import t_quantile

LEAST_SESSION = 0.005  # relative: no two days at a kitchen scale are nearer, whatever a few readings say
SURELY, SHOWN = 0.995, 0.975  # two-sided: 99 % before anything is said, 95 % in the ± that is printed


def drift_of(kite: Kite, own: Sequence[Reread], precision: Precision) -> Drift | None:
    """From the first to the last round since the bow was shaved or new; None for no more than sessions scatter.

    `own` are the kite's own rereadings: a bow is judged by what days make of the others.
    """
    rounds = list(kite.bench)
    for n in reversed(range(len(rounds) - 1)):
        if rounds[n].shaves:
            rounds = rounds[n + 1 :]
            break
    read = [one for one in rounds if isinstance(one.left, Press) or isinstance(one.right, Press)]
    if len(read) < 2 or read[0].on == read[-1].on:
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
    return Drift(read[0].on, read[-1].on, Measured(change, u), t_quantile(SHOWN, degrees) * u)


def drift_said(drift: Drift) -> str:
    """The drift as a sentence: "Softer by 6 ± 2 % since 2026-05-01: …"."""
    how = "Softer" if drift.change.value < 0 else "Stiffer"
    since = f" since {drift.since}" if drift.since else " than it was"
    why = "bamboo dries, bows take a set" if drift.change.value < 0 else "bamboo swells, hands hold otherwise"
    return f"{how} by {show(abs(drift.change.value), 'ratio', '%', drift.expanded)}{since}: {why}."


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
