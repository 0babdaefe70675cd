"""A plot on the board: its axes with their ticks and grid, and marks placed by the figures they stand for."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts import scale

if TYPE_CHECKING:
    from bowbook.charts.board import Board


class Axis(Struct, frozen=True):
    """One axis in the unit shown: limits, ticks, what it measures; `far` ticks (value, text) stand opposite."""

    low: float
    high: float
    ticks: tuple[float, ...] = ()
    title: str = ""
    log: bool = False
    texts: tuple[str, ...] | None = None  # in place of the ticks' own numbers
    far: tuple[tuple[float, str], ...] = ()
    far_title: str = ""

    def at(self, value: float) -> float:
        """Where a value stands, 0 at the low limit and 1 at the high one."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def inside(self, value: float) -> float:
        """The value, or the limit it is beyond."""
        return min(max(value, self.low), self.high)

    def labelled(self) -> list[tuple[float, str]]:
        """The ticks with their texts."""
        return list(zip(self.ticks, self.texts or [scale.text(v) for v in self.ticks], strict=True))


class Plot:
    """Marks at figures of two axes; `px` says where a figure stands, to put words beside it."""

    def __init__(self, board: Board, box: tuple[float, float, float, float], x: Axis, y: Axis, grid: str) -> None:
        self.board, self.x, self.y = board, x, y
        self.left, self.top, self.width, self.height = box
        self.rule(grid)
        self._label()

    def px(self, x: float, y: float) -> tuple[float, float]:
        """Px of a point on the sheet."""
        return self.left + self.x.at(x) * self.width, self.top + (1 - self.y.at(y)) * self.height

    def line(self, points: Sequence[tuple[float, float]], inks: str, url: str | None = None) -> None:
        """A line or a shape through figures."""
        self.board.line([self.px(*point) for point in points], inks, url)

    def across(self, y: float, inks: str) -> None:
        """A level line through the whole plot."""
        self.line([(self.x.low, y), (self.x.high, y)], inks)

    def band(self, low: float, high: float, inks: str, start: float | None = None, end: float | None = None) -> None:
        """What lies between two heights, through the whole plot or between two figures across."""
        first, last = self.x.low if start is None else start, self.x.high if end is None else end
        low, high = self.y.inside(low), self.y.inside(high)
        self.line([(first, low), (first, high), (last, high), (last, low)], inks)

    def upright(
        self, spans: Sequence[tuple[float, float, float]], inks: str, urls: Sequence[str] | None = None
    ) -> None:
        """Upright bars (x, from, to), as far as they stand in the plot."""
        inside = self.y.inside
        self.board.bars([(self.px(x, inside(a)), self.px(x, inside(b))) for x, a, b in spans], inks, urls)

    def level(self, spans: Sequence[tuple[float, float, float]], inks: str, urls: Sequence[str] | None = None) -> None:
        """Level bars (y, from, to), as far as they stand in the plot."""
        inside = self.x.inside
        self.board.bars([(self.px(inside(a), y), self.px(inside(b), y)) for y, a, b in spans], inks, urls)

    def dots(
        self, at: Sequence[tuple[float, float]], radius: float, inks: str, urls: Sequence[str] | None = None
    ) -> None:
        """Round points."""
        self.board.dots([self.px(*point) for point in at], radius, inks, urls)

    def specks(self, at: Sequence[tuple[float, float]], inks: str) -> None:
        """Round points of a crowd, as one path."""
        places = [self.px(*point) for point in at]
        self.board.bars(list(zip(places, places, strict=True)), inks)

    def rule(self, grid: str) -> None:
        """Rule the plot at the ticks of the axes named."""
        x, y = self.x, self.y
        lines = [((v, y.low), (v, y.high)) for v in x.ticks] if "x" in grid else []
        lines += [((x.low, v), (x.high, v)) for v in y.ticks] if "y" in grid else []
        if lines:
            self.board.bars([(self.px(*a), self.px(*b)) for a, b in lines], "ks-rule kw-hair")

    def _label(self) -> None:
        """The foot, its ticks and all numbers and names along the axes."""
        x, y, write = self.x, self.y, self.board.write
        right, foot = self.left + self.width, self.top + self.height
        edges = [((self.left, foot), (right, foot))] if x.ticks else []
        for value, text in x.labelled():
            at = self.px(value, y.low)[0]
            edges.append(((at, foot), (at, foot + 4)))
            write(at, foot + 17, text, "kt-tick", "middle")
        for value, text in y.labelled():
            write(self.left - 7, self.px(x.low, value)[1] + 4, text, "kt-tick", "end")
        for value, text in y.far:
            at = self.px(x.high, value)[1]
            edges.append(((right, at), (right + 4, at)))
            write(right + 8, at + 4, text, "kt-tick", "start")
        for value, text in x.far:
            at = self.px(value, y.high)[0]
            edges.append(((at, self.top), (at, self.top - 4)))
            write(at, self.top - 9, text, "kt-tick", "middle")
        for across, down, text, anchor in (
            (right, foot + 34, x.title, "end"),
            (self.left - 30, self.top - 14, y.title, "start"),
            (right + 30, self.top - 14, y.far_title, "end"),
            (right, self.top - 24, x.far_title, "end"),
        ):
            if text:
                write(max(across, 0), down, text, "kt-axis", anchor)
        if edges:
            self.board.bars(edges, "ks-soft kw-hair")
