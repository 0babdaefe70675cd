"""What the sail's skin adds to the bow: measured, learnt from its neighbours, or a floor from its bending."""

from __future__ import annotations

from bowbook.book.records import Book, Kite, Press, Side
from bowbook.findings.bench_results import Measured
from bowbook.findings.bow import SIDES, BareBow
from bowbook.findings.halves import Half, half_from
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.readings import LENGTH, Measuring, UFloat, mean, measured, without
from bowbook.mechanics.pressing import added_rigidity
from bowbook.mechanics.student import t_quantile


def covered_skin(kite: Kite, bare: BareBow, m: Measuring, ledger: Ledger) -> UFloat | None:
    """Rigidity the skin added on the bench, N m²: covered press less bare press, mean of the halves read; 0 or more."""
    if kite.covered is None:
        return None
    try:
        added = [
            EI
            for side, reading in zip(SIDES, (kite.covered.left, kite.covered.right), strict=True)
            if reading is not None and (EI := _added(kite, side, reading, bare.half(side), m, ledger)) is not None
        ]
    except ValueError as error:
        ledger.problem("covered", error, "A skin can only add stiffness: press the covered bow again, held alike.")
        ledger.want("skin.EI_Nm2", "A covered press that is no lower than the bare one.")
        return None
    if not added:
        unread = [side for side in SIDES if getattr(kite.covered, side) is not None and bare.half(side) is None]
        wanted = f"a bare reading of the {unread[0]} half in the same state" if unread else "the bow's length"
        sentence = wanted_sentence([f"{wanted}, to compare the covered press with"])
        ledger.warn(f"The covered readings wait for {wanted}, to be compared.")
        for figure in ("skin.EI_Nm2", "skin.share", "total.EI_Nm2"):
            ledger.want(figure, sentence)
        return None
    EI = mean(added)
    value = float(EI.nominal_value)
    if value >= 0:
        return EI
    degrees = m.precision.presses.degrees
    if -value > t_quantile(0.975, degrees) * EI.std_dev:
        lower = ValueError("the covered readings are lower than the bare ones by more than their uncertainty")
        ledger.problem("covered", lower, "A skin can only add stiffness: press the covered bow again, held alike.")
        ledger.want("skin.EI_Nm2", "A covered press that is no lower than the bare one.")
        return None
    ledger.warn("The covered press is a little lower than the bare one: the skin's part is lost in the readings.")
    return EI - value


def _added(kite: Kite, side: Side, reading: Press, bare: Half | None, m: Measuring, ledger: Ledger) -> UFloat | None:
    """What the skin added to one half."""
    from uncertainties import wrap

    if bare is None or bare.EI is None:
        return None
    half = half_from(reading, kite, side, m, ledger, f"covered.{side}", another_day=True)
    before = half_from(bare.reading, kite, side, m, Ledger(kite), "bench", another_day=True)
    if half is None or half.EI is None or before is None or before.EI is None:
        return None
    if half.uniform or half.pressed is None or half.pressed.free_m is None:
        return half.EI - before.EI
    free, hold, unit = half.pressed.free_m, half.pressed.hold, bare.unit

    def added(EI: float, load: float) -> float:
        return added_rigidity(unit.scaled(EI), load, free, hold)

    open_by_hold = half.EI / half.EI.nominal_value  # what hold and lengths leave open of both alike
    as_read = without(without(before.EI, "hold"), LENGTH)
    value = wrap(added)(as_read, half.pressed.load)
    return value + value.nominal_value * _of_hold(open_by_hold)


def _of_hold(relative: UFloat) -> UFloat:
    """What is not of the readings in a relative figure: hold and lengths."""
    out: UFloat = 0.0
    for variable, slope in relative.derivatives.items():
        if variable.tag in ("hold", LENGTH):
            out = out + slope * (variable - variable.nominal_value)
    return out


def covered_press(kite: Kite, m: Measuring) -> tuple[Measured | None, Measured | None]:
    """Left and right covered readings as the scale said them, N."""
    if kite.covered is None:
        return None, None
    left, right = kite.covered.left, kite.covered.right
    return measured(m.press(left)) if left else None, measured(m.press(right)) if right else None


def want_skin(kite: Kite, book: Book, ledger: Ledger) -> None:
    """Say what would give the skin's part."""
    skin = book.skins.get(kite.sail.skin or "")
    if skin is None:
        sentence = "The sail's skin, or a covered press of both halves."
    elif not kite.sail.outline:
        sentence = "The sail's outline, or a covered press of both halves."
    else:
        sentence = (
            "A covered press of both halves, or a strip-over-an-edge test of the skin "
            "(overhang in stock/skins.yaml, with its weight per area)."
        )
    for figure in ("skin.EI_Nm2", "skin.share"):
        ledger.want(figure, sentence)
    ledger.want("total.EI_Nm2", "The skin's part: " + sentence[0].lower() + sentence[1:])
