"""How sure a reading is: repeats pooled over the whole book, the steps of scale and ruler, and the hand that holds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from math import hypot, sqrt
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Droop, Kite, Press, Reading, Round, Sag, Settings, Side, Sureness
from bowbook.book.written_numbers import ABOUT_U
from bowbook.findings.bench_results import HandFindings, Measured
from bowbook.findings.results import Repeated, Reread
from bowbook.findings.states import each_bow, newest, states_of
from bowbook.mechanics import scatter
from bowbook.mechanics.scatter import Scatter, SessionScatter
from bowbook.mechanics.student import t_quantile

UFloat = Any  # uncertainties' own type; it ships no annotations

PRESS, DROP, TIPS, STEP, SESSION, LENGTH = "press", "drop", "tips", "step", "session", "length"
REPEATED = (PRESS, DROP, TIPS, STEP, SESSION)  # what another reading would show; LENGTH is free length and ruler


class Precision(Struct, frozen=True):
    """What the book says about any one reading: its scatter by kind, its scatter between days, and the hand."""

    presses: Scatter
    drops: Scatter
    tips: Scatter
    session: SessionScatter
    hand: HandFindings
    scale_N: float
    ruler_m: float
    marked_from_both_ends: bool
    sure: Sureness

    @property
    def coverage(self) -> float:
        """Student's t at 95 % for a press reading."""
        return t_quantile(0.975, scatter.degrees_in_use(self.presses.degrees))


def variable(value: float, s: float, tag: str) -> UFloat:
    """A figure with its standard uncertainty and its kind; a plain figure where nothing is open."""
    from uncertainties import ufloat

    return ufloat(value, s, tag) if s > 0 else exactly(value)


class Measuring:
    """One kite's readings with what stays open of them; what all of them share is one variable, so that it cancels.

    Every variable is tagged with its kind: what another reading would show is in REPEATED.
    """

    def __init__(self, precision: Precision) -> None:
        sure = precision.sure
        self.precision = precision
        self.gain = variable(1.0, sure.gain_u, "gain")
        self.zero = variable(0.0, precision.scale_N / 2, "zero")
        self.bow_out = variable(1.0, sure.bow_out_u, "bow-out")
        self.bow_out_clamped = variable(1.0, sure.bow_out_clamped_u, "bow-out")
        self.hinge = variable(1.0, sure.hinge_u, "hold")
        self.hand = variable(1.0, precision.hand.u, "hold")
        self.pivot_m = variable(0.0, sure.pivot_m, LENGTH)
        self.about_length = variable(1.0, ABOUT_U, LENGTH)  # of a bow whose length is written as a guess
        self.about_mass = variable(1.0, ABOUT_U, "mass")  # of a bow whose mass is
        self.ruler_m = variable(0.0, precision.ruler_m / sqrt(6), LENGTH)
        self._read: dict[int, tuple[Reading, UFloat]] = {}
        self._held: dict[tuple[str | float | None, float], UFloat] = {}

    def press(self, reading: Press) -> UFloat:
        """Mean press reading as the scale said it, N."""
        return self._mean(reading, reading.values_N, self.precision.presses, self.precision.scale_N, PRESS)

    def drop(self, reading: Sag | Droop) -> UFloat:
        """Mean drop, m."""
        return self._mean(reading, reading.drops_m, self.precision.drops, self.precision.ruler_m, DROP)

    def _mean(self, reading: Reading, values: Sequence[float], of: Scatter, step: float, tag: str) -> UFloat:
        """The mean of the repeats: always the same variable for the same reading."""
        if id(reading) not in self._read:
            mean = scatter.mean_reading(values, of, step)
            value = variable(mean.mean, mean.scatter, tag)
            value = value + variable(0.0, mean.step, STEP) if mean.step else value
            if reading.about:  # a guess is known to a twentieth at best
                value = value * variable(1.0, ABOUT_U, tag)
            self._read[id(reading)] = reading, value * self.gain + self.zero if tag == PRESS else value
        return self._read[id(reading)][1]

    def held(self, hold: str | float | None, free_m: float) -> UFloat:
        """What the hold of a press and its free length leave open of a rigidity, as a factor about 1."""
        if (hold, free_m) not in self._held:
            ruler = 1 + 2 * self.ruler_m / free_m
            pivot = ruler * (1 + 2 * self.pivot_m / free_m)
            if hold is None:
                held = (ruler if self.precision.hand.bows else pivot) * self.hand
            else:
                held = pivot * self.hinge if hold == "hinge" else pivot
            self._held[hold, free_m] = held
        return self._held[hold, free_m]

    def another_day(self, load: UFloat) -> UFloat:
        """The same with what two days differ by."""
        return load * variable(1.0, self.precision.session.relative, SESSION)


def of_kite(kite: Kite) -> Iterator[Reading]:
    """Every reading of a kite: bare, covered and whole."""
    for bench in kite.bench:
        yield from (r for r in (bench.left, bench.right, bench.whole) if r is not None)
    if kite.covered:
        yield from (r for r in (kite.covered.left, kite.covered.right) if r is not None)


def repeated(kite: Kite) -> Repeated:
    """What the readings of one kite say of how sure any reading is; nothing of an example."""
    if kite.example:
        return Repeated()
    readings, bows = list(of_kite(kite)), each_bow(kite)
    return Repeated(
        _sets(r.values_N for r in readings if isinstance(r, Press)),
        _sets(r.drops_m for r in readings if not isinstance(r, Press)),
        _sets(bench.tips.values_N for bench in kite.bench if bench.tips),
        tuple(again for side in ("left", "right") for again in _reread(bows, side)),
        _hand_shown(kite),
    )


def _sets(readings: Iterable[Sequence[float]]) -> tuple[scatter.RepeatSet, ...]:
    return tuple(one for values in readings if (one := scatter.repeat_set(values)) is not None)


def reading_of(bench: Round, side: Side) -> Reading | None:
    """The reading of one half in a round."""
    return bench.left if side == "left" else bench.right


def _reread(bows: Sequence[Kite], side: Side) -> Iterator[Reread]:
    """Each time a half of a bow was pressed in two rounds, in the same way, with nothing done to it between."""
    for with_bow in bows:
        before: Press | None = None
        for bench in with_bow.bench:
            now = reading_of(bench, side)
            if isinstance(now, Press):
                if before is not None and _alike(before, now):
                    yield Reread(mean_N(before), len(before.values_N), mean_N(now), len(now.values_N))
                before = now
            if any(shave.side == side for shave in bench.shaves):
                before = None


def _alike(a: Press, b: Press) -> bool:
    return (a.length_m, a.hold, a.rise_m) == (b.length_m, b.hold, b.rise_m)


def mean_N(reading: Press) -> float:
    """The mean of a reading's repeats, N."""
    return sum(reading.values_N) / len(reading.values_N)


def _hand_shown(kite: Kite) -> tuple[float, float] | None:
    """What the newest round with both halves and the whole says of the hand; None where it says nothing."""
    if not any(bench.whole for bench in kite.bench):
        return None
    from bowbook.findings.hold import hand_shown

    return hand_shown(newest(states_of(kite)).kite)


def pool(settings: Settings, of_kites: Sequence[Repeated]) -> Precision:
    """How sure any one reading is, from what all kites' readings say; degrees of freedom as counted."""
    presses = scatter.fit_scatter(one for kite in of_kites for one in kite.presses)
    changes = (change_between(again, presses, settings.scale_N) for kite in of_kites for again in kite.reread)
    days = scatter.session_scatter(changes)
    return Precision(
        presses,
        scatter.fit_scatter(one for kite in of_kites for one in kite.drops),
        scatter.fit_scatter(one for kite in of_kites for one in kite.tips),
        replace(days, relative=scatter.two_digits(days.relative)),
        _hand(settings, [kite.hand for kite in of_kites if kite.hand]),
        settings.scale_N,
        settings.ruler_m,
        settings.mark == "both ends",
        settings.sure,
    )


def in_use(counted: Precision) -> Precision:
    """How sure any one reading is, as every kite's figures use it: one more reading then leaves most as they were."""

    def rounded(found: Scatter) -> Scatter:
        return replace(found, degrees=scatter.degrees_in_use(found.degrees))

    days = replace(counted.session, degrees=scatter.degrees_in_use(counted.session.degrees))
    hand = replace(counted.hand, bows=min(counted.hand.bows, 1))  # figures ask whether it is learnt, not of how many
    presses, drops, tips = (rounded(found) for found in (counted.presses, counted.drops, counted.tips))
    return replace(counted, presses=presses, drops=drops, tips=tips, session=days, hand=hand)


def change_between(again: Reread, of: Scatter, step: float) -> scatter.RereadChange:
    """How far a reading moved between two days, and how sure each is, relative to the mean of both."""

    def relative(value: float, n: int) -> float:
        s = of.of(value)
        return hypot(s / sqrt(n), scatter.step_uncertainty(step, s)) / value

    middle = (again.before_N + again.after_N) / 2
    return scatter.RereadChange(
        (again.after_N - again.before_N) / middle,
        relative(again.before_N, again.readings_before),
        relative(again.after_N, again.readings_after),
    )


def _hand(settings: Settings, shown: Sequence[tuple[float, float]]) -> HandFindings:
    """How the maker's fingers hold: as learnt, or as assumed before any bow was pressed whole.

    What is learnt is rounded where its ± has its second digit (JCGM 100:2008, 7.2.6): a factor or a spring to three
    digits, which moves a rigidity by 0.14 % at most, a fifteenth of what a hand leaves open; the ± to two.
    """
    if not shown:
        return HandFindings("K", settings.sure.hand, None, settings.sure.hand_u, 0)
    from bowbook.mechanics.hand import HandSample, learn_hand

    hand = learn_hand([HandSample(*one) for one in shown])
    factor, spring = (None if one is None else scatter.significant(one, 3) for one in (hand.factor, hand.spring))
    return HandFindings(hand.kind, factor, spring, scatter.two_digits(hand.u), hand.bows)


def pairs_of_rounds(kite: Kite) -> Iterable[tuple[Round, Round]]:
    """Each bare round with the one after it, bow by bow."""
    return (pair for with_bow in each_bow(kite) for pair in pairwise(with_bow.bench))


def parts(x: UFloat, *tags: str) -> float:
    """The standard uncertainty that comes from variables with one of these tags."""
    return hypot(*(s for variable, s in x.error_components().items() if variable.tag in tags))


def without(x: UFloat, tag: str) -> UFloat:
    """The figure as if what is tagged so were known exactly."""
    from uncertainties.core import AffineScalarFunc, LinearCombination

    kept = {variable: slope for variable, slope in x.derivatives.items() if variable.tag != tag}
    return AffineScalarFunc(x.nominal_value, LinearCombination(kept))


def measured(x: UFloat | None) -> Measured | None:
    """A figure and its standard uncertainties as plain numbers; None stays None."""
    if x is None:
        return None
    each = x.error_components()
    repeat = hypot(*(s for variable, s in each.items() if variable.tag in REPEATED))
    u = sqrt(sum(s * s for s in each.values()))  # as x.std_dev has it, which asks for them again
    return Measured(float(x.nominal_value), repeat or None, u or None)


def at_least(x: UFloat | None) -> Measured | None:
    """A lower bound as a plain number."""
    return None if x is None else Measured(float(x.nominal_value), least=True)


def uncertain_again(x: Measured) -> UFloat:
    """A figure with its standard uncertainty, as a variable of its own."""
    return variable(x.value, x.u or 0.0, "learnt")


def exactly(value: float) -> UFloat:
    """A figure that no reading stands behind, so that it carries no uncertainty of its own."""
    from uncertainties.core import to_affine_scalar

    return to_affine_scalar(value)


def mean(values: Sequence[UFloat]) -> UFloat:
    """Mean of figures, their uncertainties and what they share carried along; `values` must not be empty."""
    return sum(values[1:], values[0]) / len(values)
