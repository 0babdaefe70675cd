"""Where kites hang on the shelf so that no sail, name or end of a line of winds ever meets another.

Each kite has a few ways to hang: where along its line of winds, and on which side its name stands. For each way, what
hangs already forbids intervals of height, so the cost over all heights is a sum of steps; the cheapest height of the
cheapest way is taken. Kites are hung hardest first, then each is taken down and hung again until nothing moves; what
still meets is taken down with its neighbours and hung in other orders. Nothing is random: same book, same sky.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from bowbook.pages.hang_ways import KINDS, Hangable, Paper, Place, Way, ways_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

HARD, STEP = 1000.0, 2.5
PASSES, ROUNDS, TRIALS = 5, 3, 16
HOPELESS = 6  # where more kites meet than this, other orders will not part them
NEAR = 62.0  # px within which neighbours push each other a little
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
    """All ways of one kite as arrays: the kind of each box, boxes (way, box, 4), costs (way, height), middles."""

    item: Hangable
    ways: tuple[Way, ...]
    kinds: NDArray[np.intp]
    boxes: NDArray[np.float64]
    base: NDArray[np.float64]  # what each way costs at each height before anything else hangs
    middle: NDArray[np.float64]


def hang(items: Sequence[Hangable], paper: Paper) -> tuple[dict[str, Place], int]:
    """A place for every kite by its key, and how many of them still meet another: 0 where all is well."""
    heights = np.arange(0.0, paper.height, STEP)
    all_ways = {item.key: _as_arrays(item, paper, heights) for item in items}
    if not all(known.ways for known in all_ways.values()):
        return {}, len(items)
    sky = _Sky(all_ways, heights)
    crowd = {one.key: sum(one.right > o.left and o.right > one.left for o in items) for one in items}
    order = sorted(items, key=lambda i: (-crowd[i.key], i.left - i.right, i.key))
    for item in order:
        sky.rehang(item.key)
    for _ in range(PASSES):
        turns = [key for key in sorted(sky.cost, key=lambda key: (-sky.cost[key], key)) if key in sky.stale]
        moved = [sky.rehang(key) for key in turns]
        if not any(moved):
            break
    _part(sky)
    places = {key: Place(all_ways[key].ways[way], y) for key, (way, y) in sky.placed.items()}
    return places, len(sky.meeting())


def _part(sky: _Sky) -> None:
    """What still meets is taken down with its nearest neighbours and hung in other orders, while that helps."""
    trials = 0
    if len(sky.meeting()) > HOPELESS:
        return
    for round_ in range(ROUNDS):
        better = False
        for key in sky.meeting():
            for group in sky.around(key, 5 + round_):
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
    """What hangs where: (number of the way, height) by key, and what each place costs."""

    def __init__(self, ways: dict[str, _Ways], heights: NDArray[np.float64]) -> None:
        self.ways, self.heights = ways, heights
        self.placed: dict[str, tuple[int, float]] = {}
        self.cost: dict[str, float] = {}
        reach = {key: (own.boxes[:, :, 0].min() - NEAR, own.boxes[:, :, 2].max() + NEAR) for key, own in ways.items()}
        self.beside = {
            key: [k for k, (left, right) in reach.items() if k != key and left < own[1] and own[0] < right]
            for key, own in reach.items()
        }
        self.stale = set(ways)  # near which something has moved since they were hung
        self.unsettled = set(ways)  # near which something has moved since their cost was taken

    def rehang(self, key: str) -> bool:
        """Takes a kite down and hangs it where that is cheapest; gives whether it moved."""
        cost = self._costs(key, slice(None))
        way, step = divmod(int(np.argmin(cost)), cost.shape[1])
        before = self.placed.get(key)
        self.placed[key] = (way, float(self.heights[step]))
        self.cost[key] = float(cost[way, step])
        self.stale.discard(key)
        self.unsettled.discard(key)
        if before == self.placed[key]:
            return False
        self.stale.update(self.beside[key])
        self.unsettled.update(self.beside[key])
        return True

    def settle(self) -> float:
        """What all places cost now, together."""
        for key in self.unsettled:
            way, y = self.placed[key]
            self.cost[key] = float(self._costs(key, slice(way, way + 1))[0, round(y / STEP)])
        self.unsettled.clear()
        return sum(self.cost[key] for key in self.placed)

    def meeting(self) -> list[str]:
        """The kites that meet another, the worst first."""
        self.settle()
        return sorted((key for key, cost in self.cost.items() if cost > HARD / 2), key=lambda k: (-self.cost[k], k))

    def around(self, key: str, many: int) -> Iterator[list[str]]:
        """A kite and so many of its nearest neighbours, in one order after another."""

        def away(other: str) -> tuple[float, str]:
            return abs(self._middle(other) - self._middle(key)) / 1.8 + abs(
                self.placed[other][1] - self.placed[key][1]
            ), other

        near = sorted((other for other in self.placed if other != key), key=away)[:many]
        for first in range(len(near) + 1):
            yield [key, *near[first:], *near[:first]]

    def try_again(self, group: list[str]) -> bool:
        """Hangs a group anew in this order, and keeps that where it costs less; gives whether it did."""
        total, before, costs = self.settle(), dict(self.placed), dict(self.cost)
        for key in group:
            del self.placed[key]
        for key in group:
            self.rehang(key)
        for key in group:
            if key in self.stale:
                self.rehang(key)
        if self.settle() < total - 1e-6:
            return True
        self.placed, self.cost = before, costs
        return False

    def _middle(self, key: str) -> float:
        return float(self.ways[key].middle[self.placed[key][0]])

    def _costs(self, key: str, which: slice) -> NDArray[np.float64]:
        """The cost of every height, for each of these ways of a kite, given what else hangs."""
        own, heights = self.ways[key], self.heights
        boxes, steps = own.boxes[which], len(heights)
        cost, item = own.base[which].copy(), own.item
        others = [k for k in self.beside[key] if k in self.placed]
        if not others:
            return cost
        boxes_hung = [self.ways[k].boxes[self.placed[k][0]] for k in others]
        down = np.array([self.placed[k][1] for k in others])
        hung = np.concatenate(boxes_hung)
        hung[:, 1::2] += np.repeat(down, [len(own) for own in boxes_hung])[:, None]
        kinds = np.concatenate([self.ways[k].kinds for k in others])
        near = (hung[:, 0] < boxes[:, :, 2].max() + 12) & (hung[:, 2] > boxes[:, :, 0].min() - 12)
        cost += _forbidden(boxes, own.kinds, hung[near], kinds[near], steps)
        middles = np.array([self._middle(k) for k in others])
        centres = down + np.array([(self.ways[k].item.down - self.ways[k].item.up) / 2 for k in others])
        across = np.exp(-(((own.middle[which][:, None] - middles) / 1.25 / NEAR) ** 2))
        along = np.exp(-(((centres[:, None] - heights - (item.down - item.up) / 2) / NEAR) ** 2))
        cost += 7 * across @ along
        return cost


def _forbidden(
    boxes: NDArray[np.float64],
    own_kinds: NDArray[np.intp],
    hung: NDArray[np.float64],
    kinds: NDArray[np.intp],
    steps: int,
) -> NDArray[np.float64]:
    """What the boxes that hang already add to the cost of each height, for each way."""
    across, apart, cost = (rule[own_kinds[:, None], kinds] for rule in (_ACROSS, _APART, _COST))
    across = np.where(cost > 0, across, -np.inf)
    meets = (boxes[:, :, 0, None] < hung[:, 2] + across) & (hung[:, 0] - across < boxes[:, :, 2, None])
    flat = np.flatnonzero(meets)
    pair, way = flat % (len(own_kinds) * len(hung)), flat // (len(own_kinds) * len(hung))
    own, other = pair // len(hung), pair % len(hung)
    low = hung[other, 1] - apart[own, other] - boxes[way, own, 3]
    high = hung[other, 3] + apart[own, other] - boxes[way, own, 1]
    begin = np.clip(np.floor(low / STEP) + 1, 0, steps).astype(int)
    end = np.maximum(np.clip(np.ceil(high / STEP), 0, steps).astype(int), begin)
    weight, row = cost[own, other], way * (steps + 1)
    size = len(boxes) * (steps + 1)
    change = np.bincount(row + begin, weight, size) - np.bincount(row + end, weight, size)
    found: NDArray[np.float64] = np.cumsum(change.reshape(len(boxes), steps + 1), axis=1)[:, :-1]
    return found


def _matrix(column: int) -> NDArray[np.float64]:
    """One column of the rules, by the kinds of two boxes."""
    found = np.zeros((len(_NAMES), len(_NAMES)))
    for rule in RULES:
        one, other = _NAMES.index(rule[0]), _NAMES.index(rule[1])
        found[one, other] = found[other, one] = rule[column]
    return found


_NAMES = tuple(dict.fromkeys(KINDS))
_COST, _ACROSS, _APART = _matrix(2), _matrix(3), _matrix(4)


def _as_arrays(item: Hangable, paper: Paper, heights: NDArray[np.float64]) -> _Ways:
    ways = ways_of(item, paper)
    boxes = np.array([way.boxes for way in ways], dtype=float).reshape(len(ways), len(KINDS), 4)
    there = np.isfinite(boxes).all((0, 2)) if ways else np.ones(len(KINDS), dtype=bool)
    kinds = np.array([_NAMES.index(kind) for kind in KINDS])[there]
    base = _alone(boxes[:, there], np.array([way.cost for way in ways]), heights, paper)
    return _Ways(item, ways, kinds, boxes[:, there], base, np.array([way.x for way in ways]))


def _alone(
    boxes: NDArray[np.float64], ways: NDArray[np.float64], heights: NDArray[np.float64], paper: Paper
) -> NDArray[np.float64]:
    """What every height costs in an empty sky, for each way: a kite stays off the sky's edges."""
    top, foot = boxes[:, :, 1].min(1)[:, None] + heights, boxes[:, :, 3].max(1)[:, None] + heights
    outside = (top < paper.top).astype(float) + (foot > paper.height - paper.foot)
    near = np.exp(-(top - paper.top).clip(0) / 26) + np.exp(-(paper.height - paper.foot - foot).clip(0) / 26)
    cost: NDArray[np.float64] = ways[:, None] + 3 * HARD * outside + 1.3 * near
    return cost
