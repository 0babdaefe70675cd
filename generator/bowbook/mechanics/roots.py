"""Where a function crosses nothing between two places: parabolas, and halvings where those do not help."""

from __future__ import annotations

from collections.abc import Callable


def root(f: Callable[[float], float], low: float, high: float, close: float = 1e-13) -> float:
    """A root of a continuous function.

    Parameters
    ----------
    f : the function, any unit, of different signs at `low` and `high`
    low, high : places on either side of the root, any unit
    close : how near, relative to the root, is near enough

    Returns
    -------
    The place of the root.

    Raises
    ------
    ValueError : the function has one sign at both places.

    Source: T. R. Chandrupatla (1997), Advances in Engineering Software 28, 145: the parabola through the last three
    places where it is sure to stay between them, else a halving. The first place is where the chord crosses.

    >>> root(lambda x: x * x - 2, 0.0, 2.0)
    1.41421356
    """
    a, b, f_a, f_b = high, low, f(high), f(low)
    if f_a == 0 or f_b == 0:
        return a if f_a == 0 else b
    if (f_a > 0) == (f_b > 0):
        raise ValueError(f"there is no root between {low:g} and {high:g}")
    part = f_a / (f_a - f_b)
    for _ in range(200):
        new = a + part * (b - a)
        f_new = f(new)
        if (f_new > 0) == (f_a > 0):
            c, f_c = a, f_a
        else:
            c, f_c, b, f_b = b, f_b, a, f_a
        a, f_a = new, f_new
        best, f_best = (a, f_a) if abs(f_a) < abs(f_b) else (b, f_b)
        if f_best == 0 or abs(b - a) <= 2 * close * abs(best):
            return best
        across, up = (a - b) / (c - b), (f_a - f_b) / (f_c - f_b)
        part = 0.5
        if up * up < across and (1 - up) ** 2 < 1 - across:
            part = f_a / (f_b - f_a) * f_c / (f_b - f_c)
            part += (c - a) / (b - a) * f_a / (f_c - f_a) * f_b / (f_c - f_b)
        least = close * abs(best) / abs(b - a)
        part = min(max(part, least), 1 - least)
    return best
