"""The wind in which a kite flexes: its bow's tension, or how hard its tips push back, against the wind on its sail."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal

from msgspec import Struct

from bowbook.book.records import Kite, Tips
from bowbook.book.written_numbers import ABOUT_U
from bowbook.findings.bench_results import Measured, SailFindings
from bowbook.findings.bow import BareBow
from bowbook.findings.halves import Half
from bowbook.findings.ledger import Ledger, wanted_sentence
from bowbook.findings.readings import LENGTH, TIPS, Measuring, UFloat, at_least, measured, variable, without
from bowbook.findings.results import LEAST_TIPS_N, TipsFindings
from bowbook.mechanics import elastica, planning, sail, scatter, tension


class FlexFindings(Struct, frozen=True):
    """The flex wind that stands, how it is known, the one by the tension alone, and the tips test."""

    flex_m_s: Measured | None = None
    how: Literal["computed", "tips"] | None = None
    computed_m_s: Measured | None = None
    tips: TipsFindings = TipsFindings()


def span_of(kite: Kite, width_m: float | None) -> float | None:
    """The distance between the tips, strung, m: as written, else the sail's width; None where no bow bends so."""
    span = kite.bow.span_m or width_m
    length = kite.bow.length_m
    return span if span is not None and (length is None or span < length) else None


def flex_findings(
    kite: Kite,
    bare: BareBow,
    skin: UFloat | None,
    floor: bool,
    of_sail: SailFindings,
    rho: float,
    m: Measuring,
    ledger: Ledger,
) -> FlexFindings:
    """The flex wind by the bow's tension and by the tips, and which of them stands. `floor`: the skin is a floor."""
    span = span_of(kite, of_sail.width_m)
    thrust = folded_thrust(kite, bare, skin, span) if span is not None else None
    computed: Measured | None = None
    tips = TipsFindings()
    if kite.sail.outline and span is not None:
        moment = tension.first_moment(*sail.chord(kite.sail.outline), span / 2)
        if thrust is not None:
            wind = _wind(thrust, lambda T: tension.flex_wind(T, span, moment, rho)) * _air(m, tied=True)
            wind = wind * variable(1.0, _by_guesses(kite, span), "guessed")
            computed = at_least(wind) if floor else measured(wind)
        tips = _tips(kite, span, moment, rho, m, ledger)
    else:
        tips = _tips(kite, None, None, rho, m, ledger)
    if computed is None and tips.flex_m_s is None:
        ledger.want("wind.flex_m_s", _wanting(kite, bare, skin, span, ledger))
    by_tips = tips.flex_m_s
    read = tips.read_N.value if tips.read_N else 0.0
    surer = by_tips and (computed is None or computed.least or by_tips.doubt < (computed.u or math.inf))
    if surer and read >= LEAST_TIPS_N:
        return FlexFindings(by_tips, "tips", computed, tips)
    return FlexFindings(computed, "computed" if computed else None, computed, tips)


def _by_guesses(kite: Kite, span: float) -> float:
    """What a bow's length and span that are written as guesses leave open of its flex wind, as a part of it.

    By what a twentieth more makes of a uniform bow's tension, read by its halves, on this sail.
    """

    def wind(length: float, span: float) -> float:
        thrust = length**2 * elastica.bend_uniform(1.0, length, tension.folded_span(span)).thrust_N
        return tension.flex_wind(thrust, span, tension.first_moment(*sail.chord(kite.sail.outline), span / 2), 1.0)

    length, parts = kite.bow.length_m, []
    if length is None:
        return 0.0
    if "bow.length" in kite.about:
        parts.append(wind(length * (1 + ABOUT_U), span) / wind(length, span) - 1)
    if "bow.span" in kite.about:
        parts.append(wind(length, span * (1 - ABOUT_U)) / wind(length, span) - 1)
    return math.hypot(*parts)


def _wind(x: UFloat, wind: Callable[[float], float]) -> UFloat:
    """A wind from what its square goes with."""
    from uncertainties import wrap

    return wrap(wind, [lambda x: wind(x) / (2 * x)])(x)


def _air(m: Measuring, *, tied: bool) -> UFloat:
    """What the season's air, and a crossing that is tied, leave open of a wind: a factor about 1."""
    air = variable(1.0, m.precision.sure.air_u, "air")
    return air * variable(1.0, m.precision.sure.tied_u, "tied") if tied else air


def folded_thrust(kite: Kite, bare: BareBow, skin: UFloat | None, span: float) -> UFloat | None:
    """The bow's tension with its skin, both tips back by a tenth of the half span, N; lengths cancel in it."""
    length = kite.bow.length_m
    if skin is None or length is None or span >= length:
        return None
    if bare.whole_load is not None:
        bow = bare.mean_EI if bare.mean_EI is not None else bare.whole_load * (length / math.pi) ** 2
        ratio = elastica.bend_uniform(1.0, length, tension.folded_span(span)).thrust_N * (length / math.pi) ** 2
        return without(bare.whole_load * ratio * (1 + skin / bow), LENGTH)
    if bare.both is None:
        return None
    return _from_halves(*bare.both, skin, span)


def _from_halves(left: Half, right: Half, skin: UFloat, span: float) -> UFloat:
    from uncertainties import wrap

    a, b, s = (without(x, LENGTH) for x in (left.EI, right.EI, skin))
    EI_a, EI_b, EI_s = (float(x.nominal_value) for x in (a, b, s))
    if min(EI_a, EI_b) + EI_s <= 0:
        raise ValueError("bow and skin together come out with no stiffness")
    bow = planning.skinned_thrust(left.unit.scaled(EI_a), right.unit.scaled(EI_b), EI_s, span)
    slopes = (bow.by_left / EI_a, bow.by_right / EI_b, bow.by_skin)
    return wrap(lambda *_: bow.thrust, [lambda *_, slope=slope: slope for slope in slopes])(a, b, s)


def last_tips(kite: Kite) -> Tips | None:
    """The newest tips test."""
    return next((bench.tips for bench in reversed(kite.bench) if bench.tips), None)


def _tips(
    kite: Kite, span: float | None, moment: float | None, rho: float, m: Measuring, ledger: Ledger
) -> TipsFindings:
    """The newest tips test worked out."""
    test = last_tips(kite)
    if test is None:
        ledger.want("tips.stiffness_N_m", "A tips test of the finished kite: both tips pressed back together.")
        return TipsFindings()
    p = m.precision
    mean = scatter.mean_reading(test.values_N, p.tips, p.scale_N)
    read = variable(mean.mean, mean.scatter, TIPS)
    if mean.step:
        read = read + variable(0.0, mean.step, "step")
    if test.about:
        read = read * variable(1.0, ABOUT_U, TIPS)
    read = read * m.gain + m.zero
    stiffness = read / (2 * variable(test.back_m, p.ruler_m / math.sqrt(6), "back"))
    flex = None
    if span is not None and moment is not None:
        flex = _wind(stiffness, lambda k: tension.flex_from_tips(k, span, moment, rho)) * _air(m, tied=False)
        if "bow.span" in kite.about:
            flex = flex * variable(
                1.0, abs(_tips_wind(kite, span * (1 - ABOUT_U)) / _tips_wind(kite, span) - 1), "guessed"
            )
    if span is not None and test.back_m > 0.2 * span:
        ledger.warn("The tips were pressed back by more than a fifth of the span: a tenth of the half span is best.")
    return TipsFindings(measured(stiffness), measured(flex), measured(read))


def _tips_wind(kite: Kite, span: float) -> float:
    """The flex wind of tips that push back with 1 N/m in air of 1 kg/m³, m/s."""
    return tension.flex_from_tips(1.0, span, tension.first_moment(*sail.chord(kite.sail.outline), span / 2), 1.0)


def _wanting(kite: Kite, bare: BareBow, skin: UFloat | None, span: float | None, ledger: Ledger) -> str:
    wanted = []
    if not kite.sail.outline:
        wanted.append("the sail's outline")
    if kite.bow.length_m is None:
        wanted.append("the bow's length")
    elif span is None and (kite.bow.span_m or kite.sail.outline):
        wanted.append("the bow's span, tip to tip, strung")
    if bare.both is None and bare.whole_load is None and "the bow's length" not in bare.wanting:
        wanted.append(f"a press of the whole bow, or {bare.wanting[0]}")
    of_skin = ledger.wanting.get("skin.EI_Nm2", "").rstrip(".")
    if skin is None and not (wanted and of_skin.startswith("The bow's length")):
        wanted.append(f"the skin's part: {of_skin[:1].lower()}{of_skin[1:]}" if of_skin else "the skin's part")
    return wanted_sentence(wanted) if wanted else "Readings that a rod can give."
