"""Rods pressed end to end on a scale: from load to stiffness and back."""

from __future__ import annotations

from math import pi

import numpy as np

from bowbook.mechanics.gauss import Mesh, mesh
from bowbook.mechanics.limits import positive, within
from bowbook.mechanics.profile import Array, Profile

PINNED = 1.0
CLAMPED = 0.6991556596428412  # π/u where tan u = u, u = 4.4934…: one end clamped, the other pinned

_BOTH_CLAMPED = 0.5
_WEIGHT_PINNED = 0.5  # of the pressed length's weight, off a reading from a scale zeroed empty
_WEIGHT_CLAMPED = 1.0 - 0.65404

_SQUARINGS = 40
_OTHER_MODES = 1e-9  # their share of a power: what the next has of them is the square of that


def rigidity_from_load(load: float, length: float, hold: float = PINNED) -> float:
    """The flexural rigidity of a uniform rod that bows under a load.

    Parameters
    ----------
    load : critical load, N, > 0
    length : free length, m, > 0
    hold : effective-length factor, 0.5 to 2

    Returns
    -------
    Flexural rigidity EI, N m².

    Raises
    ------
    ValueError : a quantity is not positive, or the hold factor is outside what ends can do.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2.

    >>> rigidity_from_load(1.92765711, 0.32)
    0.02000000
    """
    positive("the load", load, "N")
    return load * _effective(length, hold) ** 2 / pi**2


def _effective(length: float, hold: float) -> float:
    positive("the free length", length, "m")
    within("the hold factor", hold, 0.5, 2.0, "")
    return hold * length


def pinned_column_load(profile: Profile) -> float:
    """The critical load of any rod pinned at both ends.

    Parameters
    ----------
    profile : EI(s), N m², along the rod

    Returns
    -------
    Critical load, N.

    Raises
    ------
    ValueError : the rigidity is not positive somewhere.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2; the eigenvalue problem
    y'' = −P y/EI is collocated at Gauss points of each smooth piece.

    >>> pinned_column_load(Profile.uniform(0.02, 0.32))
    1.92765711
    """
    return buckled(profile)[0]


def clamped_column_load(profile: Profile) -> float:
    """The critical load of any rod clamped at s = 0 and pinned at its other end.

    Parameters
    ----------
    profile : EI(s), N m², along the rod

    Returns
    -------
    Critical load, N.

    Raises
    ------
    ValueError : the rigidity is not positive somewhere.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2: EI y'' = −P y + R (L − s).

    >>> clamped_column_load(Profile.uniform(0.02, 0.32)) / pinned_column_load(Profile.uniform(0.02, 0.32))
    2.04574852
    """
    points = mesh(profile)
    twice, whole = _twice(points)
    arm = profile.length - points.s
    matrix = np.outer(twice @ arm, whole / (whole @ arm)) - twice
    return 1.0 / _first_mode(matrix)[0]


def sprung_column_load(profile: Profile, spring: float) -> float:
    """The critical load of any rod held by a turning spring at s = 0 and pinned at its other end.

    Parameters
    ----------
    profile : EI(s), N m², along the rod
    spring : moment per angle at s = 0, N m/rad, ≥ 0; 0 is a hinge

    Returns
    -------
    Critical load, N.

    Raises
    ------
    ValueError : the rigidity is not positive somewhere, or the spring is negative.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2: EI y'' = −P y + R (L − s) with
    R L = spring · y'(0).

    >>> sprung_column_load(Profile.uniform(0.02, 0.32), 0.0) / pinned_column_load(Profile.uniform(0.02, 0.32))
    1.00000000
    """
    if not spring >= 0:
        raise ValueError(f"the spring of the hand is {spring:g} N m/rad; it must not be negative")
    points = mesh(profile)
    length = profile.length
    twice, whole = _twice(points)
    arm = profile.length - points.s
    turned = points.s + spring / length * (twice @ arm)  # deflection per angle at s = 0
    matrix = np.outer(turned, whole / (length + spring / length * float(whole @ arm))) - twice
    return 1.0 / _first_mode(matrix)[0]


def _twice(points: Mesh) -> tuple[Array, Array]:
    """∬ ·/EI from the start to each point, (N, N), and to the rod's end, (N,)."""
    twice = points.integral @ (points.integral * points.softness)
    return twice, (points.weights @ points.integral) * points.softness


def weight_share(hold: float) -> float:
    """The part of the pressed length's weight to take off a reading from a scale zeroed empty.

    Parameters
    ----------
    hold : effective-length factor

    Returns
    -------
    0.5 pinned, 0.34596 clamped in the hand and 0.5 clamped at both ends, straight between; 0.5 above pinned; no unit.

    Source: first-order perturbation of the column by its own weight, ∫(1−x)w′²dx / ∫w′²dx;
    Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., ch. 2, for the pinned one; alike ends give a half.

    >>> weight_share(PINNED), round(weight_share(CLAMPED), 5), weight_share(0.5)
    (0.5, 0.34596, 0.5)
    """
    edge = PINNED if hold > CLAMPED else _BOTH_CLAMPED
    t = min(max((hold - CLAMPED) / (edge - CLAMPED), 0.0), 1.0)
    return _WEIGHT_CLAMPED + t * (_WEIGHT_PINNED - _WEIGHT_CLAMPED)


def buckled(profile: Profile) -> tuple[float, Mesh, Array]:
    """The critical load of a rod pinned at both ends, the points along it, and its deflection there.

    The deflection, shape (N,), has no scale of its own; with softness it gives where the bending is:
    y²/EI is the energy per length.

    >>> load, points, y = buckled(Profile.uniform(0.02, 0.32))
    >>> load
    1.92765711
    """
    points = mesh(profile)
    value, y = _first_mode(_pinned_matrix(points, profile.length))
    return 1.0 / value, points, y


def _pinned_matrix(points: Mesh, length: float) -> Array:
    """A with y / P = A y, for a rod pinned at both ends."""
    once = points.integral * points.softness
    return np.outer(points.s / length, points.weights @ once) - points.integral @ once


def _first_mode(matrix: Array) -> tuple[float, Array]:
    """The largest eigenvalue and its mode, of a column: one hump to the positive side, all eigenvalues positive.

    Source: the power method, by squaring (Golub & Van Loan, Matrix Computations, 4th ed., 7.3.1). The eigenvalues of a
    power whose trace is 1 are the shares of the modes in it; the trace of its square is the sum of their squares, and
    so 1 where the first mode is all of it.
    """
    power = matrix / matrix.trace()
    for _ in range(_SQUARINGS):
        power = power @ power
        trace = float(power.trace())
        power /= trace
        if trace > 1 - _OTHER_MODES:
            break
    mode = matrix @ power.sum(axis=1)
    return float((matrix @ mode).sum() / mode.sum()), mode
