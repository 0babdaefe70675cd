"""What each flyer likes, learnt from their own records: ratios of best wind to flex wind."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from msgspec import Struct

from bowbook.findings.bench_results import Measured
from bowbook.findings.results import ComfortPoint, FlyerFindings, Predicted, Range
from bowbook.mechanics import comfort


class Estimate(Struct, frozen=True):
    """A planned figure in SI; `u` is its standard uncertainty, None where that cannot be said."""

    value: float
    u: float | None


def flex_for(flyer: FlyerFindings | None, wind_m_s: float) -> Estimate:
    """The flex wind of a kite whose best wind is centred on `wind_m_s`, with what the flyer's records leave open."""
    if flyer is None or flyer.ratio_low is None or flyer.ratio_high is None:
        return Estimate(wind_m_s, None)
    ratio = math.sqrt(flyer.ratio_low * flyer.ratio_high)
    spread = (flyer.spread or 0.0) * math.sqrt(1 + 1 / flyer.kites)
    return Estimate(wind_m_s / ratio, wind_m_s / ratio * spread)


def flyer_findings(name: str, flown: Mapping[str, Range], flex: Mapping[str, float], flights: int) -> FlyerFindings:
    """One flyer's comfort zone from every kite that has both a best range and a flex wind (by kite key)."""
    keys = [key for key in flown if key in flex]
    points = [(flex[key], flown[key].low, flown[key].high) for key in keys]
    if len(keys) < comfort.FEWEST_KITES:
        missing = comfort.FEWEST_KITES - len(keys)
        sentence = (
            f"{missing} more kite{'s' if missing > 1 else ''} that {name} has flown in a noted best wind, "
            "with bow and skin measured, before anything is predicted."
        )
        return FlyerFindings(
            name, len(keys), flights, points=_points(keys, points, [None] * len(keys)), wanting=sentence
        )
    fit = comfort.fit(points)
    slope = comfort.slope(points)
    new = comfort.predict(fit, 1.0)
    return FlyerFindings(
        name,
        len(keys),
        flights,
        fit.ratio_low,
        fit.ratio_high,
        fit.spread,
        fit.left_out_error,
        Measured(slope.value, slope.u) if slope else None,
        Range(slope.low, slope.high) if slope else None,
        _points(keys, points, list(fit.left_out_middles)),
        ratio_lowest=new.low_interval[0],
        ratio_highest=new.high_interval[1],
    )


def _points(
    keys: list[str], points: list[tuple[float, float, float]], left_out: list[float | None]
) -> tuple[ComfortPoint, ...]:
    return tuple(ComfortPoint(key, *p, m) for key, p, m in zip(keys, points, left_out, strict=True))


Predictor = Callable[[float], Predicted]


def predictor(flyer: FlyerFindings) -> Predictor | None:
    """From a flex wind, m/s, to where this flyer is expected to like the kite; None under three kites."""
    if flyer.ratio_low is None:
        return None
    fit = comfort.fit([(p.flex_m_s, p.low, p.high) for p in flyer.points])

    def predict(flex_m_s: float) -> Predicted:
        found = comfort.predict(fit, flex_m_s)
        return Predicted(found.low, found.high, flyer.kites, Range(*found.low_interval), Range(*found.high_interval))

    return predict
