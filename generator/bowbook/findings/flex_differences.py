"""Why one kite flexes in another wind than another: how much of it is its stiffness, its bend, its sail."""

from __future__ import annotations

import math

from msgspec import Struct

from bowbook.findings.flexing import span_of
from bowbook.findings.results import Findings
from bowbook.mechanics import sail, tension


class Reasons(Struct, frozen=True):
    """Factors by which a kite's flex wind differs from another's; the three together give the `wind`."""

    wind: float
    stiffness: float  # bow and skin
    bend: float  # how long the bow is, and how far it is bent: what pushes the tips out for each stiffness
    sail: float  # its span and how its area lies about the spine


def reasons(kite: Findings, other: Findings) -> Reasons | None:
    """Why `kite` flexes in another wind than `other`; None where one's flex wind is not computed from its tension.

    The pressure in the flex wind is q = T h / (10 S₁) (`tension.flex_wind`): the wind goes with the root of the
    tension T = EI · b and of h / S₁, so that each part's factor is the root of that part's ratio.
    """
    own, others = _parts(kite), _parts(other)
    if own is None or others is None:
        return None
    wind, stiff, of_sail = (a / b for a, b in zip(own, others, strict=True))
    stiffness, by_sail = math.sqrt(stiff), math.sqrt(of_sail)
    return Reasons(wind, stiffness, wind / stiffness / by_sail, by_sail)


def _parts(kite: Findings) -> tuple[float, float, float] | None:
    """The flex wind by the tension, the stiffness, and h / S₁ of the sail."""
    flex = kite.wind.flex_m_s if kite.wind.flex_how == "computed" else None
    span = span_of(kite.kite, kite.sail.width_m)
    if flex is None or flex.least or kite.total is None or span is None or not kite.kite.sail.outline:
        return None
    moment = tension.first_moment(*sail.chord(kite.kite.sail.outline), span / 2)
    return flex.value, kite.total.value, span / moment
