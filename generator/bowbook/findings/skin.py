"""What the sail's skin adds to the bow: measured, learnt from its neighbours, or a floor from its bending."""

from __future__ import annotations

from bowbook.book.records import Book, Kite
from bowbook.findings.bow import SIDES, BareBow
from bowbook.findings.halves import half_from
from bowbook.findings.ledger import Ledger
from bowbook.findings.readings import Precision, UFloat, mean, measured
from bowbook.findings.results import Measured


def covered_skin(kite: Kite, bare: BareBow, precision: Precision, ledger: Ledger) -> UFloat | None:
    """Rigidity the skin added on the bench, N m²: covered press less bare press, mean of the halves read."""
    if kite.covered is None:
        return None
    added = []
    for side in SIDES:
        reading = kite.covered.left if side == "left" else kite.covered.right
        bare_half = bare.half(side)
        if reading is None or bare_half is None:
            continue
        half = half_from(reading, kite, side, precision, ledger, f"covered.{side}")
        if half:
            added.append(half.EI - bare_half.EI)
    if not added:
        ledger.warn("The covered readings wait for bare readings of the same half to be compared with.")
        return None
    EI = mean(added)
    if EI.nominal_value <= 0:
        ledger.warn("The covered press is no greater than the bare one: the skin's part is lost in the readings.")
    return EI


def covered_press(kite: Kite, precision: Precision) -> tuple[Measured | None, Measured | None]:
    """Left and right covered readings as the scale said them, N."""
    if kite.covered is None:
        return None, None
    left, right = kite.covered.left, kite.covered.right
    return (
        measured(precision.press(left)) if left else None,
        measured(precision.press(right)) if right else None,
    )


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
