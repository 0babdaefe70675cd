"""From a wind back to a bow: the stiffness it asks for."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from bowbook.mechanics.elastica import bend_uniform, thrust_and_slopes
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Piece, Profile
from bowbook.mechanics.section import Dimensions
from bowbook.mechanics.shaving import TakenOff, shave_depth
from bowbook.mechanics.tension import folded_span


def folded_thrust(left: Profile, right: Profile, span: float) -> float:
    """The tension of a bow whose tips both stand back by a tenth of the half span.

    Parameters
    ----------
    left, right : EI(s) of either half with its skin, N m², s = 0 at the centre mark
    span : distance between the tips, strung, m, > 0 and less than the bow's length

    Returns
    -------
    Thrust, N.

    Raises
    ------
    ValueError : the span is impossible, or the rigidity is not positive somewhere.

    Source: the planar elastica, as `bend` solves it.

    >>> half = Profile.uniform(0.02, 0.32)
    >>> folded_thrust(half, half, 0.59)
    0.5028276
    """
    return thrust_and_slopes(left.reversed().joined(right), folded_span(span))[0]


class SkinnedThrust(NamedTuple):
    """The tension of a folded bow with its skin, N, and its slopes by either bare half's rigidity and by the skin's.

    A half's slope is by a factor on its rigidity, N; the skin's is by the rigidity that it adds everywhere, 1/m².
    """

    thrust: float
    by_left: float
    by_right: float
    by_skin: float


def skinned_thrust(left: Profile, right: Profile, skin: float, span: float) -> SkinnedThrust:
    """The tension of a folded bow with its skin, and what that hangs on.

    Parameters
    ----------
    left, right : EI(s) of either bare half, N m², s = 0 at the centre mark
    skin : what the skin adds everywhere, N m²
    span : distance between the tips, strung, m, > 0 and less than the bow's length

    Returns
    -------
    The thrust that `folded_thrust` gives, and its slopes.

    Raises
    ------
    ValueError : the span is impossible, or the rigidity is not positive somewhere.

    >>> half = Profile.uniform(0.018, 0.32)
    >>> bow = skinned_thrust(half, half, 0.002, 0.59)
    >>> bow.thrust, bow.by_left + bow.by_right + bow.by_skin * 0.002
    (0.5028276, 0.5028276)
    """
    bare, middle = left.reversed().joined(right), left.length
    more: tuple[Piece, ...] = (
        lambda s: np.where(s < middle, bare.at(s), 0.0),
        lambda s: np.where(s > middle, bare.at(s), 0.0),
        np.ones_like,
    )
    thrust, slopes = thrust_and_slopes(bare.plus(skin), folded_span(span), more)
    return SkinnedThrust(thrust, *slopes)


def rigidity_for_thrust(thrust: float, length: float, span: float) -> float:
    """The rigidity, bow and skin together, of a uniform bow with a wanted tension.

    Parameters
    ----------
    thrust : wanted of the bow, folded, N, > 0
    length : of the bow, m, > 0
    span : distance between its tips, strung, m, > 0 and less than the length

    Returns
    -------
    Flexural rigidity EI, N m².

    Raises
    ------
    ValueError : a quantity is not positive, or the span is not less than the length.

    Source: the elastica in closed form, `bend_uniform`.

    >>> rigidity_for_thrust(0.5028276, 0.64, 0.59)
    0.02000000
    """
    positive("the bow's tension", thrust, "N")
    return thrust / bend_uniform(1.0, length, folded_span(span)).thrust_N


def shave_to(EI: float, target: float, section: Dimensions) -> TakenOff:
    """How much to take off a rod all along so that its rigidity comes down to a target.

    Parameters
    ----------
    EI : rigidity of the rod as it comes, N m², > 0
    target : rigidity wanted, N m², > 0
    section : (kind, thick, wide, inner), m

    Returns
    -------
    What comes off the thickness or diameter, m; None with a reason where the rod is too soft as it comes or would be
    left too thin.

    Raises
    ------
    ValueError : a quantity is not positive.

    >>> shave_to(0.025, 0.020, ("flat", 0.002, 0.004, None)).taken_m
    0.00014336
    """
    positive("the stiffness of the rod", EI, "N m²")
    positive("the stiffness wanted", target, "N m²")
    if target > EI:
        return TakenOff(None, f"it is too soft: {EI / target:.0%} of the stiffness wanted")
    return shave_depth(section, target / EI)
