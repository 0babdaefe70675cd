"""What the next piece of a kind will be like, from those measured so far: in logarithms, with what is assumed first."""

from __future__ import annotations

from collections.abc import Sequence
from math import exp, fsum, log, sqrt

from msgspec import Struct

from bowbook.mechanics.limits import positive
from bowbook.mechanics.student import t_quantile

EVEN_MATERIAL = 0.04  # relative spread between pieces of pultruded carbon or glass: assumed
GROWN_MATERIAL = 0.15  # of bamboo and wood: assumed
SKIN_ON_BOW = 0.30  # of what a skin adds to a bow: assumed
_ASSUMED_DEGREES = 3


class MaterialSpread(Struct, frozen=True):
    """The standard deviation of the logarithm between pieces of one kind, and its degrees of freedom."""

    s: float
    degrees: int


class Expected(Struct, frozen=True):
    """What the next piece is expected to measure, in one unit: value, standard uncertainty, and 95 % interval."""

    value: float
    u: float
    low: float
    high: float


def material_spread(kinds: Sequence[Sequence[float]], assumed: float) -> MaterialSpread:
    """How much pieces of one kind differ, over all kinds of one material.

    Parameters
    ----------
    kinds : what the pieces of each kind measured, each kind in any unit, > 0
    assumed : relative spread before anything was measured, > 0; weighs as much as three pieces

    Returns
    -------
    s with s² = (3 assumed² + ΣΣ(x − x̄)²)/(3 + Σ(n − 1)) of the logarithms, and 3 + Σ(n − 1) degrees of freedom.

    Raises
    ------
    ValueError : a measurement or the assumption is not positive.

    >>> material_spread([(100.0, 110.0), (50.0,)], 0.04)
    MaterialSpread(s=0.0483271, degrees=4)
    """
    positive("the assumed spread", assumed, "")
    squares, degrees = _ASSUMED_DEGREES * assumed**2, _ASSUMED_DEGREES
    for pieces in kinds:
        logs = _logs(pieces)
        if logs:
            mean = fsum(logs) / len(logs)
            squares += fsum((x - mean) ** 2 for x in logs)
            degrees += len(logs) - 1
    return MaterialSpread(sqrt(squares / degrees), degrees)


def expect_next(pieces: Sequence[float], spread: MaterialSpread) -> Expected:
    """What the next piece of a kind is expected to measure.

    Parameters
    ----------
    pieces : what those so far measured, any unit, > 0, one at least
    spread : between pieces of one kind; no unit

    Returns
    -------
    The geometric mean, its uncertainty for the next piece, s √(1 + 1/n) of the value, and mean ± t s √(1 + 1/n) of
    the logarithms.

    Raises
    ------
    ValueError : no pieces, or one that is not positive.

    Source: the interval for a new observation, such as in the NIST/SEMATECH e-Handbook of Statistical Methods.

    >>> expect_next((100.0,), MaterialSpread(0.04, 3))
    Expected(value=100.0, u=5.6568542, low=83.5248, high=119.7249)
    """
    logs = _logs(pieces)
    if not logs:
        raise ValueError("nothing of this kind was measured; one piece at least is needed")
    mean = fsum(logs) / len(logs)
    u = spread.s * sqrt(1 + 1 / len(logs))
    half = t_quantile(0.975, spread.degrees) * u
    return Expected(exp(mean), exp(mean) * u, exp(mean - half), exp(mean + half))


def _logs(pieces: Sequence[float]) -> list[float]:
    for piece in pieces:
        positive("a measurement", piece, "")
    return [log(piece) for piece in pieces]
