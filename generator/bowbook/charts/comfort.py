"""Where a flyer likes kites: best wind against the wind in which each flexes, with the band that predicts the next."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import nsmallest

from bowbook.book.units import show, show_range
from bowbook.charts import canvas
from bowbook.charts.canvas import spelled, winds
from bowbook.charts.comfort_plot import draw, name_of, told_of
from bowbook.charts.points import crowded
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, ComfortPoint, Findings

NEIGHBOURS = 12  # other kites in the table under a kite's comfort chart, where there is a crowd of them


def comfort_chart(
    findings: Findings, book: BookFindings, flyer: str | None = None, root: str = "../../", style: Style | None = None
) -> str | None:
    """This kite within one flyer's records, or None where that flyer's records or this kite's flex wind are missing."""
    who = book.flyers.get(flyer or flyer_of(findings, book) or "")
    flex = findings.wind.flex_m_s
    if who is None or flex is None or not (who.points or who.name in findings.wind.predicted):
        return None
    units = book.book.settings.units
    flown, predicted = findings.wind.flown.get(who.name), findings.wind.predicted.get(who.name)
    liked = (
        f"liked best in {winds(units, flown)}"
        if flown
        else f"predicted for {winds(units, predicted)}"
        if predicted
        else "not flown yet"
    )
    told = f"{findings.kite.name} flexes at {spelled(units, 'wind', flex)} and is {liked}. {told_of(who, book)}"
    return canvas.both(
        f"comfort-{findings.kite.key}-{who.name}",
        f"{findings.kite.name} among the kites {who.name} has flown",
        told,
        lambda sheet: draw(who, book, sheet, root, findings),
        style,
    )


def flyer_chart(book: BookFindings, flyer: str, root: str = "", style: Style | None = None) -> str | None:
    """All of one flyer's records with the fit, its band and the left-out error; None where there are none."""
    who = book.flyers.get(flyer)
    if who is None or not who.points:
        return None
    title = f"Best wind against flex wind: what {who.name} likes"
    return canvas.both(
        f"flyer-{who.name}", title, told_of(who, book), lambda sheet: draw(who, book, sheet, root, None), style
    )


def comfort_rows(findings: Findings, book: BookFindings, flyer: str) -> Table:
    """The page's own kite and the flyer's; of a crowd those that flex in the nearest winds, `NEIGHBOURS` of them."""
    who, kite, flex = book.flyers[flyer], findings.kite.key, findings.wind.flex_m_s
    points = who.points
    if flex and crowded(len(points)):
        own = flex.value
        points = tuple(nsmallest(NEIGHBOURS + 1, points, lambda p: (p.kite != kite, abs(p.flex_m_s - own), p.kite)))
    table = _table(points, book, flyer)
    predicted = findings.wind.predicted.get(flyer)
    if predicted is None or any(p.kite == kite for p in points):
        return table
    units = book.book.settings.units
    expected = f"{winds(units, predicted)}, predicted"
    return Table(
        table.header,
        (Row((findings.kite.name, spelled(units, "wind", flex), expected, UNKNOWN), kite), *table.rows),
    )


def flyer_rows(book: BookFindings, flyer: str) -> Table:
    """The flyer's records: each kite's flex wind, where it was liked, and what the other kites would have said."""
    return _table(book.flyers[flyer].points, book, flyer)


def _table(points: Sequence[ComfortPoint], book: BookFindings, flyer: str) -> Table:
    units = book.book.settings.units
    rows = []
    for point in sorted(points, key=lambda p: (p.flex_m_s, p.kite)):
        left_out = show(point.left_out_middle, "wind", units) if point.left_out_middle is not None else UNKNOWN
        flex = spelled(units, "wind", book.kites[point.kite].wind.flex_m_s) if point.kite in book.kites else UNKNOWN
        liked = show_range(point.low, point.high, "wind", units)
        rows.append(Row((name_of(book, point.kite), flex, liked, left_out), point.kite))
    header = ("Kite", "Flexes at", f"{flyer} liked it best in", "Middle, judged by the other kites")
    return Table(header, tuple(rows))


def flyer_of(findings: Findings, book: BookFindings) -> str | None:
    """Whose records a kite is shown in: its range's, else the catalogue's, else whoever has logged most."""
    for name in (findings.wind.flyer, book.book.settings.flyer):
        if name in book.flyers:
            return name
    return max(book.flyers.values(), key=lambda f: f.kites).name if book.flyers else None
