"""Where a function crosses nothing between two places: secants, and halvings where those do not help."""

from __future__ import annotations

from collections.abc import Callable


def root(f: Callable[[float], float], low: float, high: float, close: float = 1e-13) -> float:
    """A root of a continuous function.

    Parameters
    ----------
    f : the function, of different signs at `low` and `high`
    low, high : places on either side of the root
    close : how near, over the size of the root, is near enough

    Returns
    -------
    The place of the root.

    Raises
    ------
    ValueError : the function has one sign at both places.

    Source: Dekker's method: a secant from the two nearest places, a halving where that leaves the bracket.

    >>> root(lambda x: x * x - 2, 0.0, 2.0)
    1.41421356
    """
    a, b, f_a, f_b = low, high, f(low), f(high)
    if f_a == 0 or f_b == 0:
        return a if f_a == 0 else b
    if (f_a > 0) == (f_b > 0):
        raise ValueError(f"there is no root between {low:g} and {high:g}")
    if abs(f_a) < abs(f_b):
        a, b, f_a, f_b = b, a, f_b, f_a
    last, f_last = a, f_a
    for n in range(200):
        middle = 0.5 * (a + b)
        new = b - f_b * (b - last) / (f_b - f_last) if f_b != f_last else middle
        if n % 3 == 2 or not min(b, middle) <= new <= max(b, middle):
            new = middle
        last, f_last = b, f_b
        b, f_b = new, f(new)
        if f_b == 0 or abs(b - last) <= close * abs(b):
            return b
        if (f_a > 0) == (f_b > 0):
            a, f_a = last, f_last
        if abs(f_a) < abs(f_b):
            a, b, f_a, f_b = b, a, f_b, f_a
    return b
