"""How a flyer marked the kites, against one figure of theirs: a small plot for each mark, headed by what it shows."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from bowbook.charts import points, words
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.points import Spot, crowded
from bowbook.charts.sails import DrawnSail, PlacedSail, sail_of
from bowbook.charts.scale import shown
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.charts.silhouette import skin_of
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import wrapped
from bowbook.findings.ratings import Marks, marks_against
from bowbook.findings.results import BookFindings
from bowbook.wording.marks import GOES_WITH, MEANT, finding

if TYPE_CHECKING:
    from bowbook.charts.board import Board

COLUMNS = {"broad": 5, "wide": 3, "narrow": 2}
LEFT, GAP = 16.0, 22.0  # px: beside a panel's plot, and between panels
UP = Axis(0.4, 5.6, (1, 3, 5))
SAIL = 17.0  # px, the largest side of a kite
MOST_SAILS = 60
STEPS = 24  # pieces of a drawn line
KINDS = {"flex": ("wind", "the wind it flexes in"), "loading": ("areal", "sail loading"), "share": ("ratio", "skin")}
NAMES = {"flex": "marks", "loading": "marks-loading", "share": "marks-skin"}


def marks_chart(book: BookFindings, flyer: str, along: str = "flex") -> Drawing | None:
    """A flyer's marks against flex wind ("flex"), sail loading or the skin's part ("share"); None without any.

    The line through them and its 95 % band stand where there is a line to be sure of.
    """
    marks = marks_against(along, book.kites, flyer)
    if not marks:
        return None
    per_si, unit = _scale(along, book)
    figures = [per_si * figure for one in marks for _, figure, _ in one.points]
    across = words.log_axis(min(figures), max(figures), 4, f"{KINDS[along][1]}, {unit}")
    found = [finding(one, along, per_si) for one in marks]
    keys = {key: None for one in marks for key, _, _ in one.points}
    hung = keys if len(keys) <= MOST_SAILS else {}
    sails = {key: sail_of(book.kites[key], skin_of(book.kites[key], book)) for key in hung}
    told = f"{'. '.join(found)}. Marks of one to five by {flyer}, kite by kite; bands are 95 % of the line."

    def draw(board: Board, sheet: Sheet) -> float:
        columns = min(COLUMNS[sheet.shape], len(marks))
        apart = (sheet.width + GAP) / columns
        tall, top, plots = 0.62 * apart, 0.0, []
        for first in range(0, len(marks), columns):
            heads = [wrapped(text, apart - GAP, sheet.text) for text in found[first : first + columns]]
            over = 17.0 * max(map(len, heads)) + 31
            for column, (one, head) in enumerate(zip(marks[first : first + columns], heads, strict=True)):
                left = column * apart
                for number, text in enumerate(head):
                    board.write(left, top + 13 + 17 * number, text, "kt-bold")
                board.write(left, top + 13 + 17 * len(head), MEANT[one.mark], "kt-small kt-soft")
                box = (left + LEFT, top + over, apart - LEFT - GAP, tall)
                plots.append(_panel(board, one, across, per_si, box))
            top += over + tall + 46
        for one, plot in zip(marks, plots, strict=True):  # the kites last: their links lie over every panel
            _kites(plot, one, per_si, sails, book)
        return top

    title = f"How {flyer}’s kites fly against {GOES_WITH[along]}"
    shapes = ("broad", "wide", "narrow") if len(marks) > COLUMNS["narrow"] else ("wide", "narrow")
    return Drawing(NAMES[along], flyer, title, told, draw, shapes)


def _panel(board: Board, marks: Marks, across: Axis, per_si: float, box: tuple[float, float, float, float]) -> Plot:
    """A mark's axes, with the line and its band."""
    plot = board.plot(*box, across, UP, "y")
    line, figures = marks.line, [figure for _, figure, _ in marks.points]
    if line:
        low, high = min(figures), max(figures)
        xs = [low * (high / low) ** (step / STEPS) for step in range(STEPS + 1)]
        at = [(x * per_si, line.at(x), line.half_width(x)) for x in xs]
        upper = [(x, UP.inside(y + w)) for x, y, w in at]
        plot.line(upper + [(x, UP.inside(y - w)) for x, y, w in reversed(at)], "kf-zone")
        plot.line([(x, UP.inside(y)) for x, y, _ in at], "ks-ink kw-line")
    return plot


def _kites(plot: Plot, marks: Marks, per_si: float, sails: Mapping[str, DrawnSail | None], book: BookFindings) -> None:
    hung, spots = [], []
    for key, figure, mark in marks.points:
        name, sail = book.kites[key].kite.name, sails.get(key)
        if sail is None:
            spots.append(Spot(key, name, figure * per_si, mark, name, "kf-ink"))
        else:
            url = words.page_of(key, "")
            plot.board.titles[url] = name
            hung.append(PlacedSail(sail, *plot.px(figure * per_si, mark), SAIL, url))
    if hung:
        plot.board.hang(hung, "k-sail")
    if spots:
        points.marks(plot, spots, "")


def marks_rows(book: BookFindings, flyer: str) -> ChartTable | None:
    """Every kite that the flyer marked, with its marks; None of a crowd, whose marks stand on their own pages."""
    found = {key: kite for key, kite in book.kites.items() if kite.ratings.get(flyer)}
    if crowded(len(found)):
        return None
    rows = []
    for key, kite in sorted(found.items(), key=lambda item: (item[1].kite.name, item[0])):
        flex = words.spelled(book.book.settings.units, "wind", kite.wind.flex_m_s)
        marks = (kite.ratings[flyer].get(mark) for mark in MEANT)
        rows.append(ChartRow((kite.kite.name, flex, *(f"{m:.2g}" if m is not None else UNKNOWN for m in marks)), key))
    return ChartTable(("Kite", "Flexes at", *(mark.capitalize() for mark in MEANT)), tuple(rows))


def _scale(along: str, book: BookFindings) -> tuple[float, str]:
    scale = shown(KINDS[along][0], book.book.settings.units)
    return scale.per_si, scale.unit
