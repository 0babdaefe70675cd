"""Scenes drawn by matplotlib: one figure, its artists kept and used again from chart to chart.

An artist's gid holds the names of its inks.
"""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from functools import cache
from itertools import cycle
from typing import TYPE_CHECKING, Any, Literal, TypeVar, cast

import bowbook.charts.own_settings  # noqa: F401 before matplotlib

# isort: split
from matplotlib import rcParams
from matplotlib.artist import Artist
from matplotlib.backends.backend_svg import RendererSVG
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, IdentityTransform, Transform, TransformedPath

from bowbook.charts.board import HOLLOW, BarsMark, DotsMark, LineMark, SailsMark, Scene, TextMark
from bowbook.charts.sails import PlacedSail
from bowbook.charts.svg import number

if TYPE_CHECKING:
    from PIL import Image

FAINT = 0.16  # how the cloth of a hollow kite shows

A = TypeVar("A", bound=Artist)


class TextArtist(Text):
    """A text on its baseline. It needs no layout: who shows the SVG sets it in a font of their own, and a picture's
    texts are written by who colours it."""

    def draw(self, renderer: Any) -> None:
        """Write the text into an SVG."""
        if isinstance(renderer, _Svg) and self.get_visible():
            x, y = self.get_transform().transform(self.get_unitless_position())
            renderer.text(x, y, self)


class DotsArtist(PathCollection):
    """Round points of one size."""

    def draw(self, renderer: Any) -> None:
        """Write the points into an SVG as circles, or leave them to matplotlib."""
        if not isinstance(renderer, _Svg):
            super().draw(renderer)
        elif self.get_visible():
            renderer.circles(self)


class SailsArtist(Artist):
    """Kites of one ink."""

    def __init__(self) -> None:
        super().__init__()
        self.hung: Sequence[PlacedSail] = ()

    def draw(self, renderer: Any) -> None:
        """Draw the kites into a picture, or name them in an SVG."""
        if not self.get_visible():
            return
        if isinstance(renderer, _Svg):
            renderer.hang(self)
            return
        from bowbook.charts.paths import shapes_in

        faint = FAINT if self.get_gid() == HOLLOW else 1.0
        for one in self.hung:
            to = Affine2D().scale(one.scale).translate(one.x, one.top) + self.get_transform()
            for shape in shapes_in(one.sail.shapes):
                pen = renderer.new_gc()
                if shape.cut is not None:
                    pen.set_clip_path(TransformedPath(shape.cut, to))
                wide = shape.width * (1.0 if shape.scale is None else shape.scale * one.scale)
                pen.set_linewidth(renderer.points_to_pixels(wide) if shape.stroke else 0.0)
                pen.set_foreground(shape.stroke or (0.0, 0.0, 0.0, 0.0), isRGBA=True)
                if faint < 1 and shape.scale is None:
                    pen.set_dashes(0, [renderer.points_to_pixels(d) for d in (4.0, 3.0)])
                fill = shape.fill and (*shape.fill[:3], shape.fill[3] * faint)
                renderer.draw_path(pen, shape.path, to, fill)
                pen.restore()


class _Svg(RendererSVG):
    """matplotlib's SVG renderer, with texts left as texts and not measured."""

    writer: Any
    open_group: Any
    close_group: Any

    def text(self, x: float, y: float, words: TextArtist) -> None:
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

    def circles(self, dots: DotsArtist) -> None:
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

    def hang(self, sails: SailsArtist) -> None:
        """Name kites whose shapes the page holds, each a link where it has an address."""
        self.open_group("sails", sails.get_gid())
        for one in sails.hung:
            x, y = sails.get_transform().transform((one.x, one.top))
            place = f"translate({number(x, 1)} {number(self.height - y, 1)})scale({one.scale:.4f})"
            if one.url is not None:
                self.writer.start("a", attrib={"xlink:href": one.url})
            self.writer.element("use", attrib={"href": f"#{one.sail.id}", "transform": place})
            if one.url is not None:
                self.writer.end("a")
        self.close_group("sails")


class Artists:
    """The figure and its pools of artists; it shows one scene at a time."""

    def __init__(self) -> None:
        rcParams.update({"svg.hashsalt": "bowbook", "path.simplify": False})
        self.figure = Figure(dpi=72)  # so that a point is a px
        self.figure.patch.set_visible(False)
        self._px = Affine2D()
        self._px_to_dots: Transform = self._px + self.figure.dpi_scale_trans
        self._pools: dict[type[Artist], list[Any]] = {}
        self._used: dict[type[Artist], int] = {}
        self._drawn = 0

    def show(self, scene: Scene) -> None:
        """Have an artist for each mark of the scene, at its place, and nothing else on the figure."""
        self._drawn, self._used = 0, dict.fromkeys(self._pools, 0)
        (width, height), (right, down) = scene.size, scene.moved
        self.figure.set_size_inches(width / 72, height / 72)
        self._px.clear().translate(right, down - height).scale(1 / 72, -1 / 72)
        for mark in scene.marks:
            self._draw(mark)
        for kind, pool in self._pools.items():
            for spare in pool[self._used[kind] :]:
                spare.set_visible(False)

    def _draw(self, mark: LineMark | BarsMark | DotsMark | TextMark | SailsMark) -> None:
        """Give a mark its artist."""
        if isinstance(mark, SailsMark):
            self._take(SailsArtist, mark.inks).hung = mark.hung
        elif isinstance(mark, TextMark):
            artist = self._take(TextArtist, mark.inks)
            artist.set_position((mark.x, mark.y))
            artist.set_text(mark.text)
            artist.set_horizontalalignment(_ALIGN[mark.anchor])
            artist.set_url(mark.url)
        elif isinstance(mark, LineMark):
            path = self._take(PathPatch, mark.inks)
            closed = mark.inks.startswith("kf-")
            path.set_path(Path([*mark.points, mark.points[0]], closed=True) if closed else Path(mark.points))
            path.set_url(mark.url)
        elif isinstance(mark, DotsMark):
            dots = self._take(DotsArtist, mark.inks)
            dots.set_offset_transform(self._px_to_dots)
            dots.set_offsets(mark.at)
            dots.set_sizes([mark.radius * mark.radius], self.figure.dpi)
            dots.set_urls(mark.urls or ())
        elif mark.urls is None:
            path = self._take(PathPatch, mark.inks)
            points = [point for bar in mark.ends for point in bar]
            path.set_path(Path(points or [(0, 0)], [Path.MOVETO, Path.LINETO] * len(mark.ends) or None))
            path.set_url(None)
        else:
            linked = self._take(LineCollection, mark.inks)
            linked.set_segments(mark.ends)
            linked.set_urls(mark.urls)

    def artists(self) -> list[Any]:
        """Every artist of the scene shown, the lowest first."""
        used = [a for kind, pool in self._pools.items() for a in pool[: self._used[kind]]]
        return sorted(used, key=lambda artist: artist.get_zorder())

    def svg(self) -> str:
        """The scene as matplotlib writes it, the same bytes for the same artists."""
        width, height = self.figure.bbox.size
        page = io.StringIO()
        renderer: Any = cast("Any", _Svg)(width, height, page, image_dpi=72, metadata=_NO_METADATA)
        self.figure.draw(renderer)
        renderer.finalize()
        return page.getvalue()

    def picture(self, paper: str, dots_per_inch: float) -> Image.Image:
        """The scene on paper of this colour, without its texts; a px of the scene is 1/72 of an inch."""
        from matplotlib.backends.backend_agg import FigureCanvasAgg
        from PIL import Image

        self.figure.patch.set(visible=True, facecolor=paper)
        self.figure.set_dpi(dots_per_inch)
        try:
            canvas: Any = FigureCanvasAgg(self.figure)
            canvas.draw()
            size = canvas.get_width_height(physical=True)
            return Image.frombuffer("RGBA", size, canvas.buffer_rgba(), "raw", "RGBA", 0, 1).convert("RGB")
        finally:
            self.figure.set_dpi(72)

    def _take(self, kind: type[A], inks: str) -> A:
        pool = self._pools.setdefault(kind, [])
        used = self._used.get(kind, 0)
        if used == len(pool):
            pool.append(self.figure.add_artist(_NEW[kind]()))
        artist: A = pool[used]
        self._used[kind] = used + 1
        self._drawn += 1
        transform = IdentityTransform() if kind is DotsArtist else self._px_to_dots
        artist.set_gid(inks)  # each by its own: `set` looks through every property of the artist first
        artist.set_transform(transform)
        artist.set_zorder(self._drawn)
        artist.set_visible(True)
        return artist


_ALIGN: Mapping[str, Literal["left", "center", "right"]] = {"start": "left", "middle": "center", "end": "right"}
_ANCHOR = {align: anchor for anchor, align in _ALIGN.items()}
_NO_METADATA: Mapping[str, None] = dict.fromkeys(("Date", "Creator", "Format", "Type"))
_NEW: Mapping[type[Artist], Any] = {
    PathPatch: lambda: PathPatch(Path([(0, 0), (0, 0)]), clip_on=False),
    LineCollection: lambda: LineCollection([], clip_on=False),
    DotsArtist: lambda: DotsArtist([Path.unit_circle()], clip_on=False),
    SailsArtist: SailsArtist,
    TextArtist: lambda: TextArtist(0, 0, "", va="baseline", parse_math=False, clip_on=False),
}


@cache
def artists() -> Artists:
    """Those of this process for what is written as SVG."""
    return Artists()


@cache
def coloured_artists() -> Artists:
    """Those of this process for pictures: they have colours of their own."""
    return Artists()
