"""The field in words: land signs of the wind with their limits, and why a kite is not offered."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from msgspec import Struct

from bowbook.book.records import Flight, Units
from bowbook.findings.land_signs import sign_limits
from bowbook.wording import numbers

NOT_THERE: Final[Mapping[str | None, str]] = {
    "planned": "is still planned",
    "building": "is still being built",
    "given": "is given away",
    "lost": "is lost",
    "broken": "is broken",
    "retired": "is retired",
    "resting": "is resting",
}
"""The stages in which a kite is not there to fly, and how that is said."""

ANSWERS: Final[Mapping[str, str]] = {"little": "too little", "liked": "liked", "much": "too much"}
"""What a flyer says of a kite in the wind of that moment."""

MARKS: Final[Mapping[str, str]] = {
    "pull": "light to hauls",
    "turn": "lazy to spins",
    "track": "wanders to holds",
    "control": "wild to obeys",
    "speed": "slow to fast",
}
"""What may be marked from 1 to 5, and what 1 and 5 mean."""

_SIGNS: Final = (
    ("Smoke goes straight up", "smoke goes straight up"),
    ("Smoke leans over, a ribbon hangs", "smoke leans over"),
    ("Wind on your face, leaves rustle", "leaves rustle"),
    ("Leaves and thin twigs never still", "thin twigs never still"),
    ("Dust and paper lift, small boughs move", "dust and paper lift"),
    ("Young trees sway, the pond has crests", "young trees sway"),
    ("Big boughs move, wires hum", "big boughs move"),
)
_STEPS: Final = {"mph": 1.0, "m/s": 0.5, "km/h": 2.0, "kn": 1.0, "ft/s": 2.0}


def taps_said(flight: Flight, units: Units) -> str:
    """The taps of a flight: "liked at 6 and 7 mph, too much at 9 mph"; "" without any."""
    parts = []
    for answer in ("liked", "little", "much"):
        winds = sorted({round(tap.wind_m_s, 6) for tap in flight.taps if tap.said == answer})
        if winds:
            named = [numbers.number(round(numbers.wind_number(wind, units), 1)) for wind in winds]
            parts.append(f"{ANSWERS[answer]} at {numbers.listed(named)}\u00a0{numbers.wind_unit(units)}")
    return ", ".join(parts)


def not_there(stage: str | None, kites: int) -> str:
    """Why so many kites are not offered: "is given away", "are given away"."""
    said = NOT_THERE[stage]
    return said if kites == 1 else said.replace("is ", "are ", 1)


class LandSign(Struct, frozen=True):
    """What the wind does to land, and between which winds, in the unit shown, at the book's height."""

    force: int
    words: str
    short: str
    winds: str
    low: float
    high: float


def land_signs(height_m: float, units: Units) -> tuple[LandSign, ...]:
    """The signs of Beaufort 0 to 6 with their limits as felt at the book's height."""
    signs = []
    for force, ((words, short), (low_m_s, high_m_s)) in enumerate(zip(_SIGNS, sign_limits(height_m), strict=True)):
        low, high = (numbers.wind_number(edge, units) for edge in (low_m_s, high_m_s))
        winds = f"{_edge(low)}–{_edge(high)}" if force else f"under {_edge(high)}"
        signs.append(LandSign(force, words, short, winds, round(low, 2), round(high, 2)))
    return tuple(signs)


def wind_step(units: Units) -> float:
    """How far one touch moves the wind, in the unit shown: about what a person can tell apart."""
    return _STEPS[numbers.wind_unit(units)]


def _edge(wind: float) -> str:
    """A limit no finer than a wind is felt."""
    return numbers.number(round(wind, 1) if wind < 3 else round(wind))
