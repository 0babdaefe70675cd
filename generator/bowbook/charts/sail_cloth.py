"""The cloth of a drawn sail: its two halves or its panels in their colours, and the maker's drawing over them."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from itertools import pairwise

from bowbook.book.sail import Corner, Panels, SailDrawing
from bowbook.charts.svg import number

Point = tuple[float, float]
Points = Sequence[Point]
Edges = Sequence[tuple[Point | None, Point]]
"""What follows on a first point: each with the point that its edge bends to, None where it is straight."""


def path(points: Points) -> str:
    """A closed path through points in mm.

    >>> path([(0, 0), (30, 19.04), (0, 52)])
    'M0 0L30 19L0 52Z'
    """
    return "M" + "L".join(f"{number(x, 1)} {number(y, 1)}" for x, y in points) + "Z"


def both_halves(right: Points) -> list[tuple[float, float]]:
    """The whole outline from its right half, nose to tail and back along the left."""
    return [*right, *((-x, y) for x, y in reversed(right) if x)]


def half_path(corners: Sequence[Corner], side: int) -> str:
    """One half along its corners and down the spine, in mm; `side` is -1 for the left, 1 for the right.

    A curved edge is a parabola, and so is a quadratic Bézier curve (SVG 2, 9.3.7): its bend is twice as far out.

    >>> half_path([Corner(0, 0, 0.02), Corner(0.3, 0.19), Corner(0, 0.52)], 1)
    'M0 0Q171.4 61.2 300 190L0 520Z'
    """
    first, edges = _run(corners, side)
    ends: Edges = [(None, (0.0, y)) for x, y in (edges[-1][1], first) if x]
    return _along(first, [*edges, *ends])


def whole_path(corners: Sequence[Corner]) -> str:
    """The whole outline in mm, from the nose along the right to the tail and back along the left."""
    first, right = _run(corners, 1)
    start, left = _run(corners, -1)
    back = [(bend, left[i - 1][1] if i else start) for i, (bend, _) in reversed(list(enumerate(left)))]
    tail: Edges = [(None, left[-1][1])] if left[-1][1][0] else []
    return _along(first, [*right, *tail, *(back if start[0] else back[:-1] + _closing(back[-1]))])


def _closing(last: tuple[Point | None, Point]) -> list[tuple[Point | None, Point]]:
    """The last edge, left to the closing of the path where it is straight."""
    return [last] if last[0] else []


def _run(corners: Sequence[Corner], side: int) -> tuple[Point, list[tuple[Point | None, Point]]]:
    points = [(side * 1000 * corner.out_m, 1000 * corner.down_m) for corner in corners]
    edges: list[tuple[Point | None, Point]] = []
    for corner, (x, y), (to_x, to_y) in zip(corners, points, points[1:], strict=False):
        bend = None
        if corner.curve_m:
            over, down = to_x - x, to_y - y
            off = side * 2000 * corner.curve_m / (math.hypot(over, down) or 1.0)
            bend = (x + over / 2 + off * down, y + down / 2 - off * over)
        edges.append((bend, (to_x, to_y)))
    return points[0], edges


def _along(first: Point, edges: Edges) -> str:
    def said(*points: Point) -> str:
        return " ".join(f"{number(x, 1)} {number(y, 1)}" for x, y in points)

    return f"M{said(first)}" + "".join(f"Q{said(b, to)}" if b else f"L{said(to)}" for b, to in edges) + "Z"


def on_one_side(points: Points, a: float, b: float, c: float) -> list[tuple[float, float]]:
    """The part of a shape where a·x + b·y + c is not negative (Sutherland and Hodgman's clipping at one edge).

    >>> on_one_side([(0, 0), (4, 0), (4, 4), (0, 4)], 1, 0, -2)
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


def halves_svg(corners: Sequence[Corner], colours: tuple[str, str]) -> str:
    """The left and the right half, each in its colour; one shape where it is the same."""
    if colours[0] == colours[1]:
        return f'<path fill="{colours[0]}" d="{whole_path(corners)}"/>'
    halves = zip(colours, (-1, 1), strict=True)
    return "".join(f'<path fill="{colour}" d="{half_path(corners, side)}"/>' for colour, side in halves)


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
            _fill(on_one_side(on_one_side(whole, side, 0, 0), 0, below, -below * at), colours[(i + j) % len(colours)])
            for i, side in enumerate((-1, 1))
            for j, below in enumerate((-1, 1))
        )
    count = panels.count or len(colours)
    (low, high), (a, b) = ((top, tail), (0, 1)) if panels.lay == "across" else ((-out, out), (1, 0))
    edges = [low + (high - low) * i / count for i in range(count + 1)]
    return "".join(
        _fill(on_one_side(on_one_side(whole, a, b, -start), -a, -b, end), colours[i % len(colours)])
        for i, (start, end) in enumerate(pairwise(edges))
    )


def drawing_svg(right: Points, edge: str, drawing: SailDrawing, key: str) -> str:
    """The maker's drawing over the whole sail, cut to its `edge`; `key` makes its id the page's only one."""
    whole = both_halves(right)
    xs, ys = [x for x, _ in whole], [y for _, y in whole]
    box = (min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))
    x, y, width, height = (number(v, 1) for v in box)
    view = " ".join(f"{n:g}" for n in drawing.view)
    name = drawing_prefix(key) + "cut"
    return (
        f'<clipPath id="{name}"><path d="{edge}"/></clipPath><g clip-path="url(#{name})">'
        f'<svg x="{x}" y="{y}" width="{width}" height="{height}" viewBox="{view}"'
        f' preserveAspectRatio="xMidYMid slice">{drawing.markup}</svg></g>'
    )


def drawing_prefix(key: str) -> str:
    """What the ids of a kite's drawing begin with."""
    return re.sub(r"[^\w-]", "_", key) + "-"


def _fill(points: Points, colour: str) -> str:
    return f'<path fill="{colour}" d="{path(points)}"/>' if len(points) > 2 else ""
