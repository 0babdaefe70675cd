"""The wind in which a kite flexes: where its tips drop back by a tenth of the half."""

from __future__ import annotations

from collections.abc import Sequence

from bowbook.book.records import Kite
from bowbook.findings.bow import BareBow
from bowbook.findings.halves import Half
from bowbook.findings.ledger import Ledger, listed
from bowbook.findings.readings import UFloat, mean
from bowbook.findings.results import SailFindings
from bowbook.mechanics import planning, sail


def flex_wind(
    kite: Kite, bare: BareBow, skin: UFloat | None, of_sail: SailFindings, rho: float, ledger: Ledger
) -> UFloat | None:
    """The wind at which the tips drop back by a tenth of the half, m/s."""
    if bare.both is None or skin is None or not kite.sail.outline or kite.bow.length_m is None:
        ledger.want("wind.flex_m_s", _flex_wanting(kite, bare, skin))
        return None
    assert of_sail.width_m is not None  # there is an outline
    chord = sail.chord(kite.sail.outline)
    drops = [_drop_per_pressure(half, skin, chord, of_sail.width_m) for half in bare.both]
    from uncertainties import wrap

    return wrap(planning.flex_wind)(mean(drops), kite.bow.length_m / 2, rho)


def _drop_per_pressure(
    half: Half, skin: UFloat, chord: tuple[Sequence[float], Sequence[float]], width_m: float
) -> UFloat:
    """Tip drop of one half per pascal, m/Pa, carrying the uncertainty of half and skin."""
    from uncertainties import wrap

    if skin.nominal_value + half.EI.nominal_value <= 0:
        raise ValueError("bow and skin together come out with no stiffness")
    if half.uniform:  # then the drop goes as one over the rigidity
        return planning.drop_per_pressure(half.unit, *chord, width_m) / (half.EI + skin)

    def drop(EI: float, EI_skin: float) -> float:
        return planning.drop_per_pressure(half.unit.scaled(EI).plus(EI_skin), *chord, width_m)

    return wrap(drop)(half.EI, skin)


def _flex_wanting(kite: Kite, bare: BareBow, skin: UFloat | None) -> str:
    wanted = []
    if not kite.sail.outline:
        wanted.append("the sail's outline")
    if kite.bow.length_m is None:
        wanted.append("the bow's length")
    if bare.both is None:
        wanted.append("readings of both halves")
    if skin is None:
        wanted.append("the skin's part of the stiffness")
    return listed(wanted)
