"""Where a flyer likes kites: best wind against the wind in which each flexes, with the band that predicts the next."""

from __future__ import annotations

from collections.abc import Sequence
from heapq import nsmallest

from bowbook.book.units import show, show_range
from bowbook.charts import zone
from bowbook.charts.points import crowded
from bowbook.charts.sails import sail_of
from bowbook.charts.sheet import Drawing
from bowbook.charts.silhouette import skin_of
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import spelled, wind_span_said
from bowbook.charts.zone import LikedKite
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, ComfortPoint, Findings

NEIGHBOURS = 12  # other kites in the table under a kite's comfort chart, where there is a crowd of them


def comfort_chart(
    findings: Findings, book: BookFindings, flyer: str | None = None, root: str = "../../"
) -> Drawing | None:
    """This kite within one flyer's records, or None where that flyer's records or this kite's flex wind are missing."""
    who = book.flyers.get(flyer or flyer_of(findings, book) or "")
    flex = findings.wind.flex_m_s
    if who is None or flex is None:
        return None
    units = book.book.settings.units
    flown, predicted = findings.wind.flown.get(who.name), findings.wind.predicted.get(who.name)
    if not (who.points or flown or predicted):
        return None
    span = flown or predicted
    liked = (
        f"{'liked best in' if flown else 'predicted for'} {wind_span_said(units, span)}" if span else "not flown yet"
    )
    told = f"{findings.kite.name} flexes at {spelled(units, 'wind', flex)} and is {liked}. {zone.told_of(who, book)}"
    own = LikedKite(findings.kite.key, findings.kite.name, flex, span.low, span.high, bool(flown)) if span else None
    kites = tuple(kite for kite in _flown(book, who.points) if kite.kite != findings.kite.key)
    shown = zone.ZoneData(who, book, kites, own)
    return Drawing(
        "wind",
        findings.kite.key,
        f"{findings.kite.name} among the kites {who.name} has flown",
        told,
        lambda board, sheet: zone.draw(board, shown, sheet, root),
    )


def flyer_chart(book: BookFindings, flyer: str, root: str = "") -> Drawing | None:
    """All of one flyer's records with the fit, its band and the left-out error; None where there are none.

    Kites this flyer has not flown stand beside them as predicted, unless there is a crowd.
    """
    who = book.flyers.get(flyer)
    if who is None or not who.points:
        return None
    kites, known = _flown(book, who.points), {point.kite for point in who.points}
    guessed = tuple(
        LikedKite(key, f.kite.name, f.wind.flex_m_s, expected.low, expected.high, False, sail_of(f, skin_of(f, book)))
        for key, f in book.kites.items()
        if f.wind.flex_m_s and key not in known and (expected := f.wind.predicted.get(flyer))
    )
    if not crowded(len(kites) + len(guessed)):
        kites += guessed
    others = tuple(other for other in book.flyers.values() if other.name != flyer and other.ratio_high)[:3]
    shown = zone.ZoneData(who, book, kites, None, others)
    return Drawing(
        "zone",
        who.name,
        f"Which stiffness for which wind: what {who.name} likes",
        zone.told_of(who, book),
        lambda board, sheet: zone.draw(board, shown, sheet, root),
        ("broad", "wide", "narrow"),
    )


def _flown(book: BookFindings, known: Sequence[ComfortPoint]) -> tuple[LikedKite, ...]:
    """The kites of these records; of a crowd, in which none is named, only what the records themselves say."""
    if crowded(len(known)):
        return tuple(LikedKite(p.kite, "", Measured(p.flex_m_s, 0.0), p.low, p.high) for p in known)
    found = ((p, book.kites[p.kite]) for p in known if p.kite in book.kites)
    return tuple(
        LikedKite(
            p.kite,
            f.kite.name,
            f.wind.flex_m_s or Measured(p.flex_m_s, 0.0),
            p.low,
            p.high,
            sail=sail_of(f, skin_of(f, book)),
        )
        for p, f in found
    )


def comfort_rows(findings: Findings, book: BookFindings, flyer: str) -> ChartTable:
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
    expected = f"{wind_span_said(units, predicted)}, predicted"
    return ChartTable(
        table.header,
        (ChartRow((findings.kite.name, spelled(units, "wind", flex), expected, UNKNOWN), kite), *table.rows),
    )


def flyer_rows(book: BookFindings, flyer: str) -> ChartTable:
    """The flyer's records: each kite's flex wind, where it was liked, and what the other kites would have said."""
    return _table(book.flyers[flyer].points, book, flyer)


def _table(points: Sequence[ComfortPoint], book: BookFindings, flyer: str) -> ChartTable:
    units = book.book.settings.units
    rows = []
    for point in sorted(points, key=lambda p: (p.flex_m_s, p.kite)):
        left_out = show(point.left_out_middle, "wind", units) if point.left_out_middle is not None else UNKNOWN
        flex = spelled(units, "wind", book.kites[point.kite].wind.flex_m_s) if point.kite in book.kites else UNKNOWN
        liked = show_range(point.low, point.high, "wind", units)
        name = book.kites[point.kite].kite.name if point.kite in book.kites else point.kite
        rows.append(ChartRow((name, flex, liked, left_out), point.kite))
    header = ("Kite", "Flexes at", f"{flyer} liked it best in", "Middle, judged by the other kites")
    return ChartTable(header, tuple(rows))


def flyer_of(findings: Findings, book: BookFindings) -> str | None:
    """Whose records a kite is shown in: its range's, else the catalogue's, else whoever has logged most."""
    for name in (findings.wind.flyer, book.book.settings.flyer):
        if name in book.flyers:
            return name
    return max(book.flyers.values(), key=lambda f: f.kites).name if book.flyers else None
