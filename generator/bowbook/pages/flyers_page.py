"""The flyers: each one's comfort zone, how much stands behind it, and what to log next."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.charts.comfort import flyer_chart, flyer_rows
from bowbook.charts.style import Style
from bowbook.findings.results import BookFindings, FlyerFindings
from bowbook.pages.chart_figure import Chart, chart_or_none
from bowbook.pages.facts import book_of, style_of
from bowbook.pages.plan import Facts, frame_from
from bowbook.wording import answers


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


def view(facts: Facts) -> FlyersPage:
    """The page as its template takes it."""
    frame, book = frame_from(facts), book_of(facts)
    lead = "Each flyer likes a kite at another strength of wind. It shows only in records."
    return FlyersPage(
        title="Flyers",
        description=f"{frame.title}: the winds each flyer likes, and how many records say so.",
        lead=lead,
        flyers=tuple(_part(who, book, frame.units, style_of(facts)) for who in book.flyers.values()),
    )


def _part(who: FlyerFindings, book: BookFindings, units: Units, style: Style | None) -> FlyerPart:
    caption = f"What {who.name} likes: best wind against the wind in which each kite flexes."
    return FlyerPart(
        name=who.name,
        zone=answers.zone(who),
        behind=answers.behind(who),
        doubt=answers.doubt(who, units),
        next_step=answers.records_missing(who) or who.wanting or answers.log_next(who),
        chart=chart_or_none(flyer_chart(book, who.name), flyer_rows(book, who.name), caption, style),
    )
