"""What the wind shelf and the band pages say about the collection as a whole."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from itertools import pairwise

from bowbook.book.records import Band, Units
from bowbook.findings.results import Range
from bowbook.wording import numbers


def lead(kites: int, hung: int) -> str:
    """The shelf's opening line."""
    if kites == 0:
        return "Nothing hangs here yet."
    if hung == 0:
        return "One kite, still on the ground." if kites == 1 else f"{_some(kites)} kites, all still on the ground."
    if kites == 1:
        return "One kite, hung where it likes the wind."
    if hung == kites:
        return f"{_some(kites)} kites, hung where they like the wind."
    they = "it likes" if hung == 1 else "they like"
    return f"{_some(kites)} kites: {numbers.count(hung)} hung where {they} the wind, the rest on the ground."


def opening(kites: int, hung: int) -> tuple[str, str]:
    """The shelf's opening line, in two parts: between them stands the flyer whose winds it shows."""
    if kites == 1:
        return "One kite, hung on the winds that", "likes it in."
    if hung == kites:
        return f"{_some(kites)} kites, each hung on the winds that", "likes it in."
    rest = f"{numbers.counted(kites - hung, 'is', 'are')} still on the ground"
    return f"{_some(kites)} kites: {numbers.count(hung)} hung on the winds that", f"likes them in, {rest}."


def _some(kites: int) -> str:
    return numbers.capital(numbers.count(kites))


def coverage(spans: Iterable[Range]) -> tuple[Range, ...]:
    """The stretches of wind that some kite likes, m/s, from light to strong, joined where they touch."""
    joined: list[Range] = []
    for span in sorted(spans, key=lambda r: (r.low, r.high)):
        if joined and span.low <= joined[-1].high:
            joined[-1] = Range(joined[-1].low, max(joined[-1].high, span.high))
        else:
            joined.append(span)
    return tuple(joined)


def gaps(covered: tuple[Range, ...], units: Units) -> str | None:
    """A sentence on the winds between the lightest and the strongest that no kite likes; None without any."""
    between = [numbers.winds(Range(a.high, b.low), units) for a, b in pairwise(covered) if b.low > a.high]
    if not between:
        return None
    return f"No kite here likes {numbers.listed(between, 'or')}."


def band_lead(band: Band, flown: int, predicted: int, units: Units) -> str:
    """A band page's opening line."""
    wind = numbers.winds(Range(band.low_m_s, band.high_m_s), units)
    if not flown and not predicted:
        return f"{wind}. No kite here is for this wind yet."
    if not predicted:
        return f"{wind}. {numbers.capital(numbers.counted(flown, 'kite'))} flown in it."
    should = f"{numbers.counted(predicted, 'kite')} that should like it"
    if not flown:
        return f"{wind}. {numbers.capital(should)}, none flown in it yet."
    return f"{wind}. {numbers.capital(numbers.counted(flown, 'kite'))} flown in it, and {should}."


def band_fill(band: Band, units: Units) -> str:
    """What would fill an empty band."""
    wind = numbers.winds(Range(band.low_m_s, band.high_m_s), units)
    return f"A kite hangs here once a flyer liked it best somewhere in {wind}, or once its stiffness predicts that."


def band_command(band: Band, flex_m_s: Mapping[str, float], units: Units) -> str:
    """What to type for the planner's answer, for the sail that comes nearest to this wind already.

    `flex_m_s`: the wind in which each kite flexes, by key.
    """
    low, high = numbers.wind_number(band.low_m_s, units), numbers.wind_number(band.high_m_s, units)
    wind = f'"{numbers.number(low)}-{numbers.number(high)} {numbers.wind_unit(units)}"'
    middle = (band.low_m_s + band.high_m_s) / 2  # a band may begin at nothing
    nearest = min(flex_m_s, key=lambda key: (_far(flex_m_s[key], middle), key), default="KITE")
    return f"bowbook choose {nearest} --wind {wind}"


def _far(flex_m_s: float, wind_m_s: float) -> float:
    """How far, as a ratio, a kite's flex wind is from a wind."""
    return max(flex_m_s / wind_m_s, wind_m_s / flex_m_s)
