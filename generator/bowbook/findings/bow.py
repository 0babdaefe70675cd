"""The bare bow: the two halves of the last round, the whole reading that checks them, the rod's modulus."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.book.records import Book, Kite, Press, Reading, Round, Side
from bowbook.findings.halves import (
    Half,
    bare_load,
    half_from,
    hold_factor,
    moment_profile,
    own_section,
    second_moment,
    stations_of,
)
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Precision, UFloat, mean, measured
from bowbook.findings.results import Balance, BowFindings, RoundBalance, Stiffness, Verdict
from bowbook.mechanics import balance, column

SIDES: tuple[Side, Side] = ("left", "right")


class BareBow(Struct, frozen=True):
    """The halves that the rest is worked out from, each with the place of its reading; None where not read."""

    left: Half | None
    right: Half | None

    def half(self, side: Side) -> Half | None:
        """The half on that side."""
        return self.left if side == "left" else self.right

    @property
    def both(self) -> tuple[Half, Half] | None:
        """Left and right, where both are known."""
        return (self.left, self.right) if self.left and self.right else None

    @property
    def mean_EI(self) -> UFloat | None:
        """Mean rigidity of the two halves, N m²."""
        return (self.left.EI + self.right.EI) / 2 if self.left and self.right else None


def bare_bow(kite: Kite, precision: Precision, ledger: Ledger) -> BareBow:
    """The two halves as last read bare; a half not read in the last round keeps an earlier, unshaved reading."""
    halves: dict[Side, Half | None] = {}
    for side in SIDES:
        halves[side] = _last_half(kite, side, precision, ledger)
    if kite.bench and kite.bench[-1].shave:
        ledger.assume("The last round's readings were taken before its shave; measure again to see what it did.")
    return BareBow(halves["left"], halves["right"])


def _last_half(kite: Kite, side: Side, precision: Precision, ledger: Ledger) -> Half | None:
    figure = f"bow.{side}.EI_Nm2"
    for n in reversed(range(len(kite.bench))):
        bench = kite.bench[n]
        reading = bench.left if side == "left" else bench.right
        if n < len(kite.bench) - 1 and bench.shave and bench.shave.side == side:
            ledger.want(figure, f"A reading of the {side} half since it was shaved.")
            return None
        if reading is not None:
            if n < len(kite.bench) - 1:
                ledger.assume(f"The {side} half was not read in the last round; its reading before that stands.")
            return half_from(reading, kite, side, precision, ledger, f"bench.{n}.{side}")
    ledger.want(figure, f"A reading of the {side} half: press it on the scale and write the grams under bench.")
    return None


def _press_mean(half: Half | None) -> UFloat | None:
    return half.press if half else None


def bow_findings(book: Book, kite: Kite, bare: BareBow, precision: Precision, ledger: Ledger) -> BowFindings:
    """Rigidity and reading of either half and of the whole, the inferred hold, and the rod's modulus."""
    for side in SIDES:
        half = bare.half(side)
        if half is None:
            ledger.want(f"bow.{side}.press_N", f"A press reading of the {side} half.")
        elif half.press is None:
            ledger.want(f"bow.{side}.press_N", "Nothing: this half was measured by sag or droop, not by pressing.")
    whole, load = _whole(kite, precision, ledger)
    return BowFindings(
        left=Stiffness(measured(bare.left.EI if bare.left else None), measured(_press_mean(bare.left))),
        right=Stiffness(measured(bare.right.EI if bare.right else None), measured(_press_mean(bare.right))),
        whole=whole,
        hold_factor=_inferred_hold(kite, bare, load, ledger),
        modulus_Pa=measured(rod_modulus(book, kite, bare, precision)),
    )


def _whole(kite: Kite, precision: Precision, ledger: Ledger) -> tuple[Stiffness, UFloat | None]:
    """The whole bow's rigidity and reading, and the pinned critical load behind the reading."""
    for n in reversed(range(len(kite.bench))):
        reading = kite.bench[n].whole
        if reading is None:
            continue
        press = measured(precision.press(reading))
        free = reading.length_m or kite.bow.length_m
        if free is None:
            ledger.want("bow.whole.EI_Nm2", "The bow's length, to turn the whole reading into stiffness.")
            return Stiffness(None, press), None
        try:
            load = bare_load(reading, kite.bow, free, precision, ledger)
        except ValueError as error:
            ledger.problem(f"bench.{n}.whole", error, "Measure the whole bow once more, or correct this line.")
            return Stiffness(None, press), None
        hold = hold_factor(reading.hold)
        EI = column.rigidity_from_load(1.0, free, hold) * load
        return Stiffness(measured(EI), press), load * hold**2
    sentence = "A reading of the whole bow, pressed end to end (optional: it checks how the halves were held)."
    ledger.want("bow.whole.EI_Nm2", sentence)
    ledger.want("bow.whole.press_N", sentence)
    return Stiffness(), None


def _inferred_hold(kite: Kite, bare: BareBow, whole_load: UFloat | None, ledger: Ledger) -> float | None:
    """The one effective-length factor of the halves' hold that squares them with the whole reading."""
    both = bare.both
    if whole_load is None or both is None or kite.bow.length_m is None:
        ledger.want("bow.hold_factor", "Press readings of both halves and of the whole bow in one round.")
        return None
    left, right = both
    if left.press is None or right.press is None:
        ledger.want("bow.hold_factor", "Both halves measured by pressing: sag and droop have no hold to infer.")
        return None
    pinned = left.profile.scaled(left.hold**-2).reversed().joined(right.profile.scaled(right.hold**-2))
    factor = math.sqrt(float(whole_load.nominal_value) / column.pinned_column_load(pinned))
    declared = (left.hold + right.hold) / 2
    if abs(factor - column.CLAMPED) < abs(factor - declared):
        ledger.warn(
            f"The whole reading says the halves were held with an effective-length factor of {factor:.2f}: nearer to "
            f"clamped ({column.CLAMPED:.3f}) than to the {declared:.3g} declared. The figures keep what was declared; "
            "if your fingers held the centre stiffly, write hold: clamped."
        )
    return factor


def rod_modulus(book: Book, kite: Kite, bare: BareBow, precision: Precision) -> UFloat | None:
    """Young's modulus of the bow's rod, Pa: from the present taper, or from the first round before any shaving."""
    if kite.bow.length_m is None:
        return None
    found = []
    for side in SIDES:
        stations = stations_of(kite, side)
        if stations:
            half = bare.half(side)
            if half:
                moments = moment_profile(stations, kite.bow.length_m / 2)
                equivalent = column.pinned_column_load(moments) * (kite.bow.length_m / 2) ** 2 / math.pi**2
                found.append(half.EI / equivalent)
            continue
        own = own_section(book, kite)
        reading = _first_reading(kite, side)
        if own is None or reading is None:
            continue
        half = half_from(reading, kite, side, precision, Ledger(kite), "bench.0")
        if half:
            found.append(half.EI / second_moment(own))
    return mean(found) if found else None


def _first_reading(kite: Kite, side: Side) -> Reading | None:
    return (kite.bench[0].left if side == "left" else kite.bench[0].right) if kite.bench else None


def balance_findings(book: Book, kite: Kite, bare: BareBow, precision: Precision, ledger: Ledger) -> Balance:
    """Which half is stiffer, how sure that is, and how it went round by round."""
    tolerance = book.settings.tolerance
    rounds = tuple(_round(book, kite, n, bench, precision) for n, bench in enumerate(kite.bench))
    both = bare.both
    if both is None:
        missing = " and ".join(side for side in SIDES if bare.half(side) is None)
        sentence = f"A reading of the {missing} half." if " and " not in missing else "A reading of both halves."
        ledger.want("balance.difference", sentence)
        ledger.want("balance.verdict", sentence)
        return Balance(tolerance=tolerance, rounds=rounds)
    d = balance.difference(both[0].EI, both[1].EI)
    expanded = balance.expanded(d, precision.coverage)
    verdict = balance.verdict(float(d.nominal_value), expanded, tolerance)
    more = None
    if verdict == "too close to call":
        more = _more_readings(both, precision, tolerance)
    return Balance(measured(d), expanded, tolerance, verdict, more, rounds)


def _more_readings(both: tuple[Half, Half], precision: Precision, tolerance: float) -> int | None:
    """How many more press readings per side would settle a close call; None where none would."""
    left, right = both
    if left.press is None or right.press is None:
        return None
    assert isinstance(left.reading, Press)  # a half with a press reading came from one
    assert isinstance(right.reading, Press)
    return balance.more_readings(
        float(left.press.nominal_value),
        float(right.press.nominal_value),
        len(left.reading.values_N),
        len(right.reading.values_N),
        precision.relative,
        precision.freedom,
        precision.scale_N,
        tolerance,
    )


def _round(book: Book, kite: Kite, n: int, bench: Round, precision: Precision) -> RoundBalance:
    aside = Ledger(kite)  # what is wanting here is said by the last round
    left = half_from(bench.left, kite, "left", precision, aside, f"bench.{n}.left") if bench.left else None
    right = half_from(bench.right, kite, "right", precision, aside, f"bench.{n}.right") if bench.right else None
    d: UFloat | None = None
    verdict: Verdict | None = None
    if left and right:
        d = balance.difference(left.EI, right.EI)
        verdict = balance.verdict(
            float(d.nominal_value), balance.expanded(d, precision.coverage), book.settings.tolerance
        )
    return RoundBalance(
        bench.on,
        measured(d),
        verdict,
        measured(_press_mean(left)),
        measured(_press_mean(right)),
        measured(precision.press(bench.whole)) if bench.whole else None,
    )
