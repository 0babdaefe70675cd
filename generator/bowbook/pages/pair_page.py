"""Two to four kites on one page, as the book asks for them by name."""

from __future__ import annotations

from msgspec import Struct
from msgspec.structs import replace

from bowbook.charts.style import Style
from bowbook.charts.tables import ChartTable
from bowbook.findings.results import BookFindings, Findings
from bowbook.pages.chart_figure import chart_or_none
from bowbook.pages.chrome import Chrome
from bowbook.pages.compare_page import Shown
from bowbook.pages.comparison_table import beside_table
from bowbook.pages.kite_row import KiteRow, row_of
from bowbook.wording import answers, numbers
from bowbook.wording.flex_differences import Difference, differences


class PairPage(Struct, frozen=True):
    """What a side-by-side page shows."""

    title: str
    description: str
    lines: tuple[KiteRow, ...]
    answers: tuple[tuple[answers.Answer, ...], ...]
    differences: tuple[Difference, ...]
    charts: tuple[Shown, ...]
    table: ChartTable
    view_box: str  # that holds each of the kites, so that they hang to one scale


def pair_page(chrome: Chrome, book: BookFindings, found: tuple[Findings, ...], style: Style) -> PairPage:
    """The page as its template takes it, kites in the order the book names them."""
    from bowbook.charts.side_by_side import bows_beside, bows_rows, sails_beside, sails_rows
    from bowbook.charts.winds_beside import winds_beside, winds_rows

    kites = list(found)
    book = replace(book, kites={kite.kite.key: kite for kite in kites})
    title = numbers.listed([k.kite.name for k in kites])
    drawn = (
        ("Their winds", winds_beside(kites, book), winds_rows(kites, book), "Dashed: predicted only."),
        ("Their sails", sails_beside(kites, book), sails_rows(kites, book), "Noses together, one scale."),
        ("Their bows", bows_beside(kites, book), bows_rows(kites, book), "Strung, true to shape."),
    )
    charts = ((name, chart_or_none(drawing, rows, told, style)) for name, drawing, rows, told in drawn)
    lines = tuple(row_of(k, chrome.units, book.book.skins, {}) for k in kites)
    wide, tall = max(line.picture.width for line in lines), max(line.picture.height for line in lines)
    return PairPage(
        title=title,
        description=f"{title} side by side: sails, bows, winds and every figure.",
        lines=lines,
        answers=tuple(answers.three_answers(k, chrome.units, book.flyers, chrome.flyer) for k in kites),
        differences=differences(found, chrome.units),
        charts=tuple(Shown(name, "", chart) for name, chart in charts if chart),
        table=beside_table(kites, book),
        view_box=f"{-0.53 * wide:.0f} {-0.03 * tall:.0f} {1.06 * wide:.0f} {1.06 * tall:.0f}",
    )
