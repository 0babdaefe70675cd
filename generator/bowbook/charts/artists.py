"""Scenes drawn by matplotlib: its artists, kept and used again from chart to chart.

An artist's gid holds the names of its inks.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import TYPE_CHECKING, Any, Literal, TypeVar, cast

import bowbook.charts.own_settings  # noqa: F401 before matplotlib

# isort: split
import numpy as np
from matplotlib import rcParams
from matplotlib.artist import Artist
from matplotlib.collections import LineCollection, PathCollection
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.text import Text
from matplotlib.transforms import Affine2D, Bbox, IdentityTransform, TransformedPath

from bowbook.charts.board import HOLLOW, Bar, BarsMark, DotsMark, LineMark, SailsMark, Scene, TextMark
from bowbook.charts.sails import PlacedSail
from bowbook.charts.translate import Mark, SvgMarks

if TYPE_CHECKING:
    from PIL import Image

FAINT = 0.16  # how the cloth of a hollow kite shows

A = TypeVar("A", bound=Artist)


class TextArtist(Text):
    """A text on its baseline. It needs no layout: who shows the SVG sets it in a font of their own, and a picture's
    texts are written by who colours it."""

    def draw(self, renderer: Any) -> None:
        """Write the text into an SVG."""
        if isinstance(renderer, SvgMarks):
            at = self.get_transform().transform(self.get_unitless_position())
            anchor = _ANCHOR[self.get_horizontalalignment()]
            renderer.write(at, self.get_text(), anchor, str(self.get_gid()), self.get_url())


class DotsArtist(PathCollection):
    """Round points of one size."""

    def draw(self, renderer: Any) -> None:
        """Write the points into an SVG as circles, or leave them to matplotlib."""
        if isinstance(renderer, SvgMarks):
            places = self.get_offset_transform().transform(self.get_offsets())
            radius = float(self.get_sizes()[0]) ** 0.5
            renderer.circles(places, radius, str(self.get_gid()), self.get_urls() or [None])
        else:
            super().draw(renderer)


class LinksArtist(LineCollection):
    """Straight pieces, each a link of its own."""

    ends: Sequence[Bar] = ()

    def draw(self, renderer: Any) -> None:
        """Write the pieces into an SVG, or leave them to matplotlib."""
        if isinstance(renderer, SvgMarks):
            ends = self.get_transform().transform([end for piece in self.ends for end in piece])
            renderer.pieces(ends, str(self.get_gid()), self.get_urls())
        else:
            self.set_segments(self.ends)
            super().draw(renderer)


class SailsArtist(Artist):
    """Kites of one ink."""

    def __init__(self) -> None:
        super().__init__()
        self.hung: Sequence[PlacedSail] = ()

    def draw(self, renderer: Any) -> None:
        """Draw the kites into a picture, or name them in an SVG."""
        if isinstance(renderer, SvgMarks):
            for one in self.hung:
                at = self.get_transform().transform((one.x, one.top))
                renderer.use(at, one.sail.id, one.scale, str(self.get_gid()), one.url)
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


class _Sheet:
    """What artists ask their figure for. matplotlib's own brings in all kinds of axes, which no chart here has."""

    def __init__(self, dpi: float) -> None:
        self.dpi, self.bbox = dpi, Bbox.null()

    def get_figure(self, root: bool = False) -> _Sheet:  # noqa: ARG002 it stands in none
        """The sheet itself."""
        return self


class Artists:
    """The pools of artists; they show one scene at a time, a px of which is 1/72 of an inch."""

    def __init__(self, dots_per_inch: float = 72) -> None:
        rcParams["path.simplify"] = False
        self.sheet = _Sheet(dots_per_inch)
        self._to = Affine2D()
        self._pools: dict[type[Artist], list[Any]] = {}
        self._used: dict[type[Artist], int] = {}
        self.shown: list[Any] = []  # the artists of the scene, the lowest first

    def show(self, scene: Scene) -> None:
        """Have an artist for each mark of the scene, at its place."""
        self.shown, self._used = [], {}
        (width, height), (right, down), dots = scene.size, scene.moved, self.sheet.dpi
        self.sheet.bbox = Bbox.from_bounds(0, 0, width / 72 * dots, height / 72 * dots)
        self._to.clear().translate(right, down - height).scale(1 / 72, -1 / 72).scale(dots)
        for mark in scene.marks:
            self._draw(mark)

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
            dots.set_offset_transform(self._to)
            dots.set_offsets(mark.at)
            dots.set_sizes([mark.radius * mark.radius], self.sheet.dpi)
            dots.set_urls(mark.urls or ())
        elif mark.urls is None:
            path = self._take(PathPatch, mark.inks)
            points = [point for bar in mark.ends for point in bar]
            path.set_path(Path(points or [(0, 0)], [Path.MOVETO, Path.LINETO] * len(mark.ends) or None))
            path.set_url(None)
        else:
            linked = self._take(LinksArtist, mark.inks)
            linked.ends = mark.ends
            linked.set_urls(mark.urls)

    def svg(self) -> list[Mark]:
        """The scene as marks of an SVG."""
        renderer = SvgMarks(self.sheet.bbox.height)
        for artist in self.shown:
            artist.draw(renderer)
        return renderer.marks

    def picture(self, paper: str) -> Image.Image:
        """The scene on paper of this colour, without its texts."""
        from matplotlib.backends.backend_agg import RendererAgg
        from PIL import Image, ImageColor

        size = int(self.sheet.bbox.width), int(self.sheet.bbox.height)
        renderer = cast("Any", RendererAgg)(*size, self.sheet.dpi)
        dots = np.asarray(renderer.buffer_rgba()).view(np.uint32)
        dots[:] = np.array([*ImageColor.getrgb(paper)[:3], 255], np.uint8).view(np.uint32)
        for artist in self.shown:
            artist.draw(renderer)
        return Image.frombytes("RGB", size, renderer.buffer_rgba(), "raw", "RGBX")

    def _take(self, kind: type[A], inks: str) -> A:
        pool = self._pools.setdefault(kind, [])
        used = self._used.get(kind, 0)
        if used == len(pool):
            pool.append(_NEW[kind]())
            pool[used].set_figure(self.sheet)
            pool[used].set_transform(IdentityTransform() if kind is DotsArtist else self._to)
        artist: A = pool[used]
        self._used[kind] = used + 1
        self.shown.append(artist)
        artist.set_gid(inks)  # each by its own: `set` looks through every property of the artist first
        return artist


_ALIGN: Mapping[str, Literal["left", "center", "right"]] = {"start": "left", "middle": "center", "end": "right"}
_ANCHOR = {align: anchor for anchor, align in _ALIGN.items()}
_NEW: Mapping[type[Artist], Any] = {
    PathPatch: lambda: PathPatch(Path([(0, 0), (0, 0)]), clip_on=False),
    LinksArtist: lambda: LinksArtist([], clip_on=False),
    DotsArtist: lambda: DotsArtist([Path.unit_circle()], clip_on=False),
    SailsArtist: SailsArtist,
    TextArtist: lambda: TextArtist(0, 0, "", va="baseline", parse_math=False, clip_on=False),
}


@cache
def artists(dots_per_inch: float = 72) -> Artists:
    """Those of this process: for what is written as SVG, and others for pictures, which have colours of their own."""
    return Artists(dots_per_inch)
