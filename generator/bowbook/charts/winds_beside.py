"""Two to four kites' winds, one above the other on one axis."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from bowbook.book.units import show
from bowbook.charts import scale, words
from bowbook.charts.labels import shortened, wide
from bowbook.charts.plot import Axis
from bowbook.charts.sheet import Drawing, Sheet
from bowbook.charts.side_by_side import pair_name_of
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import spelled, wind_span_said
from bowbook.findings.results import BookFindings, Findings

if TYPE_CHECKING:
    from bowbook.charts.board import Board


def winds_beside(kites: Sequence[Findings], book: BookFindings) -> Drawing | None:
    """The wind each likes as a bar, dashed where it is only predicted, with the wind it flexes in; None without one."""
    if not any(f.wind.range for f in kites):
        return None
    unit, t = scale.shown("wind", book.book.settings.units), book.coverage
    ends = [unit(v) for f in kites if f.wind.range for v in (f.wind.range.low, f.wind.range.high)]
    ends += [unit(f.wind.flex_m_s.value) for f in kites if f.wind.flex_m_s]

    def draw(board: Board, sheet: Sheet) -> float:
        units, apart = book.book.settings.units, 50.0
        low, high, ticks = scale.around(0, max(ends) * 1.05, 6 if sheet.narrow else 10)
        axis = Axis(low, high, ticks, f"wind, {unit.unit}")
        if not sheet.narrow:
            far, beside = words.far_ticks(units, low, high), scale.beside("wind", units).unit
            axis = replace(axis, far=far, far_title=beside)
        plot = board.plot(15, 34, sheet.width - 30, apart * len(kites), axis, Axis(len(kites), 0), "x")
        for i, f in enumerate(kites):
            down, (x, y) = i + 0.62, plot.px(low, i + 0.34)
            name = shortened(f.kite.name, 24)
            board.write(x + 4, y, name, "kt-name kt-halo")
            if liked := f.wind.range:
                flown = f.wind.basis == "flown"
                plot.level([(down, unit(liked.low), unit(liked.high))], f"ks-ink kw-heavy{'' if flown else ' kd-dash'}")
                said = wind_span_said(units, liked) + ("" if flown else ", predicted")
                board.write(x + 14 + wide(name, sheet.text), y, said, "kt-soft kt-halo")
            if flex := f.wind.flex_m_s:
                plot.level(
                    [(down, unit(flex.value - t * flex.doubt), unit(flex.value + t * flex.doubt))], "ks-accent kw-fine"
                )
                plot.dots([(unit(flex.value), down)], 4, "kf-paper ks-accent kw-line")
        told = "ring: the wind it flexes in, with its 95 % · dashed: predicted"
        return words.write_note(board, told, sheet, 15, 34 + plot.height + 46)

    said = " ".join(f"{row.cells[0]}: {row.cells[1]}." for row in winds_rows(kites, book).rows)
    return Drawing("winds", pair_name_of(kites), "The winds they like", said, draw)


def winds_rows(kites: Sequence[Findings], book: BookFindings) -> ChartTable:
    """Liked winds, how they are known, flex wind and least wind."""
    units = book.book.settings.units
    rows = []
    for f in kites:
        w = f.wind
        liked = wind_span_said(units, w.range) if w.range else UNKNOWN
        least = show(w.least_m_s, "wind", units) if w.least_m_s is not None else UNKNOWN
        rows.append(
            ChartRow((f.kite.name, liked, w.basis or UNKNOWN, spelled(units, "wind", w.flex_m_s), least), f.kite.key)
        )
    return ChartTable(("Kite", "Likes", "Known by", "Flexes at", "Carries its weight from"), tuple(rows))
