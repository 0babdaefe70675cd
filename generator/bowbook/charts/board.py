"""The figure that all charts are drawn on: matplotlib's artists, kept and used again from chart to chart.

Places are px from the sheet's upper left corner, or figures on a plot's axes. An artist's gid holds the names of its
inks ("ks-ink kw-fine"): a page takes its colours from them, and a picture to take home is coloured by them.
"""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import cycle
from typing import Any, Literal, TypeVar, cast

from matplotlib import rcParams
from matplotlib.artist import Artist
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, IdentityTransform, Transform

from bowbook.charts.plot import Axis, Plot

A = TypeVar("A", bound=Artist)
Points = Sequence[tuple[float, float]]
Urls = Sequence[str | None] | None
Bars = Sequence[tuple[tuple[float, float], tuple[float, float]]]


class Words(Text):
    """A text on its baseline. It needs no layout: who shows the SVG sets it in a font of their own, and a picture's
    texts are written by who colours it."""

    def draw(self, renderer: Any) -> None:
        """Write the text into an SVG."""
        if isinstance(renderer, _Svg) and self.get_visible():
            x, y = self.get_transform().transform(self.get_unitless_position())
            renderer.text(x, y, self)


class Dots(PathCollection):
    """Round points of one size."""

    def draw(self, renderer: Any) -> None:
        """Write the points into an SVG as circles, or leave them to matplotlib."""
        if not isinstance(renderer, _Svg):
            super().draw(renderer)
        elif self.get_visible():
            renderer.circles(self)


class _Svg(RendererSVG):
    """matplotlib's SVG renderer, with texts left as texts and not measured."""

    writer: Any
    open_group: Any
    close_group: Any

    def text(self, x: float, y: float, words: Words) -> None:
        """Write a text anchored at x, y."""
        self.open_group("text", words.get_gid())
        url = words.get_url()
        if url is not None:
            self.writer.start("a", attrib={"xlink:href": url})
        anchor = _ANCHOR[words.get_horizontalalignment()]
        place = {"x": f"{x:.2f}", "y": f"{self.height - y:.2f}", "text-anchor": anchor}
        self.writer.element("text", words.get_text(), attrib=place)
        if url is not None:
            self.writer.end("a")
        self.close_group("text")

    def circles(self, dots: Dots) -> None:
        """Write round points, each a link where it has an address."""
        self.open_group("dots", dots.get_gid())
        radius, urls = f"{math.sqrt(dots.get_sizes()[0]):.2f}", dots.get_urls() or [None]
        places = dots.get_offset_transform().transform(dots.get_offsets())
        for (x, y), url in zip(places, cycle(urls), strict=False):
            if url is not None:
                self.writer.start("a", attrib={"xlink:href": url})
            self.writer.element("circle", attrib={"cx": f"{x:.2f}", "cy": f"{self.height - y:.2f}", "r": radius})
            if url is not None:
                self.writer.end("a")
        self.close_group("dots")


class Board:
    """The figure and its pools of artists. `start` clears it; what is drawn later lies over what was drawn before."""

    def __init__(self) -> None:
        rcParams.update({"svg.hashsalt": "bowbook", "path.simplify": False})
        self.figure = Figure(dpi=72)  # so that a point is a px
        self.figure.patch.set_visible(False)
        self.titles: dict[str, str] = {}
        self._px = Affine2D()
        self.px: Transform = self._px + self.figure.dpi_scale_trans
        self._pools: dict[type[Artist], list[Any]] = {}
        self._used: dict[type[Artist], int] = {}
        self._axes: dict[tuple[bool, bool], list[Any]] = {}
        self._plots: list[tuple[Any, tuple[float, float, float, float]]] = []
        self._drawn = 0

    def start(self) -> None:
        """An empty sheet."""
        self.titles, self._plots, self._drawn = {}, [], 0
        self._used = dict.fromkeys(self._pools, 0)

    def axes(self, log_x: bool, log_y: bool, box: tuple[float, float, float, float]) -> Any:
        """Axes of these scales that no other plot of this sheet has, at left, top, width, height px."""
        pool = self._axes.setdefault((log_x, log_y), [])
        taken = [axes for axes, _ in self._plots]
        own = next((axes for axes in pool if axes not in taken), None)
        if own is None:
            own = self.figure.add_axes((0.1, 0.1, 0.8, 0.8), label=f"{log_x} {log_y} {len(pool)}", visible=False)
            own.set_xscale("log" if log_x else "linear")
            own.set_yscale("log" if log_y else "linear")
            pool.append(own)
        self._plots.append((own, box))
        return own

    def plot(self, left: float, top: float, width: float, height: float, x: Axis, y: Axis, grid: str = "xy") -> Plot:
        """A plot at these px of the sheet, its grid, axes and ticks drawn; `grid` says which axes rule it."""
        return Plot(self, (left, top, width, height), x, y, grid)

    def line(self, points: Points, inks: str, to: Transform | None = None, url: str | None = None) -> None:
        """An open line through the points, or where the inks begin with a fill, a closed shape."""
        artist = self._take(PathPatch, inks, to or self.px)
        artist.set_path(Path([*points, points[0]], closed=True) if inks.startswith("kf-") else Path(points))
        artist.set_url(url)

    def bars(self, ends: Bars, inks: str, to: Transform | None = None, urls: Urls = None) -> None:
        """Straight pieces, each from one point to another: one path, or each by itself where each is a link."""
        if urls is None:
            artist = self._take(PathPatch, inks, to or self.px)
            points = [point for bar in ends for point in bar]
            artist.set_path(Path(points or [(0, 0)], [Path.MOVETO, Path.LINETO] * len(ends) or None))
            artist.set_url(None)
        else:
            linked = self._take(LineCollection, inks, to or self.px)
            linked.set_segments(ends)
            linked.set_urls(urls)

    def dots(self, at: Points, radius: float, inks: str, to: Transform | None = None, urls: Urls = None) -> None:
        """Round points of one radius, px."""
        artist = self._take(Dots, inks, IdentityTransform())
        artist.set_offset_transform(to or self.px)
        artist.set_offsets(at)
        artist.set_sizes([radius * radius], self.figure.dpi)
        artist.set_urls(urls or ())

    def write(
        self, x: float, y: float, text: str, inks: str = "", anchor: str = "start", url: str | None = None
    ) -> None:
        """A text on its baseline at x, y px."""
        artist = self._take(Words, inks or "kt", self.px)
        artist.set_position((x, y))
        artist.set_text(text)
        artist.set_horizontalalignment(_ALIGN[anchor])
        artist.set_url(url)

    def finish(self, width: float, height: float, right: float = 0.0, down: float = 0.0) -> None:
        """Set the sheet to its size, what was drawn moved `right` and `down` px: now every artist has its place."""
        self.figure.set_size_inches(width / 72, height / 72)
        self._px.clear().translate(right, down - height).scale(1 / 72, -1 / 72)
        for axes, (left, top, wide, tall) in self._plots:
            axes.set_position(((right + left) / width, 1 - (down + top + tall) / height, wide / width, tall / height))
        for kind, pool in self._pools.items():
            for spare in pool[self._used[kind] :]:
                spare.set_visible(False)

    def artists(self) -> list[Any]:
        """Every artist of this sheet, the lowest first."""
        used = [a for kind, pool in self._pools.items() for a in pool[: self._used[kind]]]
        return sorted(used, key=lambda artist: artist.get_zorder())

    def svg(self) -> str:
        """The sheet as matplotlib writes it, the same bytes for the same artists."""
        width, height = self.figure.bbox.size
        page = io.StringIO()
        renderer: Any = cast("Any", _Svg)(width, height, page, image_dpi=72, metadata=_NO_METADATA)
        self.figure.draw(renderer)
        renderer.finalize()
        return page.getvalue()

    def _take(self, kind: type[A], inks: str, transform: Transform) -> A:
        pool = self._pools.setdefault(kind, [])
        used = self._used.get(kind, 0)
        if used == len(pool):
            pool.append(self.figure.add_artist(_NEW[kind]()))
        artist: A = pool[used]
        self._used[kind] = used + 1
        self._drawn += 1
        artist.set(gid=inks, transform=transform, zorder=self._drawn, visible=True)
        return artist


_ALIGN: Mapping[str, Literal["left", "center", "right"]] = {"start": "left", "middle": "center", "end": "right"}
_ANCHOR = {align: anchor for anchor, align in _ALIGN.items()}
_NO_METADATA: Mapping[str, None] = dict.fromkeys(("Date", "Creator", "Format", "Type"))
_NEW: Mapping[type[Artist], Any] = {
    PathPatch: lambda: PathPatch(Path([(0, 0), (0, 0)]), clip_on=False),
    LineCollection: lambda: LineCollection([], clip_on=False),
    Dots: lambda: Dots([Path.unit_circle()], clip_on=False),
    Words: lambda: Words(0, 0, "", va="baseline", parse_math=False, clip_on=False),
}


@cache
def board() -> Board:
    """The one board of this process for what is written as SVG."""
    return Board()


@cache
def coloured_board() -> Board:
    """The one board of this process for pictures: its artists have colours of their own."""
    return Board()
