"""A chart as a template takes it: the drawing, the same numbers as a table, a caption."""

from __future__ import annotations

from msgspec import Struct

from bowbook.charts.tables import Table
from bowbook.pages.markup import SafeHtml


class Chart(Struct, frozen=True):
    """One drawing, its numbers (None where the page's own table holds them) and what it shows."""

    picture: SafeHtml
    rows: Table | None
    caption: str


def chart_or_none(picture: str | None, rows: Table | None, caption: str) -> Chart | None:
    """The chart, where there was anything to draw."""
    return Chart(SafeHtml(picture), rows, caption) if picture else None
