"""Where kites hang on the shelf so that no sail, name or end of a line of winds ever meets another.

Each kite has a few ways to hang: where along its line of winds, and on which side its name stands. For each way, what
hangs already forbids intervals of height, so the cost over all heights is a sum of steps; the cheapest height of the
cheapest way is taken. What is forbidden is looked at only for ways that could still be the cheapest. Kites are hung
hardest first, then each is taken down and hung again until nothing moves; what still meets is taken down with its
neighbours and hung in other orders. Nothing is random: same book, same sky.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import compress
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from bowbook.pages.hang_ways import ABSENT, KINDS, Hangable, Paper, Place, Way, ways_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

HARD, STEP = 1000.0, 2.5
PASSES, ROUNDS, TRIALS = 5, 3, 16
HOPELESS = 6  # where more kites meet than this, other orders will not part them
NEAR = 62.0  # px within which neighbours push each other a little
FIRST = 4  # ways that are looked at before the others are compared with the best of them
# what may not meet what, what that costs, and by how much they stay apart across and up (px)
RULES = (
    ("sail", "sail", HARD, 5, 4),
    ("sail", "text", HARD, 4, 2),
    ("text", "text", HARD, 12, 2),
    ("text", "line", HARD, 2, 2),
    ("line", "line", HARD, 6, 8),
    ("sail", "end", HARD, 2, 2),
    ("text", "end", HARD, 8, 1),
    ("sail", "line", 2.4, 0, 1),
)


class _Ways(NamedTuple):
    """All ways of one kite: their boxes (way, box, 4), middles, and costs (way, height) before anything else hangs.

    `centre` is the middle of its sail, px below its line of winds.
    """

    ways: tuple[Way, ...]
    boxes: NDArray[np.float64]
    middle: NDArray[np.float64]
    base: NDArray[np.float64]
    centre: float


def hang(items: Sequence[Hangable], paper: Paper) -> tuple[dict[str, Place], int]:
    """A place for every kite by its key, and how many of them still meet another: 0 where all is well."""
    items = sorted(items, key=lambda item: item.key)
    heights = np.arange(0.0, paper.height, STEP)
    ways = [ways_of(item, paper) for item in items]
    if not all(ways):
        return {}, len(items)
    there = [box != ABSENT for box in ways[0][0].boxes]  # the same for all on one paper
    kites = [_as_arrays(item, own, there, paper, heights) for item, own in zip(items, ways, strict=True)]
    sky = _Sky(kites, _rules(list(compress(KINDS, there))), heights)
    crowd = [sum(one.right > o.left and o.right > one.left for o in items) for one in items]
    for number in sorted(range(len(items)), key=lambda n: (-crowd[n], items[n].left - items[n].right)):
        sky.rehang(number)
    for _ in range(PASSES):
        turns = [n for n in sorted(range(len(items)), key=lambda n: -sky.cost[n]) if sky.stale[n]]
        moved = [sky.rehang(number) for number in turns]
        if not any(moved):
            break
    _part(sky)
    places = {item.key: Place(kite.ways[way], y) for item, kite, (way, y) in zip(items, kites, sky.placed, strict=True)}
    return places, len(sky.meeting())


def _part(sky: _Sky) -> None:
    """What still meets is taken down with its nearest neighbours and hung in other orders, while that helps."""
    trials = 0
    if len(sky.meeting()) > HOPELESS:
        return
    for round_ in range(ROUNDS):
        better = False
        for number in sky.meeting():
            for group in sky.around(number, 5 + round_):
                if trials == TRIALS:
                    return
                trials += 1
                if sky.try_again(group):
                    better = True
                    break
            if better:
                break
        if not better:
            return


class _Sky:
    """What hangs where: of each kite, by its number, the number of its way and its height, and what that costs."""

    def __init__(self, kites: Sequence[_Ways], rules: _Rules, heights: NDArray[np.float64]) -> None:
        self.kites, self.rules, self.heights = kites, rules, heights
        self.placed = [(0, 0.0)] * len(kites)
        self.cost = [0.0] * len(kites)
        self.hangs = np.zeros(len(kites), dtype=bool)
        self.boxes = np.array([kite.boxes[0] for kite in kites])  # as they hang
        self.middle, self.centre = np.zeros(len(kites)), np.zeros(len(kites))
        left = np.array([kite.boxes[:, :, 0].min() for kite in kites]) - NEAR
        right = np.array([kite.boxes[:, :, 2].max() for kite in kites]) + NEAR
        self.beside = (left[:, None] < right) & (left < right[:, None]) & ~np.eye(len(kites), dtype=bool)
        self.stale = np.ones(len(kites), dtype=bool)  # near which something has moved since they were hung
        self.unsettled = np.ones(len(kites), dtype=bool)  # near which something has moved since their cost was taken

    def rehang(self, number: int) -> bool:
        """Takes a kite down and hangs it where that is cheapest; gives whether it moved."""
        kite = self.kites[number]
        push = self._pushed(number, slice(None))
        least = (kite.base + push).min(1)
        cost = np.full_like(kite.base, np.inf)
        likely = np.argsort(least, kind="stable")
        for ways in (likely[:FIRST], likely[FIRST:]):
            some = ways[least[ways] < cost.min() + 1e-6]
            if len(some):
                cost[some] = self._costs(number, some, push[some])
        way, step = divmod(int(np.argmin(cost)), cost.shape[1])
        place = way, float(self.heights[step])
        moved = not self.hangs[number] or place != self.placed[number]
        self.cost[number] = float(cost[way, step])
        self.stale[number] = self.unsettled[number] = False
        if moved:
            self._put(number, place)
            self.stale |= self.beside[number]
            self.unsettled |= self.beside[number]
        return moved

    def settle(self) -> float:
        """What all places cost now, together."""
        for number in np.flatnonzero(self.unsettled).tolist():
            way, y = self.placed[number]
            ways = slice(way, way + 1)
            cost = self._costs(number, ways, self._pushed(number, ways))
            self.cost[number] = float(cost[0, round(y / STEP)])
        self.unsettled[:] = False
        return sum(self.cost)

    def meeting(self) -> list[int]:
        """The kites that meet another, the worst first."""
        self.settle()
        return sorted((n for n, cost in enumerate(self.cost) if cost > HARD / 2), key=lambda n: -self.cost[n])

    def around(self, number: int, many: int) -> Iterator[list[int]]:
        """A kite and so many of its nearest neighbours, in one order after another."""

        def away(other: int) -> float:
            across = abs(float(self.middle[other] - self.middle[number]))
            return across / 1.8 + abs(self.placed[other][1] - self.placed[number][1])

        near = sorted((other for other in range(len(self.kites)) if other != number), key=away)[:many]
        for first in range(len(near) + 1):
            yield [number, *near[first:], *near[:first]]

    def try_again(self, group: list[int]) -> bool:
        """Hangs a group anew in this order, and keeps that where it costs less; gives whether it did."""
        total, placed, costs = self.settle(), list(self.placed), list(self.cost)
        self.hangs[group] = False
        for number in group:
            self.rehang(number)
        for number in group:
            if self.stale[number]:
                self.rehang(number)
        if self.settle() < total - 1e-6:
            return True
        for number, place in enumerate(placed):
            self._put(number, place)
        self.cost = costs
        return False

    def _put(self, number: int, place: tuple[int, float]) -> None:
        kite, (way, y) = self.kites[number], place
        self.placed[number], self.hangs[number] = place, True
        self.boxes[number] = kite.boxes[way]
        self.boxes[number, :, 1::2] += y
        self.middle[number], self.centre[number] = kite.middle[way], y + kite.centre

    def _near(self, number: int) -> NDArray[np.bool_]:
        """The kites beside it that hang."""
        near: NDArray[np.bool_] = self.beside[number] & self.hangs
        return near

    def _pushed(self, number: int, ways: slice) -> NDArray[np.float64]:
        """What its neighbours' pushing costs at every height, for each of these ways of a kite."""
        kite, near = self.kites[number], self._near(number)
        across = np.exp(-(((kite.middle[ways][:, None] - self.middle[near]) / 1.25 / NEAR) ** 2))
        along = np.exp(-(((self.centre[near][:, None] - self.heights - kite.centre) / NEAR) ** 2))
        pushed: NDArray[np.float64] = 7 * across @ along
        return pushed

    def _costs(self, number: int, ways: slice | NDArray[np.intp], push: NDArray[np.float64]) -> NDArray[np.float64]:
        """The cost of every height, for each of these ways of a kite, given what else hangs."""
        kite = self.kites[number]
        boxes, hung = kite.boxes[ways], self.boxes[self._near(number)]
        return kite.base[ways] + _forbidden(boxes, hung, self.rules, len(self.heights)) + push


def _forbidden(boxes: NDArray[np.float64], hung: NDArray[np.float64], rules: _Rules, steps: int) -> NDArray[np.float64]:
    """What the kites that hang already add to the cost of each height, for each way."""
    across = rules.across[:, None]
    right, left = hung[:, :, 2] + across, hung[:, :, 0] - across
    meets = (boxes[:, :, 0, None, None] < right) & (left < boxes[:, :, 2, None, None])
    way, own, other, its = np.unravel_index(np.flatnonzero(meets), meets.shape)
    apart = rules.apart[own, its]
    low = hung[other, its, 1] - apart - boxes[way, own, 3]
    high = hung[other, its, 3] + apart - boxes[way, own, 1]
    begin = np.clip(np.floor(low / STEP) + 1, 0, steps).astype(int)
    end = np.maximum(np.clip(np.ceil(high / STEP), 0, steps).astype(int), begin)
    weight, row = rules.cost[own, its], way * (steps + 1)
    size = len(boxes) * (steps + 1)
    change = np.bincount(row + begin, weight, size) - np.bincount(row + end, weight, size)
    found: NDArray[np.float64] = np.cumsum(change.reshape(len(boxes), steps + 1), axis=1)[:, :-1]
    return found


class _Rules(NamedTuple):
    """The rules as arrays, by the numbers of two kites' boxes; what may meet is apart by less than nothing."""

    cost: NDArray[np.float64]
    across: NDArray[np.float64]
    apart: NDArray[np.float64]


def _rules(kinds: Sequence[str]) -> _Rules:
    """The rules for kites with boxes of these kinds."""
    known = {rule[:2]: rule[2:] for rule in RULES}
    found = [
        [known.get((one, other)) or known.get((other, one)) or (0.0, -np.inf, 0.0) for other in kinds] for one in kinds
    ]
    return _Rules(*np.moveaxis(np.array(found), 2, 0))


def _as_arrays(
    item: Hangable, ways: tuple[Way, ...], there: Sequence[bool], paper: Paper, heights: NDArray[np.float64]
) -> _Ways:
    boxes = np.array([way.boxes for way in ways], dtype=float).reshape(len(ways), len(KINDS), 4)[:, there]
    base = _alone(boxes, np.array([way.cost for way in ways]), heights, paper)
    return _Ways(ways, boxes, np.array([way.x for way in ways]), base, (item.down - item.up) / 2)


def _alone(
    boxes: NDArray[np.float64], ways: NDArray[np.float64], heights: NDArray[np.float64], paper: Paper
) -> NDArray[np.float64]:
    """What every height costs in an empty sky, for each way: a kite stays off the sky's edges."""
    top, foot = boxes[:, :, 1].min(1)[:, None] + heights, boxes[:, :, 3].max(1)[:, None] + heights
    outside = (top < paper.top).astype(float) + (foot > paper.height - paper.foot)
    near = np.exp(-(top - paper.top).clip(0) / 26) + np.exp(-(paper.height - paper.foot - foot).clip(0) / 26)
    cost: NDArray[np.float64] = ways[:, None] + 3 * HARD * outside + 1.3 * near
    return cost
