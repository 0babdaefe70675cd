"""Whether two halves are as stiff as one another, and what it would take to know."""

from __future__ import annotations

from math import hypot, sqrt
from typing import TYPE_CHECKING, Literal, TypeVar

from bowbook.mechanics.limits import positive
from bowbook.mechanics.uncertainty import t95

if TYPE_CHECKING:
    from uncertainties import UFloat

Verdict = Literal["even", "left stiffer", "right stiffer", "too close to call"]
Number = TypeVar("Number", float, "UFloat")

MOST_READINGS = 50  # more per side than this nobody takes


def difference(left: Number, right: Number) -> Number:
    """How much stiffer the left half is than the right.

    Parameters
    ----------
    left, right : flexural rigidities in one unit, > 0; plain numbers or numbers with uncertainties, in which
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


def expanded(d: UFloat, t: float) -> float:
    """The 95 % half width of a difference: its standard uncertainty times Student's t.

    >>> from uncertainties import ufloat
    >>> expanded(ufloat(0.05, 0.01), 2.0)
    0.02
    """
    return float(t * d.std_dev)


def verdict(d: float, U: float, T: float) -> Verdict:
    """The verdict on a difference.

    Parameters
    ----------
    d : (left − right) / mean, a fraction
    U : its 95 % half width, a fraction
    T : the tolerance, a fraction

    Returns
    -------
    The stiffer side where |d| is above both T and U; "even" where |d| and U are both no more than T;
    else "too close to call".

    >>> verdict(0.08, 0.02, 0.03), verdict(0.01, 0.02, 0.03), verdict(0.02, 0.05, 0.03)
    ('left stiffer', 'even', 'too close to call')
    """
    if abs(d) > T and abs(d) > U:
        return "left stiffer" if d > 0 else "right stiffer"
    return "even" if abs(d) <= T and U <= T else "too close to call"


def more_readings(
    left: float,
    right: float,
    n_left: int,
    n_right: int,
    s_rel: float | None,
    degrees: int,
    resolution: float,
    tolerance: float,
) -> int | None:
    """How many more readings of each side would settle a difference, if the means stay what they are.

    Parameters
    ----------
    left, right : mean readings of either half, both in the same unit, > 0
    n_left, n_right : number of readings those are means of, ≥ 1
    s_rel : relative repeatability of one reading; None where nothing was repeated
    degrees : of freedom of `s_rel`; each further reading adds one
    resolution : of the scale, in the same unit; more readings do not better it
    tolerance : of balance, as a fraction

    Returns
    -------
    The smallest number per side, 0 where it is settled as it is; None where none up to 50 would settle it,
    or where nothing was repeated and so nothing is known of what a reading would add.

    >>> more_readings(202.0, 198.0, 2, 2, 0.01, 4, 0.0, 0.025)
    1
    """
    if s_rel is None:
        return None
    d, mean = difference(left, right), (left + right) / 2
    for extra in range(MOST_READINGS + 1):
        u_left = hypot(s_rel * left / sqrt(n_left + extra), resolution / sqrt(12))
        u_right = hypot(s_rel * right / sqrt(n_right + extra), resolution / sqrt(12))
        u = hypot(right * u_left, left * u_right) / mean**2
        if verdict(d, t95(degrees + 2 * extra) * u, tolerance) != "too close to call":
            return extra
    return None
