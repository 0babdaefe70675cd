"""A flyer's zone on a phone: a row for each kite, softest first, with the zone running down behind the rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bowbook.charts import scale, words
from bowbook.charts.board import HOLLOW
from bowbook.charts.labels import shortened, wide
from bowbook.charts.plot import Axis
from bowbook.charts.sails import PlacedSail
from bowbook.charts.sheet import Sheet
from bowbook.charts.zone_marks import reading

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.zone import LikedKite, ZoneData

ROW, HEAD = 25.0, 40.0  # px: a kite's row, and what stands over the rows
SAIL, NAME, FLEX = 23.0, 29.0, 146.0  # px: a sail's size, where names begin, where flex winds end
PLOT = 156.0  # px from the left edge to the winds


def draw(board: Board, zone: ZoneData, sheet: Sheet, root: str) -> float:
    """The rows over their ground line; gives the height."""
    kites = sorted(zone.kites, key=lambda kite: (kite.flex.value, kite.kite))
    unit, units = zone.unit, zone.book.book.settings.units
    low, high = unit(min(kite.low for kite in kites)), unit(max(kite.high for kite in kites))
    axis = words.wind_axis(low, high, 5, "", units)
    rows = Axis(len(kites), 0)
    plot = board.plot(PLOT, HEAD, sheet.width - PLOT - 4, ROW * len(kites), axis, rows, "x")
    board.write(0, 12, "softest first", "kt-small kt-soft")
    board.write(FLEX, 12, "flexes at", "kt-small kt-soft", "end")
    board.write(PLOT + 2, 12, f"liked in, {unit.unit}", "kt-small kt-soft")
    shown = reading(zone, low, high)
    for ratios, inks in (
        ((zone.who.ratio_lowest, zone.who.ratio_highest), "kf-zone kp-half"),
        ((zone.who.ratio_low, zone.who.ratio_high), "kf-zone"),
    ):
        if ratios[0] and ratios[1]:
            edges = [[(axis.inside(v * r), down) for v, down in _down(kites, zone)] for r in ratios if r]
            plot.line(edges[0] + edges[1][::-1], inks)
            if "half" in inks:
                for edge in edges:
                    plot.line(edge, "ks-soft kw-fine kd-dot")
    for number, kite in enumerate(kites):
        _row(board, plot.top + ROW * (number + 0.5), kite, zone, root, _suits(kite, zone, shown))
    flown = [(n + 0.5, unit(kite.low), unit(kite.high)) for n, kite in enumerate(kites) if kite.flown]
    plot.level(flown, "ks-ink kw-heavy")
    plot.level(
        [(n + 0.5, unit(k.low), unit(k.high)) for n, k in enumerate(kites) if not k.flown], "ks-ink kw-line kd-dash"
    )
    foot = plot.top + plot.height
    board.line([(0, foot), (sheet.width, foot)], "ks-ink kw-line")
    said = "Solid: liked. Broken: not flown yet, predicted. Band: the zone; dotted: the 95 % edge of a new kite’s."
    if shown:
        wind, flex = shown
        plot.line([(wind, 0), (wind, len(kites))], "ks-accent kw-fine")
        said += f" For {scale.text(wind)} {unit.unit}"
        said += f", bend a bow that flexes at {flex:.2g}; bows in red have it in their zone."
    return words.write_note(board, said, sheet, 0, foot + 30)


def _row(board: Board, middle: float, kite: LikedKite, zone: ZoneData, root: str, suits: bool) -> None:
    url, ink = words.page_of(kite.kite, root), " kt-accent" if suits else ""
    flex = scale.text(float(f"{zone.unit(kite.flex.value):.2g}"))
    board.titles[url] = words.liked_in(
        kite.name, kite.flex, kite.low, kite.high, kite.flown, zone.book.book.settings.units
    )
    if kite.sail:
        board.hang([PlacedSail(kite.sail, SAIL / 2, middle, SAIL, url)], "k-sail" if kite.flown else HOLLOW)
    name = kite.name
    while wide(name, 12) > FLEX - NAME - 28 and len(name) > 4:
        name = shortened(name, len(name) - 1)
    board.write(NAME, middle + 4, name, "kt-name kt-small", url=url)
    board.write(FLEX, middle + 4, flex, f"kt-small{ink}", "end")


def _suits(kite: LikedKite, zone: ZoneData, shown: tuple[float, float] | None) -> bool:
    """Whether the wind that is shown lies in the zone of a bow as stiff as this kite's."""
    low, high, flex = zone.who.ratio_low, zone.who.ratio_high, zone.unit(kite.flex.value)
    return bool(shown and low and high and low * flex <= shown[0] <= high * flex)


def _down(kites: list[LikedKite], zone: ZoneData) -> list[tuple[float, float]]:
    """Each row's flex wind at its height, the first and last carried on to the edges of the plot."""
    at = [(zone.unit(kite.flex.value), number + 0.5) for number, kite in enumerate(kites)]
    return [(at[0][0], 0.0), *at, (at[-1][0], float(len(kites)))]
