"""A half pressed on the scale: its free length, how its other end is held, and what it must then read."""

from __future__ import annotations

from math import pi
from typing import NamedTuple

import numpy as np

from bowbook.mechanics.column import (
    CLAMPED,
    PINNED,
    clamped_column_load,
    pinned_column_load,
    rigidity_from_load,
    sprung_column_load,
)
from bowbook.mechanics.hand import factor_of
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Profile
from bowbook.mechanics.roots import root


class Hold(NamedTuple):
    """How the end in the hand is held: an effective-length factor, or a turning spring, N m/rad, where known."""

    factor: float = PINNED
    spring: float | None = None

    def factor_at(self, load: float, length: float) -> float:
        """The effective-length factor for a uniform half of free `length`, m, that bows under `load`, N.

        >>> Hold(0.9).factor_at(2.0, 0.32), Hold(spring=0.5).factor_at(2.0, 0.32)
        (0.9, 0.7450342)
        """
        return self.factor if self.spring is None else factor_of(self.spring, load, length)


def pressed_load(half: Profile, free: float, hold: Hold) -> float:
    """The load at which a half bows as it is pressed.

    Parameters
    ----------
    half : EI(s), N m², s = 0 at the centre mark
    free : length from the hand to the tip, m, > 0, no more than the half
    hold : how the hand holds it: its factor, or its spring, N m/rad

    Returns
    -------
    Critical load of the outer stretch of that length, N.

    Raises
    ------
    ValueError : the free length is longer than the half, or a quantity is not positive.

    >>> pressed_load(Profile.uniform(0.02, 0.32), 0.32, Hold(0.9)) * 0.9**2
    1.92765711
    """
    stretch = pressed_stretch(half, free)
    if hold.spring is not None:
        return sprung_column_load(stretch, hold.spring)
    if hold.factor == CLAMPED:
        return clamped_column_load(stretch)
    return pinned_column_load(stretch) / hold.factor**2


def pressed_stretch(half: Profile, free: float) -> Profile:
    """The stretch of a half that is free when it is pressed: the outer one, from the hand to the tip.

    Raises
    ------
    ValueError : the free length is longer than the half.

    >>> pressed_stretch(Profile.uniform(0.02, 0.32), 0.30).length
    0.30
    """
    positive("the free length", free, "m")
    if free > half.length * (1 + 1e-9):
        raise ValueError(f"a half of {half.length * 1000:.0f} mm cannot be pressed over {free * 1000:.0f} mm")
    return half if free >= half.length * (1 - 1e-9) else half.part(half.length - free, half.length)


def uniform_rigidity(load: float, free: float, hold: Hold) -> float:
    """The rigidity of a uniform half that bows under a load, N m².

    Raises
    ------
    ValueError : a quantity is not positive, or the hold factor is outside what ends can do.

    >>> uniform_rigidity(1.92765711, 0.32, Hold(0.9)) / 0.9**2
    0.02000000
    """
    return rigidity_from_load(load, free, hold.factor_at(load, free))


def rigidity_scale(unit: Profile, load: float, free: float, hold: Hold) -> float:
    """What to multiply a half's rigidity by, so that it bows under a measured load.

    Parameters
    ----------
    unit : EI(s) in any scale, s = 0 at the centre mark
    load : critical load, N, > 0
    free : length from the hand to the tip, m
    hold : how the hand holds it: its factor, or its spring, N m/rad

    Returns
    -------
    The factor on the profile; no unit if the profile is in N m².

    Raises
    ------
    ValueError : a quantity is outside its range.

    >>> unit = Profile.uniform(1.0, 0.32)
    >>> rigidity_scale(unit, 2.0, 0.32, Hold(spring=0.5)) / uniform_rigidity(2.0, 0.32, Hold(spring=0.5))
    1.00000000
    """
    positive("the load", load, "N")
    if hold.spring is None:
        return load / pressed_load(unit, free, hold)
    stretch = pressed_stretch(unit, free)
    high = load / pinned_column_load(stretch)  # as if held by a hinge
    low = load / clamped_column_load(stretch) * (1 - 1e-9)
    spring = hold.spring
    return root(lambda E: sprung_column_load(stretch.scaled(E), spring) - load, low, high * (1 + 1e-9))


def added_rigidity(bare: Profile, covered_load: float, free: float, hold: Hold) -> float:
    """What a skin adds to a half everywhere, so that it bows under the covered load.

    Parameters
    ----------
    bare : EI(s) of the bare half, N m², s = 0 at the centre mark
    covered_load : critical load with the skin on, N, > 0
    free : length from the hand to the tip, m
    hold : how the hand holds it: its factor, or its spring, N m/rad

    Returns
    -------
    EI of the skin, N m²: positive, negative or nothing.

    Raises
    ------
    ValueError : a quantity is outside its range.

    >>> added_rigidity(Profile.uniform(0.02, 0.32), 1.1 * 1.92765711, 0.32, Hold())
    0.00200000
    """
    positive("the covered load", covered_load, "N")
    stretch = pressed_stretch(bare, free)
    before = pressed_load(stretch, free, hold)
    equivalent = before * (free / pi) ** 2
    guess = equivalent * (covered_load / before - 1)
    if guess == 0:
        return 0.0

    def miss(EI: float) -> float:
        return pressed_load(stretch.plus(EI), free, hold) - covered_load

    ends = zip(stretch.pieces, stretch.edges, stretch.edges[1:], strict=False)
    least = 0.999 * min(float(piece(np.array([a, b])).min()) for piece, a, b in ends)
    low, high = (0.0, 2 * guess) if guess > 0 else (-least, 0.0)
    while guess > 0 and miss(high) < 0:
        high *= 2
    if miss(low) > 0:
        raise ValueError("the covered reading is far below the bare one")
    return root(miss, low, high)
