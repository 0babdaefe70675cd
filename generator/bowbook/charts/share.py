"""How much of each kite's stiffness its skin gives."""

from __future__ import annotations

import statistics
from typing import TYPE_CHECKING

from bowbook.charts import points, scale, words
from bowbook.charts.labels import Label, Room, wide
from bowbook.charts.plot import Plot
from bowbook.charts.points import Spot, crowded, reach
from bowbook.charts.sheet import TOP, Drawing, Sheet
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import share_of, spelled
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board


def share_chart(book: BookFindings, root: str = "") -> Drawing | None:
    """The skin's stiffness against the whole kite's, with lines of equal share."""
    kites = [
        (f, f.total, f.skin.EI_Nm2)
        for f in book.kites.values()
        if f.total and f.skin.EI_Nm2 and min(f.total.value, f.skin.EI_Nm2.value) > 0
    ]
    if not kites:
        return None
    everyone = len(kites)
    if crowded(everyone):  # a few skins that hardly count would press all others into the chart's top
        least = statistics.median(skin.value for *_, skin in kites) / 40
        kites = [kite for kite in kites if kite[2].value > least]
    less = f" · {everyone - len(kites)} with hardly any skin left out" if everyone > len(kites) else ""
    unit = scale.shown("rigidity", book.book.settings.units)

    def draw(board: Board, sheet: Sheet) -> float:
        height, most = (250, 5) if sheet.narrow else (320, 7)
        totals, skins = [unit(total.value) for _, total, _ in kites], [unit(skin.value) for *_, skin in kites]
        x = words.log_axis(min(totals), max(totals), most, f"bow and skin together, {unit.unit}")
        y = words.log_axis(min(skins), max(skins), most, f"skin alone, {unit.unit} · bars 95 %")
        plot = board.plot(52, TOP, sheet.width - 52 - (42 if sheet.narrow else 80), height, x, y, "")
        spots = [_spot(f, total, skin, book) for f, total, skin in kites]
        room = Room(plot.width, plot.height)
        points.take(plot, spots, room)
        _shares(plot, room, sheet.small)
        points.draw(plot, spots, sheet, root, room)
        strong, weak = ("dark", "pale") if crowded(len(kites)) else ("filled", "hollow")
        told = f"{strong}: skin measured on the bow · {weak}: judged from its neighbours or the cloth"
        return words.write_note(board, told + less, sheet, 52, TOP + height + 46)

    what = f"{len(kites)} kites{less}. Slanting lines join kites whose skin gives the same share of the stiffness."
    return Drawing("skin", "", "How much of the stiffness the skin gives", what, draw)


def share_rows(book: BookFindings) -> ChartTable:
    """The skin's part of every kite, and how it is known."""
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        if f.total and f.skin.EI_Nm2:
            both = (spelled(units, "rigidity", f.skin.EI_Nm2), spelled(units, "rigidity", f.total))
            rows.append(ChartRow((f.kite.name, *both, share_of(f.skin.share, book), _how(f)), f.kite.key))
    return ChartTable(("Kite", "Skin", "Bow and skin", "Skin's share", "How it is known"), tuple(rows))


def _spot(findings: Findings, total: Measured, skin: Measured, book: BookFindings) -> Spot:
    """One kite: filled where its skin was measured on the bow."""
    kite, unit = findings.kite, scale.shown("rigidity", book.book.settings.units)
    inks = "kf-ink" if findings.skin.how == "covered" else "kf-paper ks-ink kw-fine"
    says = f"{kite.name}: the skin gives {share_of(findings.skin.share, book)}, {_how(findings)}"
    across, up = reach(total, book.coverage, unit), reach(skin, book.coverage, unit)
    return Spot(kite.key, kite.name, unit(total.value), unit(skin.value), says, inks, across=across, up=up)


def _how(findings: Findings) -> str:
    ways = {
        "covered": "pressed with the skin on",
        "same skin": "judged by other kites in this skin",
        "lower bound": "at the least, from the cloth alone",
    }
    return ways.get(findings.skin.how or "", UNKNOWN)


def _shares(plot: Plot, room: Room, size: float) -> None:
    """Lines on which the skin gives the same share, each named where it ends: beside the plot, or under its top."""
    for share in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0):
        x0, x1 = max(plot.x.low, plot.y.low / share), min(plot.x.high, plot.y.high / share)
        if x1 <= x0 * 1.02:
            continue
        plot.line([(x0, x0 * share), (x1, x1 * share)], "ks-soft kw-hair kd-dash")
        x, y = plot.px(x1, x1 * share)
        name = f"{share * 100:g} %"
        if y >= plot.top + 1:
            plot.board.write(x + 5, y + 4, name, "kt-small kt-soft")
            continue
        x, long = x - plot.left, wide(name, size)
        for label in (Label(x - 14, 12, name, "end"), Label(x + 4, 12, name, "start"), Label(x - 32, 26, name, "end")):
            if room.fits(label, long, size):
                plot.board.write(plot.left + label.x, plot.top + label.y, name, "kt-small kt-soft", label.anchor)
                break
