"""Rods clamped at one end, and rods across two supports."""

from __future__ import annotations

import numpy as np

from bowbook.mechanics.gauss import POINTS, Mesh, halved, mesh, unresolved
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Array, Profile

STEEPEST_DROOP = 0.95  # drop over length; nearer to straight down, the drop says nothing about the rod
DEEPEST_SAG = 0.1  # drop over span; deeper, a rod slips through its supports
_DEEPER = 10.3  # of (drop over span)²
_STEPS = 20
_CLOSE = 1e-7  # of the steepest angle, of the last step: what it leaves is the square of that
_RESOLVED = 1e-8  # last coefficients of the angle over its largest value


def droop_rigidity(load: float, length: float, drop: float) -> float:
    """The flexural rigidity of a uniform rod clamped level, from how far a weight at its end pulls it down.

    Parameters
    ----------
    load : weight at the tip, N, > 0
    length : clamp to tip along the rod, m, > 0
    drop : vertical drop of the tip, m, above 0 and to 0.95 of the length

    Returns
    -------
    Flexural rigidity EI, N m².

    Raises
    ------
    ValueError : a quantity is not positive, or the drop is more than the rod can show.

    Source: Bisshopp & Drucker, Quarterly of Applied Mathematics 3 (1945) 272–275.

    >>> droop_rigidity(1.0, 0.3, 0.3 * 0.30172077)
    0.0900000
    """
    positive("the length", length, "m")
    return droop_scale(Profile.uniform(1.0, length), load, length, drop)


def droop_scale(profile: Profile, load: float, length: float, drop: float) -> float:
    """What to multiply a rod's rigidity by, so that a weight at its end pulls it down by a measured drop.

    Parameters
    ----------
    profile : EI(s) in any scale, s = 0 at the clamp
    load : weight at the tip, N, > 0
    length : clamp to weight along the rod, m, above 0 and no more than the profile's
    drop : vertical drop under the weight, m, above 0 and to 0.95 of the length

    Returns
    -------
    The factor on the profile; no unit if the profile is in N m².

    Raises
    ------
    ValueError : a quantity is not positive, the weight hangs beyond the rod, or the drop is more than it can show.

    Source: Bisshopp & Drucker, Quarterly of Applied Mathematics 3 (1945) 272–275, its equation
    EI dθ/ds = F (x_tip − x) for EI that varies, collocated at Gauss points.

    >>> droop_scale(Profile.uniform(0.09, 0.3), 2.0, 0.3, 0.3 * 0.30172077)
    2.000000
    """
    positive("the load", load, "N")
    positive("the length", length, "m")
    positive("the drop", drop, "m")
    if drop > STEEPEST_DROOP * length:
        raise ValueError(
            f"the drop is {drop:g} m on a length of {length:g} m; a rod that droops by more than {STEEPEST_DROOP:g} "
            "of its length hangs straight down and says nothing: use a lighter weight"
        )
    rod = _up_to(profile, length)
    points = mesh(rod)
    for _ in range(5):
        state = _droop(points, drop)
        more = unresolved(state[:-1].reshape(-1, POINTS), _RESOLVED)
        if not more.any():
            break
        points = mesh(rod, halved(points.edges, more))
    return load / float(state[-1])


def _up_to(profile: Profile, length: float) -> Profile:
    if length > profile.length * (1 + 1e-9):
        raise ValueError(
            f"the weight hangs {length:g} m from the clamp; it must hang on the half, {profile.length:g} m long"
        )
    return profile if length >= profile.length * (1 - 1e-9) else profile.part(0.0, length)


def _droop(points: Mesh, drop: float) -> Array:
    """θ at the points and the pull that drops the tip by `drop`, in one array (N + 1,), gone to in steps."""
    reverse = points.weights - points.integral
    shape = (points.integral * points.softness) @ reverse.sum(axis=1)
    per_pull = float(points.weights @ shape)
    length = float(points.weights.sum())
    now = min(drop, 0.3 * length)
    state = np.append(shape * (now / per_pull), now / per_pull)
    reached, step = 0.0, now
    while True:
        target = min(reached + step, drop)
        found = _droop_newton(points, state, target)
        if found is None:
            step *= 0.5
            if step < 1e-6 * length:
                raise ValueError(f"no rod of {length:g} m was found that droops by {drop:g} m")
            continue
        state, reached = found, target
        if reached >= drop:
            return state
        step = min(step, 0.4 * (length - reached))


def _droop_newton(points: Mesh, state: Array, drop: float) -> Array | None:
    """The state (θ at the points, pull) after Newton's steps, with the drop held; None if they fail."""
    n = len(points.s)
    reverse = points.weights - points.integral  # from a point to the tip
    once = points.integral * points.softness
    jacobian, residual = np.zeros((n + 1, n + 1)), np.empty(n + 1)
    for _ in range(_STEPS):
        theta, pull = state[:n], state[n]
        sine, cosine = np.sin(theta), np.cos(theta)
        bent = once @ (reverse @ cosine)
        residual[:n] = theta - pull * bent
        jacobian[:n, :n] = np.eye(n) + (pull * once) @ (reverse * sine)
        jacobian[:n, n] = -bent
        residual[n] = points.weights @ sine - drop
        jacobian[n, :n], jacobian[n, n] = points.weights * cosine, 0.0
        step = np.linalg.solve(jacobian, residual)
        state = state - step
        if not np.isfinite(state).all() or np.abs(state[:n]).max() > np.pi / 2:
            return None
        if np.abs(step[:n]).max() <= _CLOSE * np.abs(state[:n]).max():
            return state
    return None


def sag_rigidity(load: float, span: float, drop: float) -> float:
    """The flexural rigidity of a uniform rod across two supports, from how far a weight at mid-span pulls it down.

    Parameters
    ----------
    load : weight at mid-span, N, > 0
    span : between the supports, m, > 0
    drop : of the middle, m, above 0 and to a tenth of the span

    Returns
    -------
    Flexural rigidity EI = F s³/(48 δ) · (1 + 10.3 (δ/s)²), N m².

    Raises
    ------
    ValueError : a quantity is not positive, or the drop is more than a tenth of the span.

    Source: any text on beams, such as Timoshenko, Strength of Materials; the second factor is a fit to the exact
    elastica on smooth supports, 0.1 % low at a fifteenth of the span and 0.3 % at a tenth.

    >>> sag_rigidity(1.0, 0.4, 0.004) / (0.4**3 / (48 * 0.004))
    1.00103
    """
    return load * span**3 / (48 * drop) * _deep_sag(load, span, drop)


def _deep_sag(load: float, span: float, drop: float) -> float:
    """How much more rigid a rod is than a small sag would have it; refused where it would slip through."""
    positive("the load", load, "N")
    positive("the span between the supports", span, "m")
    positive("the drop", drop, "m")
    if drop > DEEPEST_SAG * span:
        raise ValueError(
            f"the drop is {drop:g} m on a span of {span:g} m; it must be no more than a tenth of the span: "
            "use a lighter weight"
        )
    return 1 + _DEEPER * (drop / span) ** 2


def sag_scale(profile: Profile, load: float, span: float, drop: float) -> float:
    """What to multiply a rod's rigidity by, so that a weight at mid-span pulls it down by a measured drop.

    Parameters
    ----------
    profile : EI(s) in any scale; the supports stand centred on it
    load : weight at mid-span, N, > 0
    span : between the supports, m, above 0 and no more than the profile's length
    drop : of the middle, m, above 0 and to a tenth of the span

    Returns
    -------
    The factor on the profile; no unit if the profile is in N m².

    Raises
    ------
    ValueError : a quantity is not positive, the supports stand beyond the rod, or the drop is too deep.

    Source: unit-load theorem for a beam on two supports, δ = F/4 · ∫ x²/EI over either half, with the factor for deep
    sags of `sag_rigidity`.

    >>> sag_scale(Profile.uniform(2.0, 0.4), 1.0, 0.4, 0.004) / (sag_rigidity(1.0, 0.4, 0.004) / 2.0)
    1.000000000
    """
    deep = _deep_sag(load, span, drop)
    length = profile.length
    if span > length * (1 + 1e-9):
        raise ValueError(f"the supports stand {span:g} m apart; the rod is {length:g} m long, and must lie on both")
    middle, reach = 0.5 * length, min(0.5 * span, 0.5 * length)
    drops = (
        _squared_arm(profile.part(middle - reach, middle)),
        _squared_arm(profile.part(middle, middle + reach).reversed()),
    )
    return deep * load / 4 * sum(drops) / drop


def _squared_arm(profile: Profile) -> float:
    """∫ x²/EI dx along a rod, x from its start."""
    points = mesh(profile)
    return float(points.weights @ (points.s**2 * points.softness))
