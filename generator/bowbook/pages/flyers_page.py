"""The flyers: each one's comfort zone, how much stands behind it, and what to log next."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Units
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings, FlyerFindings
from bowbook.pages.chart_figure import Chart, ComfortPart, chart_or_none
from bowbook.pages.chrome import Chrome
from bowbook.wording import flyer


class FlyerPart(Struct, frozen=True):
    """One flyer as the page shows them."""

    name: str
    zone: str
    behind: str
    doubt: str | None
    next_step: str | None
    chart: Chart | None


class FlyersPage(Struct, frozen=True):
    """What the flyers' page shows."""

    title: str
    description: str
    lead: str
    flyers: tuple[FlyerPart, ...]


def flyer_part(name: str, book: BookFindings, others: Mapping[str, FlyerFindings], style: Style) -> ComfortPart:
    """The chart of one flyer, whose records `book` has, beside the zones of the others.

    Of the kites only names and flex winds are needed, of the others no points.
    """
    from bowbook.charts.comfort import flyer_chart, flyer_rows

    book = replace(book, flyers={**others, name: book.flyers[name]})
    caption = f"What {name} likes: best wind against the wind in which each kite flexes."
    return ComfortPart(chart_or_none(flyer_chart(book, name), flyer_rows(book, name), caption, style), name)


def flyers_page(chrome: Chrome, flyers: Mapping[str, FlyerFindings], charts: tuple[ComfortPart, ...]) -> FlyersPage:
    """The page as its template takes it, with the chart of each flyer."""
    drawn = {part.flyer: part.chart for part in charts}
    lead = "Each flyer likes a kite at another strength of wind. It shows only in records."
    return FlyersPage(
        title="Flyers",
        description=f"{chrome.title}: the winds each flyer likes, and how many records say so.",
        lead=lead,
        flyers=tuple(_part(who, drawn[name], chrome.units) for name, who in flyers.items()),
    )


def _part(who: FlyerFindings, chart: Chart | None, units: Units) -> FlyerPart:
    return FlyerPart(
        name=who.name,
        zone=flyer.zone(who),
        behind=flyer.behind(who),
        doubt=flyer.doubt(who, units),
        next_step=flyer.records_missing(who) or who.wanting or flyer.log_next(who),
        chart=chart,
    )
