"""Where along a half it is stiff: sags at several places of it, compared."""

from __future__ import annotations

from bowbook.book.records import Kite, Sag, Side
from bowbook.findings.bench_results import StiffStretch
from bowbook.findings.readings import reading_of
from bowbook.mechanics.cantilever import sag_rigidity

LEAST = 0.03  # above the other places: less is what a ruler makes of one rod


def stiff_stretch(kite: Kite, side: Side) -> StiffStretch | None:
    """The stretch of a half that sags least, by the sags since it was last shaved; None where none stands out.

    `kite` is the record of one state: its bare rounds in the order of their days.
    """
    sags: dict[float, Sag] = {}
    for n in reversed(range(len(kite.bench))):
        if n < len(kite.bench) - 1 and any(shave.side == side for shave in kite.bench[n].shaves):
            break
        reading = reading_of(kite.bench[n], side)
        if isinstance(reading, Sag) and reading.at_m is not None:
            sags.setdefault(reading.at_m, reading)
    if len(sags) < 2:
        return None
    try:
        EI = {at: sag_rigidity(one.load_N, one.span_m, sum(one.drops_m) / len(one.drops_m)) for at, one in sags.items()}
    except ValueError:
        return None  # said where it was read
    stiffest = max(EI, key=lambda at: EI[at])
    others = [value for at, value in EI.items() if at != stiffest]
    above = EI[stiffest] / (sum(others) / len(others)) - 1
    if above < LEAST:
        return None
    reach = sags[stiffest].span_m / 2
    half_m = kite.bow.length_m / 2 if kite.bow.length_m else stiffest + reach
    return StiffStretch(side, max(0.0, stiffest - reach), min(half_m, stiffest + reach), above)
