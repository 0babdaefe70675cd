"""The cloth of a drawn sail: its two halves or its panels in their colours, and the maker's drawing over them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from bowbook.book.sail import Panels, SailDrawing
from bowbook.charts.svg import number

Points = Sequence[tuple[float, float]]


def path(points: Points) -> str:
    """A closed path through points in mm.

    >>> path([(0, 0), (30, 19.04), (0, 52)])
    'M0 0L30 19L0 52Z'
    """
    return "M" + "L".join(f"{number(round(x, 1))} {number(round(y, 1))}" for x, y in points) + "Z"


def both_halves(right: Points) -> list[tuple[float, float]]:
    """The whole outline from its right half, nose to tail and back along the left."""
    return [*right, *((-x, y) for x, y in reversed(right) if x)]


def within(points: Points, a: float, b: float, c: float) -> list[tuple[float, float]]:
    """The part of a shape where a·x + b·y + c is not negative (Sutherland and Hodgman's clipping at one edge).

    >>> within([(0, 0), (4, 0), (4, 4), (0, 4)], 1, 0, -2)
    [(2.0, 0.0), (4, 0), (4, 4), (2.0, 4.0)]
    """
    kept: list[tuple[float, float]] = []
    for (x1, y1), (x2, y2) in zip(points, [*points[1:], *points[:1]], strict=True):
        one, two = a * x1 + b * y1 + c, a * x2 + b * y2 + c
        if one >= 0:
            kept.append((x1, y1))
        if (one < 0) != (two < 0):
            t = one / (one - two)
            kept.append((x1 + t * (x2 - x1), y1 + t * (y2 - y1)))
    return kept


def halves_svg(right: Points, colours: tuple[str, str]) -> str:
    """The left and the right half, each in its colour."""
    left = [(-x, y) for x, y in right]
    return _fill(_to_spine(left), colours[0]) + _fill(_to_spine(right), colours[1])


def panels_svg(right: Points, panels: Panels) -> str:
    """The pieces of a sail in their colours, in turn from the nose, from the left tip, or from the edge."""
    whole = both_halves(right)
    top, tail, out = min(y for _, y in whole), max(y for _, y in whole), max(x for x, _ in whole)
    colours = panels.colours
    if panels.lay == "border":
        centre, steps = (top + tail) / 2, panels.count or len(colours)
        rings = ((1 - 0.18 * i / (1 + 0.06 * i)) for i in range(steps))
        return "".join(
            _fill([(x * s, centre + (y - centre) * s) for x, y in whole], colours[i % len(colours)])
            for i, s in enumerate(rings)
            if s > 0
        )
    if panels.lay == "quarters":
        at = max(right, key=lambda p: p[0])[1]
        return "".join(
            _fill(within(within(whole, side, 0, 0), 0, below, -below * at), colours[(i + j) % len(colours)])
            for i, side in enumerate((-1, 1))
            for j, below in enumerate((-1, 1))
        )
    count = panels.count or len(colours)
    (low, high), (a, b) = ((top, tail), (0, 1)) if panels.lay == "across" else ((-out, out), (1, 0))
    edges = [low + (high - low) * i / count for i in range(count + 1)]
    return "".join(
        _fill(within(within(whole, a, b, -start), -a, -b, end), colours[i % len(colours)])
        for i, (start, end) in enumerate(pairwise(edges))
    )


def drawing_svg(right: Points, drawing: SailDrawing, key: str) -> str:
    """The maker's drawing over the whole sail, cut to its outline; `key` makes its id the page's only one."""
    whole = both_halves(right)
    xs, ys = [x for x, _ in whole], [y for _, y in whole]
    box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    x, y, width, height = (number(round(v, 1)) for v in box)
    view = " ".join(f"{n:g}" for n in drawing.view)
    name = drawing_prefix(key) + "cut"
    return (
        f'<clipPath id="{name}"><path d="{path(whole)}"/></clipPath><g clip-path="url(#{name})">'
        f'<svg x="{x}" y="{y}" width="{width}" height="{height}" viewBox="{view}"'
        f' preserveAspectRatio="xMidYMid slice">{drawing.markup}</svg></g>'
    )


def drawing_prefix(key: str) -> str:
    """What the ids of a kite's drawing begin with."""
    return re.sub(r"[^\w-]", "_", key) + "-"


def _fill(points: Points, colour: str) -> str:
    return f'<path fill="{colour}" d="{path(points)}"/>' if len(points) > 2 else ""


def _to_spine(half: Points) -> list[tuple[float, float]]:
    """A half closed along the spine where the outline does not end on it."""
    ends = [(0.0, y) for x, y in (half[-1], half[0]) if x]
    return [*half, *ends]
