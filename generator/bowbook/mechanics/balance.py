"""Whether two halves are as stiff as one another, and what it would take to know."""

from __future__ import annotations

from math import fsum, hypot, inf, sqrt
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeVar

from bowbook.mechanics.limits import positive
from bowbook.mechanics.student import combined_degrees, t_cdf, t_quantile

if TYPE_CHECKING:
    from uncertainties import UFloat

Verdict = Literal["even", "left stiffer", "right stiffer", "too close to call"]
Number = TypeVar("Number", float, "UFloat")

STIFFER = 0.99375  # one-sided, of every look at a pair of halves
EVEN_FIRST = 0.975  # while the side with fewer readings has at most FEW of them
EVEN_LATER = 0.9875
FEW = 3
EXPECTED = 0.03  # how far apart the halves of a new bow usually are: standard deviation of their difference
MOST_MORE = 12  # readings a side that are ever promised
PROMISED = 0.85  # how likely a promise must be to come true


def difference(left: Number, right: Number) -> Number:
    """How much stiffer the left half is than the right.

    Parameters
    ----------
    left, right : flexural rigidities or loads in one unit, > 0; plain numbers or numbers with uncertainties, in which
        what both share cancels

    Returns
    -------
    (left − right) / their mean, of the same kind; no unit.

    Raises
    ------
    ValueError : a rigidity is not positive.

    >>> difference(105.0, 95.0)
    0.1
    """
    for side, value in (("left", left), ("right", right)):
        positive(f"the stiffness of the {side} half", float(getattr(value, "nominal_value", value)), "N m²")
    return (left - right) / ((left + right) / 2)


def mark_uncertainty(ruler: float, half_length: float) -> float:
    """What the centre mark leaves open of a difference between two halves.

    Parameters
    ----------
    ruler : step of the ruler the middle was marked with, m, ≥ 0
    half_length : m, > 0

    Returns
    -------
    4 u(e)/ℓ with u(e) = ruler/√6: a mark off by e makes one half longer than the other by 2 e, and a press goes with
    the square of the length; no unit.

    Raises
    ------
    ValueError : the length is not positive.

    >>> mark_uncertainty(0.0005, 0.320)
    0.0025516
    """
    positive("the length of the half", half_length, "m")
    return 4 * ruler / sqrt(6) / half_length


class DifferenceSureness(NamedTuple):
    """How sure a difference is: its parts as standard uncertainties, no unit, and the degrees of each scatter.

    `scatter` lists (standard uncertainty, degrees of freedom) of what more readings would better; `fixed` is what
    they would not: the scale's step and the centre mark. `fewest` is the number of readings of the side with fewer.
    """

    scatter: tuple[tuple[float, float], ...]
    fixed: float
    fewest: int

    @property
    def u(self) -> float:
        """The combined standard uncertainty."""
        return hypot(self.fixed, *(u for u, _ in self.scatter))

    @property
    def degrees(self) -> float:
        """The effective degrees of freedom."""
        return combined_degrees([*self.scatter, (self.fixed, inf)])

    @property
    def expanded(self) -> float:
        """The 95 % half width."""
        return t_quantile(0.975, self.degrees) * self.u

    @property
    def to_be_stiffer(self) -> float:
        """What a difference must exceed to be more than chance, at every look."""
        return t_quantile(STIFFER, self.degrees) * self.u

    @property
    def to_be_even(self) -> float:
        """What is added to a difference for the bound it stays under."""
        return t_quantile(EVEN_FIRST if self.fewest <= FEW else EVEN_LATER, self.degrees) * self.u


def verdict(d: float, sure: DifferenceSureness, T: float) -> Verdict:
    """The verdict on a difference, the same at every look.

    Parameters
    ----------
    d : (left − right) / mean, a fraction
    sure : how sure that is, a fraction
    T : the tolerance, a fraction

    Returns
    -------
    The stiffer side where |d| is above both T and t₀.₉₉₃₇₅ u; "even" where |d| + t u is no more than T, with t₀.₉₇₅ up
    to three readings a side and t₀.₉₈₇₅ from four on; else "too close to call".

    >>> few = DifferenceSureness(((0.01, 20.0),), 0.0, 3)
    >>> verdict(0.08, few, 0.03), verdict(0.005, few, 0.03), verdict(0.02, few, 0.03)
    ('left stiffer', 'even', 'too close to call')
    """
    if abs(d) > T and abs(d) > sure.to_be_stiffer:
        return "left stiffer" if d > 0 else "right stiffer"
    return "even" if abs(d) + sure.to_be_even <= T else "too close to call"


def bound(d: float, sure: DifferenceSureness) -> float:
    """How far apart the halves are at most: |d| + t u, with the quantile that "even" is judged by.

    >>> bound(-0.01, DifferenceSureness(((0.01, 20.0),), 0.0, 3))
    0.0308596
    """
    return abs(d) + sure.to_be_even


class Promise(NamedTuple):
    """What more readings would do: the least number a side worth promising, or None, and what twelve would settle."""

    more: int | None
    by_twelve: float


def promise(d: float, sure: DifferenceSureness, readings: tuple[int, int], T: float) -> Promise:
    """How many more readings of each side would very likely settle a difference.

    Parameters
    ----------
    d : (left − right) / mean, a fraction
    sure : how sure that is, a fraction; one scatter for both sides
    readings : the number of readings that the left is the mean of, and the right, ≥ 1
    T : the tolerance, a fraction

    Returns
    -------
    The least number of more readings, up to 12 a side, that settles it in at least 85 of 100 such cases, and the
    probability that 12 do.

    Source: the difference after m more is (n + m k)/N · d + m/N · √(k v + v n/m) · t, with N = n + m, v the scatter's
    variance now, k = τ²/(τ² + v) for true differences of standard deviation τ = 3 %, and Student's t.

    >>> promise(0.005, DifferenceSureness(((0.0082, 20.0),), 0.0026, 3), (3, 3), 0.03)
    Promise(more=1, by_twelve=0.9759804)
    """
    odds = [_settled(d, sure, readings, m, T) for m in range(1, MOST_MORE + 1)]
    more = next((m for m, p in enumerate(odds, 1) if p >= PROMISED), None)
    return Promise(more, odds[-1])


def _settled(d: float, sure: DifferenceSureness, readings: tuple[int, int], m: int, T: float) -> float:
    """The probability that m more readings a side settle the difference."""
    n = 2 / (1 / readings[0] + 1 / readings[1])
    v = fsum(u * u for u, _ in sure.scatter)
    if v == 0:
        return 0.0
    degrees = combined_degrees(sure.scatter)
    after = DifferenceSureness(((sqrt(v * n / (n + m)), degrees + 2 * m),), sure.fixed, sure.fewest + m)
    k = EXPECTED**2 / (EXPECTED**2 + v)
    middle = (n + m * k) / (n + m) * d
    spread = m / (n + m) * sqrt(k * v + v * n / m)

    def below(x: float) -> float:
        return t_cdf((x - middle) / spread, degrees)

    stiffer = max(T, after.to_be_stiffer)
    even = T - after.to_be_even
    p = 1 - below(stiffer) + below(-stiffer)
    return p + below(even) - below(-even) if even > 0 else p
