"""A chart as a template takes it: the drawing, the same numbers as a table, a caption."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from bowbook.charts.sails import definitions
from bowbook.charts.sheet import ChartPicture, Drawing, picture_of
from bowbook.charts.style import Style
from bowbook.charts.tables import ChartTable
from bowbook.pages.markup import SafeHtml
from bowbook.pages.take_home import BATCH, BOOK, ENDINGS, FLYER, KITE, PAIR, stem_of

TAKEN_HOME = frozenset((*KITE, *FLYER, *BOOK, *PAIR, *BATCH))
"""The names of the charts that have files of their own."""


class Chart(Struct, frozen=True):
    """One drawing, its numbers (None where the page's own table holds them), what it shows, its files to take home."""

    picture: ChartPicture
    rows: ChartTable | None
    caption: str
    files: tuple[tuple[str, str], ...]  # what kind of file, its address


class ComfortPart(Struct, frozen=True):
    """The chart of a flyer's records, and whose they are."""

    chart: Chart | None = None
    flyer: str | None = None


def chart_or_none(drawing: Drawing | None, rows: ChartTable | None, caption: str, style: Style) -> Chart | None:
    """The chart, where there is anything to draw."""
    if drawing is None:
        return None
    return Chart(picture_of(drawing, style), rows, caption, files_of(drawing))


def files_of(drawing: Drawing) -> tuple[tuple[str, str], ...]:
    """What kinds of file a chart is taken home in, and their addresses; none of one that only stands beside a text."""
    if drawing.name not in TAKEN_HOME:
        return ()
    return tuple((ending[1:].upper(), stem_of(drawing) + ending) for ending in ENDINGS)


def sails_in(charts: Iterable[Chart]) -> SafeHtml:
    """The shapes of all kites that hang in these charts, each once."""
    scenes = [shape.scene for chart in charts for shape in chart.picture.shapes]
    return SafeHtml(definitions(list({sail.id: sail for scene in scenes for sail in scene.sails}.values())))
