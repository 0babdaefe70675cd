"""The bent bow: a rod held between its tips, bent as far as their distance says."""

from __future__ import annotations

from collections.abc import Sequence
from math import asin, pi, sqrt

import numpy as np
from msgspec import Struct
from numpy.polynomial import legendre

from bowbook.mechanics.column import buckled, pinned_column_load
from bowbook.mechanics.gauss import POINTS, Mesh, halved, integrals, mesh, rule, unresolved
from bowbook.mechanics.limits import positive
from bowbook.mechanics.profile import Array, Piece, Profile

GREATEST_RISE = 0.40314019  # rise over length of a uniform pinned rod: no more is possible
_STEPS = 14  # Newton steps before another way is tried
_CLOSE = 1e-7  # of the tip slope, of the last step: what it leaves is the square of that
_RESOLVED = 1e-8  # last coefficients of the angle over its largest value
_FINER = 4  # times that pieces are halved
_HAIR = 1e-8  # of the length: a bow drawn in by less is its first buckling mode, to more figures than are shown


class BentBow(Struct, frozen=True, eq=False):
    """A bow in its bent shape.

    thrust_N : force along the chord, N
    rise_m : greatest depth, m
    slope_left_rad, slope_right_rad : angle of each tip against the chord, rad, positive
    deepest_x_m : where the greatest depth is, along the chord from the left tip, m
    s_m, x_m, y_m, curvature_per_m : the curve from the left tip to the right, each (n,): length along the rod,
        place along the chord, depth, and curvature (positive); at a step in rigidity the point stands twice,
        once on either side
    """

    thrust_N: float
    rise_m: float
    slope_left_rad: float
    slope_right_rad: float
    deepest_x_m: float
    s_m: Array
    x_m: Array
    y_m: Array
    curvature_per_m: Array


def load_ratio_from_rise(rise_over_length: float) -> float:
    """How much more than the critical load a pinned rod carries once it has bowed out.

    Parameters
    ----------
    rise_over_length : greatest depth of the bow over the rod's length, a ratio, 0 to 0.403

    Returns
    -------
    P / P_cr, at least 1; no unit.

    Raises
    ------
    ValueError : no rod can rise so far.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 2.7: rise/L = k/K, P/P_cr = (2K/π)².

    >>> load_ratio_from_rise(0.19492431)
    1.0529869
    """
    r = rise_over_length
    if not 0.0 <= r <= GREATEST_RISE:
        raise ValueError(f"the rise is {r:g} of the rod's length; a bent rod rises from 0 to {GREATEST_RISE:.3f} of it")
    low, high = 0.0, 0.8377  # k = sin(½ · 113.744°) at the greatest rise
    for _ in range(60):
        k = 0.5 * (low + high)
        low, high = (k, high) if k / _complete(k)[0] < r else (low, k)
    return float((2 * _complete(0.5 * (low + high))[0] / pi) ** 2)


def load_ratio_on_taper(profile: Profile, rise: float) -> float:
    """How much more than its critical load any pinned rod carries once it has bowed out.

    Parameters
    ----------
    profile : EI(s), N m² or any other scale, along the rod
    rise : greatest depth of the bow, m, above 0

    Returns
    -------
    P / P_cr, at least 1 but for rods much softer at their ends; no unit.

    Raises
    ------
    ValueError : no such rod rises so far.

    Source: the exact elastica of the rod, `bend`, at the tip distance that gives the rise.

    >>> load_ratio_on_taper(Profile.uniform(0.02, 0.64), 0.19492431 * 0.64)
    1.0529869
    """
    length = profile.length
    positive("the rise", rise, "m")
    load_ratio_from_rise(min(rise / length, 1.0))  # refuses what no rod can do

    def bent(slack: float) -> BentBow:
        if not 0 < slack < 0.97:
            raise ValueError(f"the rise is {rise:g} m; a bent rod of {length:g} m does not rise so far")
        return bend(profile, length * (1 - slack * slack))

    before, now = 0.0, pi / 2 * rise / length  # the slack, √(1 − span/length), all but grows with the rise
    rose, bow = 0.0, bent(now)
    for _ in range(30):
        if abs(bow.rise_m - rise) <= 1e-12 * rise or bow.rise_m == rose:
            break
        before, now, rose = now, now + (rise - bow.rise_m) * (now - before) / (bow.rise_m - rose), bow.rise_m
        bow = bent(now)
    return bow.thrust_N / pinned_column_load(profile)


class UniformBow(Struct, frozen=True):
    """A uniform bow in closed form: thrust, N; rise, m; tip slope, rad; greatest curvature, 1/m."""

    thrust_N: float
    rise_m: float
    slope_rad: float
    curvature_per_m: float


def bend_uniform(EI: float, length: float, span: float) -> UniformBow:
    """The bent shape of a uniform bow, in closed form.

    Parameters
    ----------
    EI : flexural rigidity, N m², > 0
    length : length of the bow, m, > 0
    span : distance between its tips, m, above 0 and below the length

    Returns
    -------
    Its thrust, rise, tip slope and greatest curvature.

    Raises
    ------
    ValueError : a quantity is not positive, or the span is not less than the length.

    Source: Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 2.7: span/L = 2E/K − 1, rise/L = k/K,
    thrust = EI (2K/L)², tip slope = 2 asin k, curvature = 4kK/L.

    >>> bow = bend_uniform(0.02, 0.64, 0.576)
    >>> bow.rise_m / 0.64, bow.thrust_N
    (0.19492431, 0.5074494)
    """
    positive("the stiffness", EI, "N m²")
    _possible(span, length)
    low, high = 0.0, sqrt(0.5 * (1 - np.cos(np.radians(130.70992))))  # tips meet at 130.7°
    for _ in range(60):
        k = 0.5 * (low + high)
        K, E = _complete(k)
        low, high = (k, high) if span / length < 2 * E / K - 1 else (low, k)
    k = 0.5 * (low + high)
    K = _complete(k)[0]
    return UniformBow(EI * (2 * K / length) ** 2, length * k / K, 2 * float(np.arcsin(k)), 4 * k * K / length)


def _complete(k: float) -> tuple[float, float]:
    """The complete elliptic integrals K and E of modulus k, by the arithmetic-geometric mean (A. & S. 17.6)."""
    a, b, c = 1.0, sqrt(1 - k * k), k
    lost, weight = k * k / 2, 0.5
    while c > 1e-9 * a:  # each step squares what is left: the next would be below the last bit
        a, b, c = (a + b) / 2, sqrt(a * b), (a - b) / 2
        weight *= 2
        lost += weight * c * c
    K = pi / (2 * a)
    return K, K * (1 - lost)


def _possible(span: float, length: float) -> None:
    positive("the length of the bow", length, "m")
    positive("the span", span, "m")
    if span >= length:
        raise ValueError(
            f"the span is {span:g} m and the bow {length:g} m long; a bent bow's span is less than its length"
        )


def bend(profile: Profile, span: float) -> BentBow:
    """The bent shape of any bow between its tips.

    Parameters
    ----------
    profile : EI(s), N m², from the left tip to the right
    span : distance between the tips, m, above 0 and below the bow's length

    Returns
    -------
    The bent bow: an inextensible rod with free-turning ends, in its lowest shape.

    Raises
    ------
    ValueError : the span is impossible, the rigidity is not positive somewhere, or no such shape was found.

    Source: the planar elastica, EI dθ/ds = −P y (Timoshenko & Gere, Theory of Elastic Stability, 2nd ed., art. 2.7),
    collocated at Gauss points of each smooth piece and solved by Newton's method.

    >>> bow = bend(Profile.uniform(0.02, 0.64), 0.576)
    >>> bow.rise_m / 0.64, bow.thrust_N
    (0.19492431, 0.5074494)
    """
    return _curve(profile, *_bent(profile, span))


def thrust_and_slopes(profile: Profile, span: float, more: Sequence[Piece] = ()) -> tuple[float, list[float]]:
    """The thrust of a bent bow, and how it grows with its rigidity.

    Parameters
    ----------
    profile : EI(s), N m², from the left tip to the right
    span : distance between the tips, m, above 0 and shorter than the bow by a thousandth at least
    more : ways of adding to its rigidity: each gives N m² at s, m, of shape (n,)

    Returns
    -------
    Thrust, N, and for each of `more` the slope of the thrust by a factor on it, N.

    Raises
    ------
    ValueError : as `bend` does.

    Source: the equations of `bend`, linear about their solution.

    >>> thrust_and_slopes(Profile.uniform(0.02, 0.64), 0.576, [lambda s: 0.001 + 0 * s])
    (0.5074494, [0.02537247])
    """
    points, state = _bent(profile, span)
    n = len(points.s)
    bent = points.softness**2 * (points.integral @ np.sin(state[:n]))
    by_more = np.zeros((n + 2, len(more)))
    for column, add in zip(by_more.T, more, strict=True):
        column[:n] = state[n + 1] * (points.integral @ (bent * add(points.s)))
    slopes = np.linalg.solve(_equations(points, state, span)[1], by_more)[n + 1]
    return float(state[n + 1]), slopes.tolist()


def _bent(profile: Profile, span: float) -> tuple[Mesh, Array]:
    """Points along a bent bow, and its state there: θ, θ at the left tip, and thrust, in one array (N + 2,)."""
    length = profile.length
    _possible(span, length)
    points = mesh(profile)
    if length - span < _HAIR * length:
        return points, _barely_bent(profile, points, length - span)
    state = _solve(profile, points, span)
    for _ in range(_FINER):
        more = unresolved(state[:-2].reshape(-1, POINTS), _RESOLVED)
        if not more.any():
            break
        finer = mesh(profile, halved(points.edges, more))
        guess = np.concatenate([np.interp(finer.s, points.s, state[:-2]), state[-2:]])
        found = _newton(finer, guess, span)
        state = found if found is not None else _solve(profile, finer, span)
        points = finer
    return points, state


def _solve(profile: Profile, points: Mesh, span: float) -> Array:
    """The state of the bent bow at these points."""
    length = profile.length
    m = (1 - span / length) * (1 - (1 - span / length) / 8)  # k² of a uniform bow, to its second order
    slack = 2 * asin(sqrt(m))
    mean = float(points.weights @ points.softness) / length
    guess = np.concatenate([slack * np.cos(pi * points.s / length), [slack, (pi / length) ** 2 / mean]])
    found = _newton(points, guess, span)
    return found if found is not None else _step_by_step(profile, points, span)


def _step_by_step(profile: Profile, points: Mesh, span: float) -> Array:
    """The solution reached from the barely bent bow, the span drawn in a little at a time."""
    length = profile.length
    now, step = length, 0.002 * length
    state = _barely_bent(profile, points, min(step, length - span))
    while now > span:
        target = max(now - step, span)
        found = _newton(points, state, target)
        if found is None:
            step *= 0.5
            if step < 1e-7 * length:
                raise ValueError(f"no bent shape was found for a bow of {length:g} m at a span of {span:g} m")
            continue
        state, now, step = found, target, 1.6 * step
    return state


def _barely_bent(profile: Profile, points: Mesh, shortening: float) -> Array:
    """The first buckling mode, drawn in by as much: the solution but for parts as small as shortening over length."""
    load, fine, y = buckled(profile)
    first, theta_0 = _mode_slopes(fine, y, load)
    theta = np.interp(points.s, fine.s, first)
    size = sqrt(2 * shortening / float(points.weights @ theta**2))
    return np.concatenate([size * theta, [size * theta_0, load]])


def _mode_slopes(points: Mesh, y: Array, load: float) -> tuple[Array, float]:
    """The slopes of a buckled rod at its points and at its start."""
    turned = load * points.integral @ (points.softness * y)
    length = float(points.weights.sum())
    start = float(points.weights @ turned) / length
    return start - turned, start


def _newton(points: Mesh, state: Array, span: float) -> Array | None:
    """The state after Newton's steps, or None if they fail or end in another shape than the lowest."""
    n = len(points.s)
    for _ in range(_STEPS):
        residual, jacobian = _equations(points, state, span)
        try:
            step = np.linalg.solve(jacobian, residual)
        except np.linalg.LinAlgError:
            return None
        state = state - step
        if not np.isfinite(state).all() or abs(state[n]) > pi:
            return None
        if np.abs(step[: n + 1]).max() <= _CLOSE * abs(state[n]):
            return state if _lowest(points, state) else None
    return None


def _equations(points: Mesh, state: Array, span: float) -> tuple[Array, Array]:
    """What a state misses the equations of the bent bow by, (N + 2,), and the slopes of that, (N + 2, N + 2)."""
    n = len(points.s)
    theta, start, thrust = state[:n], state[n], state[n + 1]
    sine, cosine = np.sin(theta), np.cos(theta)
    once = points.integral * points.softness
    turned = once @ (points.integral @ sine)
    residual, jacobian = np.empty(n + 2), np.zeros((n + 2, n + 2))
    residual[:n] = theta - start + thrust * turned
    residual[n] = points.weights @ sine
    residual[n + 1] = points.weights @ cosine - span
    jacobian[:n, :n] = (thrust * once) @ (points.integral * cosine)
    jacobian[range(n), range(n)] += 1.0
    jacobian[:n, n] = -1.0
    jacobian[:n, n + 1] = turned
    jacobian[n, :n] = points.weights * cosine
    jacobian[n + 1, :n] = -points.weights * sine
    return residual, jacobian


def _lowest(points: Mesh, state: Array) -> bool:
    """Whether the shape is the one with a single hump, bowing to the positive side under a push."""
    n = len(points.s)
    return bool(state[n] > 0 and state[n + 1] > 0 and (points.integral @ np.sin(state[:n]) > 0).all())


def _curve(profile: Profile, points: Mesh, state: Array) -> BentBow:
    """The bent bow from its solution, sampled evenly on every piece."""
    n = len(points.s)
    theta, start, thrust = state[:n].reshape(-1, POINTS), float(state[n]), float(state[n + 1])
    half = 0.5 * np.diff(points.edges)[:, None]
    sine, cosine = np.sin(theta), np.cos(theta)
    x, y = _running(half, cosine), _running(half, sine)
    s = points.edges[:-1, None] + half * (1.0 + rule().even)
    inside = 1e-9 * profile.length
    s[1:, 0] += inside
    s[:-1, -1] -= inside
    curvature = thrust * np.maximum(y, 0.0) / profile.at(s.ravel()).reshape(s.shape)
    y[0, 0] = y[-1, -1] = 0.0
    angles = theta @ rule().sample.T
    end = start - thrust * float(points.weights @ (points.softness * (points.integral @ sine.ravel())))
    deepest, rise = _deepest(half[:, 0], theta, angles, x[:, 0], y[:, 0])
    return BentBow(thrust, rise, start, -end, deepest, s.ravel(), x.ravel(), y.ravel(), curvature.ravel())


def _running(half: Array, values: Array) -> Array:
    """The integral from the start of the rod to even spacings on each piece; (p, SAMPLES)."""
    whole = half[:, 0] * (values @ rule().weights)
    before = np.concatenate([[0.0], np.cumsum(whole)[:-1]])
    return np.asarray(before[:, None] + half * (values @ rule().sample_integral.T))


def _deepest(half: Array, theta: Array, angles: Array, x: Array, y: Array) -> tuple[float, float]:
    """Where along the chord the rod runs parallel to it, and its depth there, m."""
    i, j = divmod(int(np.argmax(angles.ravel() <= 0)), angles.shape[1])
    series, slope = rule().coefficients @ theta[i], rule().slope_coefficients @ theta[i]
    t = -1.0 + 2.0 * j / (angles.shape[1] - 1)
    for _ in range(6):
        step = float(legendre.legval(t, series) / legendre.legval(t, slope))
        t -= step
        if abs(step) < _CLOSE:
            break
    so_far = half[i] * (integrals(np.array([t]), POINTS)[0] @ rule().coefficients)
    return float(x[i] + so_far @ np.cos(theta[i])), float(y[i] + so_far @ np.sin(theta[i]))
