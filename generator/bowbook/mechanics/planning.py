"""From a wind back to a bow: the stiffness it asks for."""

from __future__ import annotations

from bowbook.mechanics.elastica import bend, bend_uniform
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Profile
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

    Source: the planar elastica, `bend`.

    >>> half = Profile.uniform(0.02, 0.32)
    >>> folded_thrust(half, half, 0.59)
    0.5028276
    """
    return bend(left.reversed().joined(right), folded_span(span)).thrust_N


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
