"""How a maker's fingers hold the middle of a bow: neither a hinge nor a vice, learnt from bows pressed whole."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, hypot, log, pi, sqrt, tan
from typing import Literal, NamedTuple

from bowbook.mechanics.column import pinned_column_load
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Profile

FINGERTIP = 0.985  # effective-length factor of the whole bow between scale and fingertip
FINGERTIP_u = 0.017  # relative, of the rigidity that comes from it
UNLEARNT = 0.93  # effective-length factor of fingers of which nothing is known: between 0.85 and 1
UNLEARNT_u = 0.09  # relative, of the rigidity
LEAST_HOLD, GREATEST_HOLD = 0.705, 0.995
FEWEST_FOR_SPRING = 3  # bows
_ASSUMED_SPREAD = 0.03  # of the factor between bows, and the weight of that assumption
_ASSUMED_DEGREES = 3
_CLAMPED_ROOT = 4.493409457909064  # tan u = u


class HandSample(NamedTuple):
    """One bow pressed by both halves and whole: the factor it shows, and load times length of a half, N m."""

    factor: float
    load_times_length: float


class Hand(NamedTuple):
    """A hold: an effective-length factor or a turning spring, N m/rad, whichever is not None.

    `u` is the relative standard uncertainty of a rigidity measured with it, `degrees` those of its scatter, `bows` the
    number of bows it was learnt from.
    """

    factor: float | None
    spring: float | None
    u: float
    degrees: int
    bows: int

    @property
    def kind(self) -> Literal["K", "spring"]:
        """Whether the fingers hold like a constant factor or like a spring."""
        return "K" if self.spring is None else "spring"


FINGERS = Hand(UNLEARNT, None, UNLEARNT_u, _ASSUMED_DEGREES, 0)


def hold_shown(whole_load: float, left: Profile, right: Profile) -> float:
    """The effective-length factor that a whole press shows the halves to have been pressed with.

    Parameters
    ----------
    whole_load : critical load of the whole bow, N, > 0
    left, right : EI(s) of either half, N m², as if pressed between hinges, s = 0 at the centre mark

    Returns
    -------
    0.985 √(whole load / load of the two halves together), held within 0.705 and 0.995; no unit.

    Raises
    ------
    ValueError : a load or a rigidity is not positive.

    Source: the two-part column of Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2; 0.985 ± 0.009 is the
    fingertip end of the whole press, measured on a few bows.

    >>> half = Profile.uniform(0.02, 0.32)
    >>> hold_shown(0.8 * pi**2 * 0.02 / 0.64**2, half, half) / (0.985 * sqrt(0.8))
    1.000000000
    """
    positive("the load of the whole bow", whole_load, "N")
    apart = pinned_column_load(left.reversed().joined(right))
    return min(max(FINGERTIP * sqrt(whole_load / apart), LEAST_HOLD), GREATEST_HOLD)


def spring_of(factor: float, load: float, length: float) -> float:
    """The turning spring that holds a half with a factor.

    Parameters
    ----------
    factor : effective-length factor, above 0.6992 and below 1
    load : critical load of the half, N, > 0
    length : its free length, m, > 0

    Returns
    -------
    P ℓ / (u cot u − 1) with u = π/factor, N m/rad.

    Raises
    ------
    ValueError : a quantity is outside its range.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2, a column with an elastic restraint.

    >>> factor_of(spring_of(0.85, 2.0, 0.32), 2.0, 0.32)
    0.8500000
    """
    positive("the load", load, "N")
    positive("the free length", length, "m")
    if not pi / _CLAMPED_ROOT < factor < 1:
        raise ValueError(f"the hold factor is {factor:g}; a spring holds with more than 0.699 and less than 1")
    u = pi / factor
    return load * length / (u / tan(u) - 1)


def factor_of(spring: float, load: float, length: float) -> float:
    """The effective-length factor with which a turning spring holds a uniform half that bows under a load.

    Parameters
    ----------
    spring : N m/rad, > 0
    load : critical load, N, > 0
    length : free length, m, > 0

    Returns
    -------
    π/u with u cot u − 1 = P ℓ / spring, u between π and 4.4934; no unit.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> factor_of(0.5, 2.0, 0.32)
    0.7450342
    """
    positive("the spring of the hand", spring, "N m/rad")
    positive("the load", load, "N")
    positive("the free length", length, "m")
    wanted = load * length / spring
    low, high = pi, _CLAMPED_ROOT
    u = 0.5 * (low + high)
    for _ in range(200):
        miss = u / tan(u) - 1 - wanted
        low, high = (u, high) if miss > 0 else (low, u)
        slope = 1 / tan(u) - u * (1 + 1 / tan(u) ** 2)
        step = u - miss / slope
        new = step if low < step < high else 0.5 * (low + high)
        if abs(new - u) <= 1e-15 * u:
            break
        u = new
    return pi / u


def learn_hand(samples: Sequence[HandSample]) -> Hand:
    """How a maker's fingers hold, from bows pressed by both halves and whole.

    Parameters
    ----------
    samples : one of each bow; factors without unit, loads times lengths in N m

    Returns
    -------
    The mean factor, or from three bows on the geometric mean spring where that leaves less scatter in the logarithm
    of the rigidity. Without any sample 0.93, give or take 9 % of the rigidity. The spread between bows starts from
    0.03 of the factor with the weight of three bows.

    >>> hand = learn_hand([HandSample(0.84, 0.6), HandSample(0.86, 0.6)])
    >>> hand.kind, hand.factor, hand.u
    ('K', 0.85, 0.0794340)
    """
    if not samples:
        return FINGERS
    m = len(samples)
    degrees = _ASSUMED_DEGREES + m - 1
    factor = fsum(one.factor for one in samples) / m
    springs = [spring_of(one.factor, one.load_times_length, 1.0) for one in samples]
    spring = exp(fsum(log(c) for c in springs) / m)
    by_factor = [2 * log(factor / one.factor) for one in samples]
    by_spring = [2 * log(factor_of(spring, one.load_times_length, 1.0) / one.factor) for one in samples]
    prior = _ASSUMED_DEGREES * _ASSUMED_SPREAD**2
    if m >= FEWEST_FOR_SPRING and _squares(by_spring) < _squares(by_factor):
        s = sqrt((prior * (2 / factor) ** 2 + _squares(by_spring)) / degrees)
        return Hand(None, spring, _u(s, m), degrees, m)
    s_factor = sqrt((prior + _squares([one.factor - factor for one in samples])) / degrees)
    return Hand(factor, None, _u(2 * s_factor / factor, m), degrees, m)


def _squares(values: Sequence[float]) -> float:
    return fsum(value * value for value in values)


def _u(s: float, bows: int) -> float:
    """Relative standard uncertainty of the next rigidity: the spread between bows, the mean's own, the fingertip's."""
    return hypot(s * sqrt(1 + 1 / bows), FINGERTIP_u)
