"""The board that charts are drawn on: it notes every mark as plain data, and who shows the scene draws it.

Places are px from the sheet's upper left corner, or figures on a plot's axes. A mark's inks ("ks-ink kw-fine") name
its colours and lines: a page takes them from its style sheet, and a picture to take home is coloured by them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sails import Hung, Sail

Point = tuple[float, float]
Points = Sequence[Point]
Urls = Sequence[str | None] | None
Bar = tuple[Point, Point]

PX = -1
"""In place of a plot's number: a mark is placed in px."""


class Axes(Struct, frozen=True, array_like=True):
    """The axes of one plot: their scales, their place (left, top, width, height px), their limits."""

    log_x: bool
    log_y: bool
    box: tuple[float, float, float, float]
    across: tuple[float, float]
    up: tuple[float, float]


class LineMark(Struct, frozen=True, array_like=True, tag="line"):
    """An open line through the points, or where the inks begin with a fill, a closed shape."""

    points: Points
    inks: str
    plot: int
    url: str | None


class BarsMark(Struct, frozen=True, array_like=True, tag="bars"):
    """Straight pieces, each from one point to another: one path, or each by itself where each is a link."""

    ends: Sequence[Bar]
    inks: str
    plot: int
    urls: Urls


class DotsMark(Struct, frozen=True, array_like=True, tag="dots"):
    """Round points of one radius, px."""

    at: Points
    radius: float
    inks: str
    plot: int
    urls: Urls


class TextMark(Struct, frozen=True, array_like=True, tag="words"):
    """A text on its baseline at x, y px."""

    x: float
    y: float
    text: str
    inks: str
    anchor: str
    url: str | None


class SailsMark(Struct, frozen=True, array_like=True, tag="sails"):
    """Kites in their own colours; hollow ones have the ink "k-hollow"."""

    hung: Sequence[Hung]
    inks: str


class Scene(Struct, frozen=True):
    """What is drawn on one sheet: its size, how far all of it is moved, px, its plots and its marks, the lowest first.

    `titles` are what links say, by their addresses.
    """

    size: tuple[float, float]
    moved: tuple[float, float]
    plots: tuple[Axes, ...]
    marks: tuple[LineMark | BarsMark | DotsMark | TextMark | SailsMark, ...]
    titles: Mapping[str, str]

    @property
    def sails(self) -> tuple[Sail, ...]:
        """The kites that hang in it, each once: whoever shows it as SVG holds their shapes."""
        return tuple({one.sail.id: one.sail for m in self.marks if isinstance(m, SailsMark) for one in m.hung}.values())


class Board:
    """Notes what a chart draws; what is drawn later lies over what was drawn before."""

    def __init__(self) -> None:
        self.titles: dict[str, str] = {}
        self._plots: list[Axes] = []
        self._marks: list[LineMark | BarsMark | DotsMark | TextMark | SailsMark] = []

    def axes(self, x: Axis, y: Axis, box: tuple[float, float, float, float]) -> int:
        """The number of a plot with these axes, at left, top, width, height px."""
        self._plots.append(Axes(x.log, y.log, box, (x.low, x.high), (y.low, y.high)))
        return len(self._plots) - 1

    def plot(self, left: float, top: float, width: float, height: float, x: Axis, y: Axis, grid: str = "xy") -> Plot:
        """A plot at these px of the sheet, its grid, axes and ticks drawn; `grid` says which axes rule it."""
        return Plot(self, (left, top, width, height), x, y, grid)

    def line(self, points: Points, inks: str, plot: int = PX, url: str | None = None) -> None:
        """An open line through the points, or where the inks begin with a fill, a closed shape."""
        self._marks.append(LineMark(points, inks, plot, url))

    def bars(self, ends: Sequence[Bar], inks: str, plot: int = PX, urls: Urls = None) -> None:
        """Straight pieces, each from one point to another: one path, or each by itself where each is a link."""
        self._marks.append(BarsMark(ends, inks, plot, urls))

    def dots(self, at: Points, radius: float, inks: str, plot: int = PX, urls: Urls = None) -> None:
        """Round points of one radius, px."""
        self._marks.append(DotsMark(at, radius, inks, plot, urls))

    def hang(self, hung: Sequence[Hung], inks: str) -> None:
        """Kites at px of the sheet."""
        self._marks.append(SailsMark(hung, inks))

    def write(
        self, x: float, y: float, text: str, inks: str = "", anchor: str = "start", url: str | None = None
    ) -> None:
        """A text on its baseline at x, y px."""
        self._marks.append(TextMark(x, y, text, inks or "kt", anchor, url))

    def scene(self, width: float, height: float, right: float = 0.0, down: float = 0.0) -> Scene:
        """All that was drawn, on a sheet of this size, moved `right` and `down` px."""
        return Scene((width, height), (right, down), tuple(self._plots), tuple(self._marks), self.titles)
