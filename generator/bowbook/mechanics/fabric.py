"""Sail material as a plate: what it resists by bending alone."""

from __future__ import annotations

from bowbook.mechanics.air import STANDARD_GRAVITY
from bowbook.mechanics.limits import positive, within


def bending_length_from_overhang(overhang: float) -> float:
    """The bending length of a strip pushed over an edge until its end lies 41.5° below it.

    Parameters
    ----------
    overhang : edge to end along the strip, m, > 0

    Returns
    -------
    Bending length c = overhang/2, m.

    Raises
    ------
    ValueError : the overhang is not positive.

    Source: ASTM D1388, option A; ISO 9073-7. The half is that of the exact heavy elastica.

    >>> bending_length_from_overhang(0.096)
    0.048
    """
    positive("the overhang", overhang, "m")
    return overhang / 2


def strip_rigidity(areal: float, bending_length: float) -> float:
    """The bending rigidity of a sheet from its weight and its bending length.

    Parameters
    ----------
    areal : mass per area, kg/m², > 0
    bending_length : m, > 0

    Returns
    -------
    D = areal g₀ c³, N m (N m² per metre of width).

    Raises
    ------
    ValueError : a quantity is not positive.

    Source: ASTM D1388; Peirce, Journal of the Textile Institute 21 (1930) T377–T416.

    >>> strip_rigidity(0.050, 0.048)
    5.4226852e-05
    """
    positive("the weight of the skin", areal, "kg/m²")
    positive("the bending length", bending_length, "m")
    return areal * STANDARD_GRAVITY * bending_length**3


def plate_rigidity(E: float, t: float, nu: float = 0.38) -> float:
    """The bending rigidity of a thin even sheet.

    Parameters
    ----------
    E : Young's modulus, Pa, > 0
    t : thickness, m, > 0
    nu : Poisson's ratio, 0 to 0.5

    Returns
    -------
    D = E t³/12(1 − ν²), N m (N m² per metre of width).

    Raises
    ------
    ValueError : a quantity is outside its range.

    Source: Timoshenko & Woinowsky-Krieger, Theory of Plates and Shells.

    >>> plate_rigidity(4.5e9, 23e-6, 0.38)
    5.332661e-06
    """
    positive("the modulus of the skin", E, "Pa")
    positive("the thickness of the skin", t, "m")
    within("Poisson's ratio of the skin", nu, 0.0, 0.5, "")
    return E * t**3 / (12 * (1 - nu * nu))
