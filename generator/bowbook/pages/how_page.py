"""How everything is worked out: formulas, assumptions, sources, cautions, with this book's own settings filled in."""

from __future__ import annotations

from msgspec import Struct

from bowbook.charts.tables import ChartRow, ChartTable
from bowbook.findings.results import BookFindings, Range
from bowbook.findings.tap_edges import SCATTER
from bowbook.pages.chrome import Chrome
from bowbook.wording import numbers


class HowPage(Struct, frozen=True):
    """What the page needs from the book; everything else stands in its template."""

    title: str
    description: str
    tolerance: str
    repeatability: str
    scale: str
    ruler: str
    height: str
    air: str
    tap_scatter: str
    bands: ChartTable


def how_page(chrome: Chrome, book: BookFindings) -> HowPage:
    """The page as its template takes it; no kite is looked at."""
    settings, units = book.book.settings, chrome.units
    return HowPage(
        title="How it is worked out",
        description="The formulas, assumptions, sources and cautions behind every figure in this book.",
        tolerance=numbers.share(chrome.tolerance, units),
        repeatability=_repeatability(book),
        scale=numbers.plain(settings.scale_N, "force", units),
        ruler=numbers.plain(settings.ruler_m, "thin", units),
        height=numbers.plain(settings.height_m, "altitude", units),
        air=f"{book.air_kg_m3:.3f}",
        tap_scatter=numbers.share(SCATTER, units),
        bands=ChartTable(
            ("Band", "Winds"),
            tuple(
                ChartRow((band.name, numbers.winds_both(Range(band.low_m_s, band.high_m_s), units)))
                for band in book.bands
            ),
        ),
    )


def _repeatability(book: BookFindings) -> str:
    """What this book's repeats say."""
    units, of = book.book.settings.units, book.scatter
    if of.least is None:
        return (
            "In this book nothing has been repeated yet: one reading is taken to scatter by 2 % (one standard "
            "deviation), until repeats say more."
        )
    parts = [numbers.share(of.relative, units)] if of.relative else []
    parts += [numbers.plain(of.fixed, "force", units)] if of.fixed else []
    return (
        f"In this book one reading scatters by {' and '.join(parts)} (one standard deviation), "
        f"with {of.degrees} degrees of freedom; 95 % is {book.coverage:.3g} of these either way."
    )
