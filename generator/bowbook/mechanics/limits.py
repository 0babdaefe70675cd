"""Refusals in a maker's words: a quantity, what it was, what it may be."""

from __future__ import annotations

from math import isfinite


def positive(quantity: str, value: float, unit: str) -> None:
    """Nothing, if `value` is a finite number above zero.

    Raises
    ------
    ValueError : it is not; the message names the quantity, its value and what is allowed.

    >>> positive("the free length", -0.3, "m")
    Traceback (most recent call last):
    ...
    ValueError: the free length is -0.3 m; it must be more than 0 m
    """
    if not (isfinite(value) and value > 0):
        raise ValueError(f"{quantity} is {value:g} {unit}; it must be more than 0 {unit}")


def within(quantity: str, value: float, low: float, high: float, unit: str) -> None:
    """Nothing, if `low` ≤ `value` ≤ `high`.

    Raises
    ------
    ValueError : it is not; the message names the quantity, its value and what is allowed.

    >>> within("the hold factor", 3.0, 0.5, 2.0, "")
    Traceback (most recent call last):
    ...
    ValueError: the hold factor is 3; it must be from 0.5 to 2
    """
    if not low <= value <= high:
        tail = f" {unit}" if unit else ""
        raise ValueError(f"{quantity} is {value:g}{tail}; it must be from {low:g} to {high:g}{tail}")
