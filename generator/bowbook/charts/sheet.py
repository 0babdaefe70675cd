"""A chart ready to be drawn, and how it is drawn into a page: wide and narrow by the same function."""

from __future__ import annotations

from collections.abc import Callable
from html import escape
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts.style import Style, default_style
from bowbook.charts.svg import identifier, number

if TYPE_CHECKING:
    from bowbook.charts.board import Board

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


def inline(drawing: Drawing, style: Style | None = None) -> str:
    """The chart as it stands in a page, once for each shape; the page's style sheet shows the one that fits."""
    from bowbook.charts.board import board
    from bowbook.charts.translate import marks_of

    easel, look = board(), style or default_style()
    drawn = []
    for shape in drawing.shapes:
        sheet = sheet_of(shape, look)
        easel.start()
        height = drawing.draw(easel, sheet)
        easel.finish(sheet.width, height)
        drawn.append(_standing(drawing, marks_of(easel.svg(), easel.titles), (sheet.width, height), shape))
    return "".join(drawn)


def _standing(drawing: Drawing, inside: str, size: tuple[float, float], shape: str) -> str:
    """The whole SVG with its name and description.

    A drawing with links in it is a group to a screen reader, since links within an image would be hidden by it.
    """
    role = "group" if "<a href" in inside else "img"
    start = "-".join(identifier(part) for part in (drawing.name, drawing.about, shape[0]) if part)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="k k-{shape}" role="{role}" aria-labelledby="{start}-t"'
        f' aria-describedby="{start}-d" viewBox="0 0 {number(size[0])} {number(size[1])}" direction="ltr">'
        f'<title id="{start}-t">{escape(drawing.title, quote=False)}</title>'
        f'<desc id="{start}-d">{escape(drawing.description, quote=False)}</desc>{inside}</svg>'
    )
