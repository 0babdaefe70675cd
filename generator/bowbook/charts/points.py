"""Many kites on one plot: each a link with its name beside it where there is room.

A few kites say all they have to say where they stand. A crowd is drawn lean: what a screen cannot tell apart is drawn
once, and since nobody could hit one point among hundreds, the links are left to the table.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct

from bowbook.charts import words
from bowbook.charts.labels import Label, Point, Room
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sheet import Sheet
from bowbook.findings.bench_results import Measured

CROWD = 150  # more kites than this on one plot are drawn lean
MOST_NAMES = {"broad": 60, "wide": 44, "narrow": 14}
LED = 40  # up to so many kites a line may lead to a name further off
Bar = tuple[float, float, float]


class Spot(Struct, frozen=True):
    """One kite on a plot, in the units of its axes: a dot with its uncertainty, or where `bar` is given an upright bar.

    x, y is where its name belongs; `says` is read when it is pointed at.
    """

    kite: str
    name: str
    x: float
    y: float
    says: str
    inks: str
    bar: tuple[float, float] | None = None
    across: tuple[float, float] | None = None  # 95 %, of x
    up: tuple[float, float] | None = None  # 95 %, of y
    level: float | None = None  # where the bar of x lies, if not at y


def crowded(count: int) -> bool:
    """Whether so many kites on one plot are a crowd."""
    return count > CROWD


def weight(among: int) -> str:
    """The weight of one of so many upright bars: a crowd is drawn lighter, so that it does not turn black."""
    return "kw-heavy" if among <= 60 else "kw-line kp-half" if among <= CROWD else "kw-hair kp-half"


def draw(plot: Plot, spots: Sequence[Spot], sheet: Sheet, root: str, room: Room | None = None) -> None:
    """The spots, each a link to its kite, names beside those with room. `root` leads from the page to the top."""
    links = marks(plot, spots, root)
    if links:
        _names(plot, spots, sheet, links, room or Room(plot.width, plot.height))


def marks(plot: Plot, spots: Sequence[Spot], root: str) -> dict[str, str]:
    """The spots without names, each a link to its kite; gives the links by kite, none of a crowd."""
    many = crowded(len(spots))
    if many:
        spots = told_apart(plot, spots)
    links = {} if many else {spot.kite: words.page_of(spot.kite, root) for spot in spots}
    plot.board.titles.update({links[spot.kite]: spot.says for spot in spots if links})
    _doubts(plot, spots, links)
    for inks in dict.fromkeys(spot.inks for spot in spots):
        own = [spot for spot in spots if spot.inks == inks]
        urls = [links[spot.kite] for spot in own] if links else None
        bars = [(spot.x, *spot.bar) for spot in own if spot.bar]
        if bars:
            plot.upright(joined(plot.x, plot.width, bars) if many else bars, inks, urls)
        elif many:
            plot.specks([(spot.x, spot.y) for spot in own], f"{_stroke(inks)} kw-dot k-round")
        else:
            plot.dots([(spot.x, spot.y) for spot in own], 3.4, inks, urls)
    return links


def _doubts(plot: Plot, spots: Sequence[Spot], links: dict[str, str]) -> None:
    """How far each figure may be off, both ways; in a crowd only where it reaches beyond the point itself."""
    for inks in dict.fromkeys(spot.inks for spot in spots):
        own = [spot for spot in spots if spot.inks == inks]
        pen = f"{_ink(inks)} kw-hair {'kp-half' if links else 'kp-faint'}"
        x, y = plot.x.inside, plot.y.inside
        level = [(s, (s.y if s.level is None else s.level, x(s.across[0]), x(s.across[1]))) for s in own if s.across]
        up = [(s, (s.x, y(s.up[0]), y(s.up[1]))) for s in own if s.up]
        if not links:
            level = [(s, b) for s, b in level if plot.px(b[2], s.y)[0] - plot.px(b[1], s.y)[0] > 7]
            up = [(s, b) for s, b in up if plot.px(s.x, b[1])[1] - plot.px(s.x, b[2])[1] > 7]
        if level:
            plot.level([bar for _, bar in level], pen, [links[s.kite] for s, _ in level] if links else None)
        if up:
            plot.upright(
                [bar for _, bar in up] if links else joined(plot.x, plot.width, [bar for _, bar in up]),
                pen,
                [links[s.kite] for s, _ in up] if links else None,
            )


def take(plot: Plot, spots: Iterable[Spot], room: Room) -> None:
    """Nothing may stand on these spots any more."""
    for spot in spots:
        low, high = spot.bar or (spot.y, spot.y)
        (x, top), (_, foot) = plot.px(spot.x, plot.y.inside(high)), plot.px(spot.x, plot.y.inside(low))
        half = 2 if spot.bar else 4
        room.take(x - plot.left - half, top - plot.top - half, x - plot.left + half, foot - plot.top + half)


class _Named(Struct, frozen=True):
    """A name with its place, and the line that leads to it where it stands further off."""

    spot: Spot
    label: Label
    line: tuple[Point, Point] | None = None


def _names(plot: Plot, spots: Sequence[Spot], sheet: Sheet, links: dict[str, str], room: Room) -> None:
    """Names of those with room, in the order that finds room for most."""
    take(plot, spots, room)
    size, inks = (sheet.small, "kt-name kt-halo kt-small") if sheet.narrow else (sheet.text, "kt-name kt-halo")
    placed = _placed(plot, spots, sheet, size, room.copy())
    if len(placed) < len(spots) <= LED:
        from_right = sorted(spots, key=lambda spot: -spot.x)
        placed = max(placed, _placed(plot, from_right, sheet, size, room.copy()), key=len)
    for one in placed:
        if one.line:
            plot.board.line([(plot.left + x, plot.top + y) for x, y in one.line], "ks-soft kw-hair")
    for one in placed:
        at = plot.left + one.label.x, plot.top + one.label.y
        plot.board.write(*at, one.label.text, inks, one.label.anchor, links[one.spot.kite])


def _placed(plot: Plot, spots: Sequence[Spot], sheet: Sheet, size: float, room: Room) -> list[_Named]:
    """Names beside their spots, and on a wide sheet further off those that have no room there."""
    most = 14 if sheet.narrow else 22
    placed: list[_Named] = []
    crowded_out = []
    for spot in spots:
        if len(placed) == MOST_NAMES[sheet.shape]:
            break
        ends = [plot.px(spot.x, end) for end in (spot.y, *((spot.bar[0],) if spot.bar else ()))]
        tries = (room.beside(x - plot.left, y - plot.top, spot.name, size, most=most) for x, y in ends)
        label = next((label for label in tries if label), None)
        if label:
            placed.append(_Named(spot, label))
        elif not sheet.narrow and len(spots) <= LED:
            crowded_out.append((spot, ends[0][0] - plot.left, ends[0][1] - plot.top, ends[-1][1] - plot.top))
    for spot, x, top, foot in crowded_out:
        found = room.beyond(x, top, foot, spot.name, size, most)
        if found:
            placed.append(_Named(spot, *found))
    return placed


def reach(figure: Measured, t: float, unit: words.Unit) -> tuple[float, float]:
    """The 95 % interval of a measured figure in the unit shown."""
    return unit(figure.value - t * figure.doubt), unit(figure.value + t * figure.doubt)


def repeats(figure: Measured, t: float, unit: words.Unit) -> tuple[float, float]:
    """Where another reading would lie 95 times in 100, in the unit shown."""
    return unit(figure.value - t * figure.spread), unit(figure.value + t * figure.spread)


def told_apart(plot: Plot, spots: Iterable[Spot]) -> list[Spot]:
    """The spots that a screen can tell apart: one dot for each 3 px of the plot, all bars."""
    seen = {}
    for spot in spots:
        x, y = plot.px(spot.x, spot.y)
        seen[(round(x / 3), round(y / 3)) if spot.bar is None else spot.kite] = spot
    return list(seen.values())


def joined(x: Axis, width: float, bars: Iterable[Bar]) -> list[Bar]:
    """Upright bars joined where they lie on one another on the screen: no more are left than it can show."""
    columns: dict[int, list[Bar]] = {}
    for bar in bars:
        columns.setdefault(round(x.at(bar[0]) * width), []).append(bar)
    out: list[Bar] = []
    for _, column in sorted(columns.items()):
        first = len(out)
        for place, low, high in sorted(column, key=lambda bar: bar[1:]):
            if len(out) > first and low <= out[-1][2]:
                out[-1] = (out[-1][0], out[-1][1], max(high, out[-1][2]))
            else:
                out.append((place, low, high))
    return out


def _ink(inks: str) -> str:
    """The stroke of the ink that a mark is drawn in."""
    return next((ink for ink in inks.split() if ink.startswith("ks-")), inks.split()[0].replace("kf-", "ks-"))


def _stroke(inks: str) -> str:
    """A dot's ink as that of a round stroke: its fill, or a pale ink where it is hollow."""
    return "ks-soft kp-half" if inks.startswith("kf-paper") else _ink(inks)
