"""A chart ready to be drawn, and how it is drawn into a page: wide and narrow by the same function."""

from __future__ import annotations

from collections.abc import Callable
from contextvars import ContextVar
from html import escape

from msgspec import Struct

from bowbook.charts.board import Board, Scene
from bowbook.charts.style import Style, default_style
from bowbook.charts.svg import identifier, number

TOP = 30.0  # px over a plot, for the name of its upright axis


class Sheet(Struct, frozen=True):
    """What a chart is drawn on: its shape, its width in px, its text sizes."""

    shape: str  # "wide" for most screens and for paper, "narrow" for a phone, "broad" for a whole screen
    width: float
    text: float
    small: float

    @property
    def narrow(self) -> bool:
        """Whether this is the phone's drawing."""
        return self.shape == "narrow"


class Drawing(Struct, frozen=True):
    """One chart: what it is called, what it says in words, and the function that draws it.

    `draw` puts the chart on a board and gives the height it needs, px.
    """

    name: str  # of its files: "bench", "flyer-Ansa"
    about: str  # the kite, flyer or kites it is about, so that ids on one page differ
    title: str
    description: str
    draw: Callable[[Board, Sheet], float]
    shapes: tuple[str, ...] = ("wide", "narrow")


def sheet_of(shape: str, style: Style) -> Sheet:
    """The sheet of this shape in a theme's sizes."""
    return Sheet(shape, style.sizes[shape], style.sizes["text"], style.sizes["small"])


class ShapedScene(Struct, frozen=True):
    """A chart in one of its shapes."""

    name: str
    scene: Scene


class ChartPicture(Struct, frozen=True):
    """A chart as it will stand in a page, once for each shape; the page's style sheet shows the one that fits.

    It is drawn when the page is written, and until then known by what is on it.
    """

    name: str
    about: str
    title: str
    description: str
    shapes: tuple[ShapedScene, ...]

    def __html__(self) -> str:
        return DRAWN_BY.get()(self)

    def __str__(self) -> str:
        return self.__html__()


def picture_of(drawing: Drawing, style: Style | None = None) -> ChartPicture:
    """What is on the chart, in each of its shapes."""
    look = style or default_style()
    shapes = []
    for shape in drawing.shapes:
        easel, sheet = Board(), sheet_of(shape, look)
        height = drawing.draw(easel, sheet)
        shapes.append(ShapedScene(shape, easel.scene(sheet.width, height)))
    return ChartPicture(drawing.name, drawing.about, drawing.title, drawing.description, tuple(shapes))


def svg_of(picture: ChartPicture) -> str:
    """The picture drawn: an SVG for each shape, one after the other."""
    from bowbook.charts.artists import artists
    from bowbook.charts.translate import marks_of

    drawn = []
    for shape in picture.shapes:
        artists().show(shape.scene)
        drawn.append(_standing(picture, marks_of(artists().svg(), shape.scene.titles), shape))
    return "".join(drawn)


DRAWN_BY: ContextVar[Callable[[ChartPicture], str]] = ContextVar("DRAWN_BY", default=svg_of)
"""What draws the pictures of the page that is being written."""


def _standing(picture: ChartPicture, inside: str, shape: ShapedScene) -> str:
    """The whole SVG with its name and description.

    A drawing with links in it is a group to a screen reader, since links within an image would be hidden by it.
    """
    role, (width, height) = "group" if "<a href" in inside else "img", shape.scene.size
    start = "-".join(identifier(part) for part in (picture.name, picture.about, shape.name[0]) if part)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="k k-{shape.name}" role="{role}" aria-labelledby="{start}-t"'
        f' aria-describedby="{start}-d" viewBox="0 0 {number(width)} {number(height)}" direction="ltr">'
        f'<title id="{start}-t">{escape(picture.title, quote=False)}</title>'
        f'<desc id="{start}-d">{escape(picture.description, quote=False)}</desc>{inside}</svg>'
    )
