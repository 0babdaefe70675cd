"""Cross-sections: second moments, and what to take off for less of it."""

from __future__ import annotations

from math import pi
from typing import Literal, TypeAlias

from bowbook.mechanics.limits import positive

Kind = Literal["round", "flat", "tube"]
Dimensions: TypeAlias = tuple[Kind, float, float | None, float | None]  # kind, thick, wide, inner; m


def second_moment_round(diameter: float) -> float:
    """The second moment of area of a round rod.

    Parameters
    ----------
    diameter : m, > 0

    Returns
    -------
    I = π d⁴/64, m⁴.

    Raises
    ------
    ValueError : the diameter is not positive.

    >>> second_moment_round(0.003)
    3.976078202e-12
    """
    positive("the diameter", diameter, "m")
    return pi * diameter**4 / 64


def second_moment_flat(wide: float, thick: float) -> float:
    """The second moment of area of a flat strip that bends over its thickness.

    Parameters
    ----------
    wide, thick : m, > 0

    Returns
    -------
    I = w t³/12, m⁴.

    Raises
    ------
    ValueError : a dimension is not positive.

    >>> second_moment_flat(0.004, 0.003)
    9.0e-12
    """
    positive("the width", wide, "m")
    positive("the thickness", thick, "m")
    return wide * thick**3 / 12


def second_moment_tube(outer: float, inner: float) -> float:
    """The second moment of area of a round tube.

    Parameters
    ----------
    outer, inner : diameters, m; inner from 0 to below outer

    Returns
    -------
    I = π (D⁴ − d⁴)/64, m⁴.

    Raises
    ------
    ValueError : the outer diameter is not positive, or the inner is not below it.

    >>> second_moment_tube(0.003, 0.0) == second_moment_round(0.003)
    True
    """
    positive("the outer diameter", outer, "m")
    if not 0 <= inner < outer:
        raise ValueError(f"the inner diameter is {inner:g} m; it must be from 0 m to less than the outer, {outer:g} m")
    return pi * (outer**4 - inner**4) / 64


def second_moment(section: Dimensions) -> float:
    """The second moment of area of a section given as (kind, thick, wide, inner), m⁴.

    Raises
    ------
    ValueError : a dimension that the kind needs is missing or not positive.

    >>> second_moment(("flat", 0.003, 0.004, None))
    9.0e-12
    """
    kind, thick, wide, inner = section
    if kind == "round":
        return second_moment_round(thick)
    if kind == "flat":
        return second_moment_flat(_given("width", kind, wide), thick)
    return second_moment_tube(thick, _given("inner diameter", kind, inner))


def _given(dimension: str, kind: str, value: float | None) -> float:
    if value is None:
        raise ValueError(f"the {dimension} of a {kind} section is missing; it must be given")
    return value


def taken_round(diameter: float, f: float) -> float:
    """How much comes off the diameter of a round rod to leave a fraction of its rigidity.

    Parameters
    ----------
    diameter : m, > 0
    f : fraction of EI to leave, above 0 and to 1

    Returns
    -------
    d (1 − f^¼), m.

    Raises
    ------
    ValueError : the diameter is not positive, or the fraction is outside 0 to 1.

    >>> taken_round(0.003, 0.8) / 0.003
    0.0542584
    """
    positive("the diameter", diameter, "m")
    return diameter * (1 - float(_fraction(f) ** 0.25))


def taken_flat(thick: float, f: float) -> float:
    """How much comes off the thickness of a flat strip, from its flat face, to leave a fraction of its rigidity.

    Parameters
    ----------
    thick : m, > 0
    f : fraction of EI to leave, above 0 and to 1

    Returns
    -------
    t (1 − f^⅓), m.

    Raises
    ------
    ValueError : the thickness is not positive, or the fraction is outside 0 to 1.

    >>> taken_flat(0.002, 0.8) / 0.002
    0.0716822
    """
    positive("the thickness", thick, "m")
    return thick * (1 - float(_fraction(f) ** (1 / 3)))


def taken_tube(outer: float, inner: float, f: float) -> float:
    """How much comes off the outer diameter of a tube to leave a fraction of its rigidity.

    Parameters
    ----------
    outer, inner : diameters, m; inner from 0 to below outer
    f : fraction of EI to leave, above 0 and to 1

    Returns
    -------
    D − D′ with D′⁴ − d⁴ = f (D⁴ − d⁴), m.

    Raises
    ------
    ValueError : impossible diameters, or the fraction is outside 0 to 1.

    >>> taken_tube(0.003, 0.0, 0.8) / 0.003
    0.0542584
    """
    second_moment_tube(outer, inner)
    return outer - float((inner**4 + _fraction(f) * (outer**4 - inner**4)) ** 0.25)


def _fraction(f: float) -> float:
    if not 0 < f <= 1:
        raise ValueError(f"the stiffness to leave is {f:g} of what is there; it must be above 0 and no more than 1")
    return f
