"""The bare bow: the two halves of the last round, the whole reading beside them, the rod's modulus."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.book.records import Book, Kite, Press, Reading, Side
from bowbook.findings.bench_results import BowFindings, Stiffness
from bowbook.findings.halves import Half, half_from, pressed_as
from bowbook.findings.hold import hold_inferred
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.profiles import moment_profile
from bowbook.findings.readings import Measuring, UFloat, mean, measured, reading_of, variable
from bowbook.findings.sections import own_section, second_moment, stations_of
from bowbook.mechanics import column
from bowbook.mechanics.hand import FINGERTIP

SIDES: tuple[Side, Side] = ("left", "right")


class BareBow(Struct, frozen=True):
    """The halves that the rest is worked out from, and the load behind the whole press; None where not read.

    `whole_load` is the critical load of the bow between hinges, N: the fingertip end is taken off.
    """

    left: Half | None
    right: Half | None
    whole_load: UFloat | None = None

    def half(self, side: Side) -> Half | None:
        """The half on that side."""
        return self.left if side == "left" else self.right

    @property
    def both(self) -> tuple[Half, Half] | None:
        """Left and right, where both rigidities are known."""
        left, right = self.left, self.right
        return (left, right) if left and right and left.EI is not None and right.EI is not None else None

    @property
    def wanting(self) -> list[str]:
        """What would give the rigidity of both halves, as parts of a sentence; empty where both are known."""
        unread = [side for side in SIDES if self.half(side) is None]
        wanted = [f"a reading of {'both halves' if len(unread) == 2 else f'the {unread[0]} half'}"] if unread else []
        read = [half for half in (self.left, self.right) if half is not None]
        return wanted + (["the bow's length"] if any(half.EI is None for half in read) else [])

    @property
    def mean_EI(self) -> UFloat | None:
        """Mean rigidity of the two halves, N m²."""
        both = self.both
        return mean([half.EI for half in both]) if both else None


def bare_bow(kite: Kite, m: Measuring, ledger: Ledger) -> BareBow:
    """The two halves as last read bare; a half not read in the last round keeps an earlier, unshaved reading."""
    halves = {side: _last_half(kite, side, m, ledger) for side in SIDES}
    if kite.bench and kite.bench[-1].shaves:
        ledger.assume("The last round's readings were taken before its shave; measure again to see what it did.")
    return BareBow(halves["left"], halves["right"], _whole_load(kite, m, ledger))


def _last_half(kite: Kite, side: Side, m: Measuring, ledger: Ledger) -> Half | None:
    figure = f"bow.{side}.EI_Nm2"
    for n in reversed(range(len(kite.bench))):
        bench = kite.bench[n]
        reading = reading_of(bench, side)
        if n < len(kite.bench) - 1 and any(shave.side == side for shave in bench.shaves):
            ledger.want(figure, f"A reading of the {side} half since it was shaved.")
            return None
        if reading is not None:
            if any(reading_of(later, other) for later in kite.bench[n + 1 :] for other in SIDES):
                ledger.assume(f"The {side} half was not read in the last round; its reading before that stands.")
            return half_from(reading, kite, side, m, ledger, f"bench.{n}.{side}")
    ledger.want(figure, f"A reading of the {side} half: press it on the scale and write the grams under bench.")
    return None


def last_whole(kite: Kite) -> tuple[int, Press] | None:
    """The newest whole press that nothing was shaved after, and its round's number."""
    for n in reversed(range(len(kite.bench))):
        whole = kite.bench[n].whole
        if n < len(kite.bench) - 1 and kite.bench[n].shaves:
            return None
        if whole is not None:
            return n, whole
    return None


def _whole_load(kite: Kite, m: Measuring, ledger: Ledger) -> UFloat | None:
    """The load at which the whole bow would bow between hinges, N."""
    found = last_whole(kite)
    if found is None:
        return None
    n, reading = found
    try:
        pressed = pressed_as(reading, kite, None, m, ledger)
    except ValueError as error:
        ledger.problem(f"bench.{n}.whole", error, "Press the whole bow once more, or correct what is written here.")
        return None
    if reading.hold is None:
        return pressed.load * FINGERTIP**2 * variable(1.0, m.precision.sure.hinge_u, "whole")
    return pressed.load * pressed.hold.factor**2


def bow_findings(
    book: Book, kite: Kite, bare: BareBow, modulus: UFloat | None, m: Measuring, ledger: Ledger
) -> BowFindings:
    """Rigidity and reading of either half and of the whole, the inferred hold, and the rod's modulus."""
    for side in SIDES:
        half = bare.half(side)
        if half is None:
            ledger.want(f"bow.{side}.press_N", f"A press reading of the {side} half.")
        elif half.pressed is None:
            ledger.want(f"bow.{side}.press_N", "Nothing: this half was measured by sag or droop, not by pressing.")
    rod = book.rods.get(kite.bow.rod or "")
    return BowFindings(
        left=_stiffness(bare.left),
        right=_stiffness(bare.right),
        whole=_whole(kite, bare, m, ledger),
        mean_EI_Nm2=measured(bare.mean_EI),
        hand=m.precision.hand,
        material=rod.material if rod else None,
        hold_factor=_inferred_hold(kite, ledger),
        modulus_Pa=measured(modulus),
    )


def _stiffness(half: Half | None) -> Stiffness:
    if half is None:
        return Stiffness()
    return Stiffness(measured(half.EI), measured(half.pressed.read if half.pressed else None))


def _whole(kite: Kite, bare: BareBow, m: Measuring, ledger: Ledger) -> Stiffness:
    """The whole bow's rigidity and reading."""
    found = last_whole(kite)
    if found is None:
        shaved = any(bench.whole for bench in kite.bench)
        sentence = "A press of the whole bow, end to end" + (", since it was shaved." if shaved else ".")
        for figure in ("bow.whole.EI_Nm2", "bow.whole.press_N"):
            ledger.want(figure, sentence)
        return Stiffness()
    press = measured(m.press(found[1]))
    length = found[1].length_m or kite.bow.length_m
    if length is None or bare.whole_load is None:
        ledger.want(
            "bow.whole.EI_Nm2",
            "The bow's length, to turn the whole reading into stiffness."
            if length is None
            else "A whole reading that a rod can give.",
        )
        return Stiffness(None, press)
    guessed = m.about_length**2 if found[1].length_m is None and "bow.length" in kite.about else 1
    EI = bare.whole_load * (length / math.pi) ** 2 * (1 + 2 * m.ruler_m / length) * guessed
    return Stiffness(measured(EI), press)


def _inferred_hold(kite: Kite, ledger: Ledger) -> float | None:
    """How the halves were held, from the whole press beside them in one round."""
    factor = hold_inferred(kite)
    if factor is None:
        wanted = [] if kite.bow.length_m else ["the bow's length"]
        wanted += [] if kite.bow.mass_kg else ["the bow's mass, weighed"]
        if not any(isinstance(b.left, Press) and isinstance(b.right, Press) and b.whole for b in kite.bench):
            wanted.append("a press of both halves and of the whole bow in one round")
        ledger.want(
            "bow.hold_factor", wanted_sentence(wanted or ["halves held in one way, and readings that a rod can give"])
        )
    return factor


def rod_modulus(book: Book, kite: Kite, bare: BareBow, m: Measuring) -> UFloat | None:
    """Young's modulus of the rod, from stations where the halves taper, or from the first round before any shaving."""
    if kite.bow.length_m is None:
        return None
    found = []
    for side in SIDES:
        stations = stations_of(kite, side)
        if stations:
            half = bare.half(side)
            if half and half.EI is not None:
                moments = moment_profile(stations, kite.bow.length_m / 2)
                equivalent = column.pinned_column_load(moments) * (kite.bow.length_m / 2) ** 2 / math.pi**2
                found.append(half.EI / equivalent)
            continue
        own = own_section(book, kite)
        reading = _first_reading(kite, side)
        if own is None or reading is None:
            continue
        half = half_from(reading, kite, side, m, Ledger(kite), "bench.0")
        if half and half.EI is not None:
            found.append(half.EI / second_moment(own))
    return mean(found) if found else None


def _first_reading(kite: Kite, side: Side) -> Reading | None:
    return reading_of(kite.bench[0], side) if kite.bench else None
