"""Two to four kites on one page, as the book asks for them by name."""

from __future__ import annotations

from msgspec import Struct

from bowbook.charts.side_by_side import bows_beside, bows_rows, sails_beside, sails_rows
from bowbook.charts.tables import Table
from bowbook.charts.winds_beside import winds_beside, winds_rows
from bowbook.pages.chart_figure import chart_or_none
from bowbook.pages.compare_page import Shown
from bowbook.pages.comparison_table import beside_table
from bowbook.pages.facts import book_of, stock_of, style_of
from bowbook.pages.kite_row import KiteRow, line_of
from bowbook.pages.plan import Facts, frame_from, kites_of
from bowbook.wording import answers, numbers


class PairPage(Struct, frozen=True):
    """What a side-by-side page shows."""

    title: str
    description: str
    lines: tuple[KiteRow, ...]
    answers: tuple[tuple[answers.Answer, ...], ...]
    charts: tuple[Shown, ...]
    table: Table


def view(facts: Facts) -> PairPage:
    """The page as its template takes it, kites in the order the book names them."""
    frame, book, kites = frame_from(facts), book_of(facts), list(kites_of(facts).values())
    style = style_of(facts)
    title = numbers.listed([k.kite.name for k in kites])
    drawn = (
        ("Sails", sails_beside(kites, book), sails_rows(kites, book), "Noses together, one scale."),
        ("Bows", bows_beside(kites, book), bows_rows(kites, book), "Strung, true to shape."),
        ("Winds", winds_beside(kites, book), winds_rows(kites, book), "Dashed: predicted only."),
    )
    charts = ((name, chart_or_none(drawing, rows, told, style)) for name, drawing, rows, told in drawn)
    return PairPage(
        title=title,
        description=f"{title} side by side: sails, bows, winds and every figure.",
        lines=tuple(line_of(k, frame.units, stock_of(facts)) for k in kites),
        answers=tuple(answers.three_answers(k, frame.units, book.flyers, frame.flyer) for k in kites),
        charts=tuple(Shown(name, "", chart) for name, chart in charts if chart),
        table=beside_table(kites, book),
    )
