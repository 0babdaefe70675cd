"""The board that charts are drawn on: it notes every mark as plain data, and who shows the scene draws it.

Places are px from the sheet's upper left corner, to a tenth: what cannot be told apart on a chart is the same scene. A
mark's inks ("ks-ink kw-fine") name its colours and lines: a page takes them from its style sheet, and a picture to take
home is coloured by them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sails import DrawnSail, PlacedSail

HOLLOW = "k-hollow"
Point = tuple[float, float]
Points = Sequence[Point]
Urls = Sequence[str | None] | None
Bar = tuple[Point, Point]


class LineMark(Struct, frozen=True, array_like=True, tag="line"):
    """An open line through the points, or where the inks begin with a fill, a closed shape."""

    points: Points
    inks: str
    url: str | None


class BarsMark(Struct, frozen=True, array_like=True, tag="bars"):
    """Straight pieces, each from one point to another: one path, or each by itself where each is a link."""

    ends: Sequence[Bar]
    inks: str
    urls: Urls


class DotsMark(Struct, frozen=True, array_like=True, tag="dots"):
    """Round points of one radius, px."""

    at: Points
    radius: float
    inks: str
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
    """Kites in their own colours, or in the ink `HOLLOW` those that are only predicted."""

    hung: Sequence[PlacedSail]
    inks: str


class Scene(Struct, frozen=True):
    """What is drawn on one sheet: its size, how far all of it is moved, px, and its marks, the lowest first.

    `titles` are what links say, by their addresses.
    """

    size: tuple[float, float]
    moved: tuple[float, float]
    marks: tuple[LineMark | BarsMark | DotsMark | TextMark | SailsMark, ...]
    titles: Mapping[str, str]

    @property
    def sails(self) -> tuple[DrawnSail, ...]:
        """The kites that hang in it, each once: whoever shows it as SVG holds their shapes."""
        return tuple({one.sail.id: one.sail for m in self.marks if isinstance(m, SailsMark) for one in m.hung}.values())


class Board:
    """Notes what a chart draws; what is drawn later lies over what was drawn before."""

    def __init__(self) -> None:
        self.titles: dict[str, str] = {}
        self._marks: list[LineMark | BarsMark | DotsMark | TextMark | SailsMark] = []

    def plot(self, left: float, top: float, width: float, height: float, x: Axis, y: Axis, grid: str = "xy") -> Plot:
        """A plot at these px of the sheet, its grid, axes and ticks drawn; `grid` says which axes rule it."""
        return Plot(self, (left, top, width, height), x, y, grid)

    def line(self, points: Points, inks: str, url: str | None = None) -> None:
        """An open line through the points, or where the inks begin with a fill, a closed shape."""
        self._marks.append(LineMark(_px(points), inks, url))

    def bars(self, ends: Sequence[Bar], inks: str, urls: Urls = None) -> None:
        """Straight pieces, each from one point to another: one path, or each by itself where each is a link."""
        self._marks.append(BarsMark([(_at(a), _at(b)) for a, b in ends], inks, urls))

    def dots(self, at: Points, radius: float, inks: str, urls: Urls = None) -> None:
        """Round points of one radius, px."""
        self._marks.append(DotsMark(_px(at), radius, inks, urls))

    def hang(self, hung: Sequence[PlacedSail], inks: str) -> None:
        """Kites at px of the sheet."""
        self._marks.append(SailsMark([replace(one, x=round(one.x, 1), y=round(one.y, 1)) for one in hung], inks))

    def write(
        self, x: float, y: float, text: str, inks: str = "", anchor: str = "start", url: str | None = None
    ) -> None:
        """A text on its baseline at x, y px."""
        self._marks.append(TextMark(*_at((x, y)), text, inks or "kt", anchor, url))

    def scene(self, width: float, height: float, right: float = 0.0, down: float = 0.0) -> Scene:
        """All that was drawn, on a sheet of this size, moved `right` and `down` px."""
        return Scene(_at((width, height)), _at((right, down)), tuple(self._marks), self.titles)


def _at(point: Point) -> Point:
    """A point to a tenth of a px."""
    return round(point[0], 1) + 0.0, round(point[1], 1) + 0.0


def _px(points: Points) -> Points:
    return [_at(point) for point in points]
