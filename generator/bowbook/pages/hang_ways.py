"""The ways in which one kite can hang on the shelf: where along its line of winds, its name on which side."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from msgspec import Struct

from bowbook.charts.profile import SLABS

KINDS = ("sail",) * SLABS + ("text", "text", "line", "line", "end", "end")
"""What each box of a way stands for, in order."""

SIDES = {"right": 0.0, "left": 0.6, "below": 2.2, "above": 7.0}
"""Where a name may stand, and what that costs: beside its kite, on its line, is best."""

GAP = 7.0  # px from a sail to its name
EDGE = 8.0  # px that texts keep from the sky's sides
SLACK = 0.26  # how far from the middle of its line a kite may hang, as share of the line

Box = tuple[float, float, float, float]  # left, top, right, foot; heights from the line of winds
ABSENT: Box = (math.inf, math.inf, -math.inf, -math.inf)
HIDDEN: Box = (-1e6, 0.0, -1e6, 0.0)  # behind the kite's own sail: meets nothing


class Paper(Struct, frozen=True):
    """What kites are hung on: width and height of the sky, what stays free above and below, the sizes of texts, px."""

    width: float
    height: float
    top: float
    foot: float
    name: float
    small: float | None  # None: names alone, and a line only when the wind now is on it


class Hangable(Struct, frozen=True):
    """One kite to hang, px: its line of winds, its sail as half widths from nose to tail, its texts' widths.

    `up` and `down` are from the line, which runs through the wing tips, to the nose and to the tail.
    """

    key: str
    left: float
    right: float
    halves: tuple[float, ...]
    up: float
    down: float
    name: float
    winds: float

    @property
    def half(self) -> float:
        """Half its width at the tips."""
        return max(self.halves)


class Way(Struct, frozen=True):
    """One way to hang: the spine's x, the side of the name, where its texts begin, end or centre, its boxes."""

    x: float
    side: str
    anchor: float
    name_y: float
    winds_y: float
    cost: float
    boxes: tuple[Box, ...]

    def by_kind(self) -> Iterator[tuple[str, Box]]:
        """Each box that is there, with what it stands for; heights from the line of winds."""
        return ((kind, box) for kind, box in zip(KINDS, self.boxes, strict=True) if box not in (ABSENT, HIDDEN))


class Place(Struct, frozen=True):
    """How and how high one kite hangs: its way, and px of its line of winds below the top of the sky."""

    way: Way
    y: float


def ways_of(item: Hangable, paper: Paper) -> tuple[Way, ...]:
    """Every way this kite can hang with its name inside the sky."""
    span, half = item.right - item.left, item.half
    middle = (item.left + item.right) / 2
    shifts = [0.0]
    for share in (0.34, 0.67, 1.0):
        shift = min(span * SLACK, max(span / 2 - half, 0.0)) * share
        if shift > 4:
            shifts += [shift, -shift]
    return tuple(way for shift in shifts for way in _ways_at(item, paper, middle + shift, shift))


def _ways_at(item: Hangable, paper: Paper, x: float, shift: float) -> Iterator[Way]:
    """Every way with the spine at x, `shift` px from the middle of its line."""
    half = item.half
    if x - half < EDGE / 2 or x + half > paper.width - EDGE / 2:
        return
    sail = _slabs(item, x)
    lines = ends = (ABSENT, ABSENT)
    if paper.small:
        # what stands inside the kite's own sail is hidden by it
        parts = ((item.left, min(x - half, item.right)), (max(x + half, item.left), item.right))
        lines = _both((a, -1.0, b, 1.0) if b > a else HIDDEN for a, b in parts)
        ends = _both(
            HIDDEN if line is HIDDEN else (e - 3, -5.0, e + 3, 5.0)
            for line, e in zip(lines, (item.left, item.right), strict=True)
        )
    for side, dear in SIDES.items():
        anchor, name, winds, baselines = _texts(item, paper, x, side)
        if min(name[0], winds[0] if paper.small else name[0]) < EDGE or max(name[2], winds[2]) > paper.width - EDGE:
            continue
        cost = abs(shift) * 0.02 + dear
        # a name beside the kite should stand on its line, not out in the air past its end
        if side == "right":
            cost += max(0.0, name[2] - item.right - 4) * 0.05
        if side == "left":
            cost += max(0.0, item.left - name[0] - 4) * 0.05
        boxes = (*sail, name, winds if paper.small else ABSENT, *lines, *ends)
        yield Way(x, side, anchor, *baselines, cost, boxes)


def _both(boxes: Iterable[Box]) -> tuple[Box, Box]:
    one, other = boxes
    return one, other


def _slabs(item: Hangable, x: float) -> list[Box]:
    """The sail as boxes from nose to tail."""
    tall = (item.up + item.down) / SLABS
    return [(x - half, n * tall - item.up, x + half, (n + 1) * tall - item.up) for n, half in enumerate(item.halves)]


def _texts(item: Hangable, paper: Paper, x: float, side: str) -> tuple[float, Box, Box, tuple[float, float]]:
    """Where the texts stand on a side: the x they hang from, the boxes of name and winds, their baselines."""
    name, small = paper.name, paper.small or 0.0
    if side in ("right", "left"):
        anchor = x + item.half + GAP if side == "right" else x - item.half - GAP
        sign = 1 if side == "right" else 0
        # above and below the line, or, where no line is drawn, on its height
        over = (-name * 0.98, -2.0) if paper.small else (-name * 0.62, name * 0.42)
        box = (anchor - item.name * (1 - sign), over[0], anchor + item.name * sign, over[1])
        under = (anchor - item.winds * (1 - sign), 3.0, anchor + item.winds * sign, 4 + small * 1.06)
        return anchor, box, under, (-5.0 if paper.small else name * 0.3, small + 2.5)
    y = item.down + 2 if side == "below" else -item.up - 3 - small - name * 1.12
    box = (x - item.name / 2, y, x + item.name / 2, y + name * 1.1)
    under = (x - item.winds / 2, y + name * 1.12, x + item.winds / 2, y + name * 1.12 + small)
    return x, box, under, (y + name * 0.86, y + name * 1.12 + small * 0.84)
