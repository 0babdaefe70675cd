"""The kites of one batch, side by side, and how far apart they came out."""

from __future__ import annotations

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.findings.results import BatchFindings, BookFindings, Findings, Spread
from bowbook.pages.chart_figure import Chart, chart_or_none
from bowbook.pages.chrome import Chrome
from bowbook.pages.comparison_table import HEAD, Compared
from bowbook.pages.kite_row import KiteRow
from bowbook.wording import numbers

SHOWN = ("Kite", "Likes", "Even?", "Left / right half", "Flexes at", "Skin's part", "Sail loading", "Mass")


class BatchPage(Struct, frozen=True):
    """What the page of a batch shows."""

    title: str
    description: str
    lead: str
    spread: tuple[str, ...]
    lines: tuple[KiteRow, ...]
    chart: Chart | None
    table: ChartTable


def batch_page(
    chrome: Chrome,
    name: str,
    batch: BatchFindings,
    book: BookFindings,
    kites: tuple[Compared, ...],
    rows: tuple[KiteRow, ...],
    style: Style,
) -> BatchPage:
    """The page as its template takes it, kites in the order of their keys."""
    from bowbook.charts.batch import batch_chart, batch_rows

    units, found = chrome.units, [one.findings for one in kites]
    count = numbers.counted(len(kites), "kite")
    chart = chart_or_none(
        batch_chart(name, batch, found, book), batch_rows(found, book), "What the scale said, bow by bow.", style
    )
    return BatchPage(
        title=name,
        description=f"{name}: {count} built together, side by side, and how far apart they came out.",
        lead=f"{numbers.capital(count)} built together.",
        spread=spread_said(batch, units),
        lines=rows,
        chart=chart,
        table=_table(kites, batch, units),
    )


def spread_said(batch: BatchFindings, units: Units) -> tuple[str, ...]:
    """How far apart the kites of a batch came out, in sentences."""
    said = []
    for spread, kind, of, does in (
        (batch.press_N, "force", "bow", "read"),
        (batch.flex_m_s, "wind", "kite", "flex at"),
    ):
        if spread is not None:
            mean = numbers.plain(spread.mean, kind, units)
            said.append(
                f"{numbers.capital(numbers.counted(spread.of, of))} {does} {mean} in the mean, and scatter about it by "
                f"{numbers.share(spread.relative, units)} (one standard deviation)."
            )
    return tuple(said) or ("How far apart they came out shows once two of them have been read.",)


def _table(kites: tuple[Compared, ...], batch: BatchFindings, units: Units) -> ChartTable:
    """A row for each kite; one more for how far each half's mean reading is from that of all."""
    columns = [n for n, head in enumerate(HEAD) if head in SHOWN]
    rows = [
        ChartRow((*(one.cells[n] for n in columns), _off(one.findings, batch.press_N, units)), one.findings.kite.key)
        for one in kites
    ]
    kept = [n for n in range(len(columns) + 1) if n == 0 or any(row.cells[n] != UNKNOWN for row in rows)]
    head = (*(HEAD[n] for n in columns), "From the mean")
    return ChartTable(
        tuple(head[n] for n in kept), tuple(ChartRow(tuple(row.cells[n] for n in kept), row.kite) for row in rows)
    )


def _off(found: Findings, mean: Spread | None, units: Units) -> str:
    """How far a bow reads from the mean of its batch."""
    left, right = found.bow.left.press_N, found.bow.right.press_N
    if mean is None or left is None or right is None:
        return UNKNOWN
    off = (left.value + right.value) / 2 / mean.mean - 1
    share = numbers.share(round(abs(off), 3), units)
    return f"{share} {'above' if off > 0 else 'below'}" if abs(off) >= 0.0005 else "on it"
