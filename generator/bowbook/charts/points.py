"""Many kites on one plot: each a link with its name beside it where there is room.

A few kites say all they have to say where they stand. A crowd is drawn lean: uncertainties lie under the kites as one
path, kites of one pen share one group, and each link says the kite's name only; the table has the rest.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape

from msgspec import Struct

from bowbook.charts import canvas, svg
from bowbook.charts.axes import Frame
from bowbook.charts.canvas import Sheet
from bowbook.charts.labels import Room
from bowbook.charts.scale import Scale
from bowbook.findings.results import Measured

CROWD = 150  # more kites than this on one plot are drawn lean; on a phone their links are left to the table
MOST_NAMES = {"wide": 44, "narrow": 14}


class Spot(Struct, frozen=True):
    """One kite on a plot, px: where its name belongs, its marks, and what it says when pointed at.

    `core` is what is pointed at and `under` its uncertainty, each a pen (classes) and path data; a `dot` is drawn at
    x, y instead, of that radius.
    """

    kite: str
    name: str
    x: float
    y: float
    says: str
    core: tuple[str, str]
    under: tuple[str, str] = ("", "")
    dot: float = 0.0
    foot: float | None = None  # where an upright bar under the name's place ends

    def drawn(self) -> str:
        """Its marks by themselves."""
        below = svg.path(self.under[1], self.under[0]) if self.under[1] else ""
        over = svg.dot(self.x, self.y, self.dot, self.core[0]) if self.dot else svg.path(self.core[1], self.core[0])
        return below + over


def crowded(count: int) -> bool:
    """Whether so many kites on one plot are a crowd."""
    return count > CROWD


def linked(spots: Sequence[Spot], frame: Frame, sheet: Sheet, root: str, taken: Room | None = None) -> list[str]:
    """The spots as links to their kites, names beside those with room. `root` leads from the page to the site's top."""
    if crowded(len(spots)):
        return _crowd(spots, sheet, root)
    names = named(spots, frame, sheet, taken)
    return [
        svg.link(canvas.page_of(spot.kite, root), spot.drawn() + names.get(i, ""), spot.says)
        for i, spot in enumerate(spots)
    ]


def weight(among: int) -> str:
    """The weight of one of so many upright bars: a crowd is drawn lighter, so that it does not turn black."""
    return "kw-heavy" if among <= 60 else "kw-line kp-half" if among <= 200 else "kw-hair kp-half"


def radius(among: int) -> float:
    """The radius of one of so many dots, px."""
    return 3.4 if among <= 120 else 2.2


def take(spots: Sequence[Spot], room: Room) -> None:
    """Nothing may stand on these spots any more."""
    for spot in spots:
        foot = spot.y if spot.foot is None else spot.foot
        room.take(spot.x - 3.5, spot.y - 3.5, spot.x + 3.5, foot + 3.5)


def named(spots: Sequence[Spot], frame: Frame, sheet: Sheet, taken: Room | None = None) -> dict[int, str]:
    """Name labels by number of the spot, for those with room."""
    room = taken or Room(frame.width, frame.height)
    take(spots, room)
    names: dict[int, str] = {}
    size = sheet.text if not sheet.narrow else sheet.small
    for i, spot in enumerate(spots):
        if len(names) >= MOST_NAMES[sheet.shape]:
            break
        label = room.beside(spot.x, spot.y, spot.name, size, most=14 if sheet.narrow else 22)
        if label:
            names[i] = svg.words(
                label.x, label.y, label.text, "kt-name kt-halo" + (" kt-small" if sheet.narrow else ""), label.anchor
            )
    return names


def crossed(frame: Frame, unit: Scale, t: float, across: Measured, up: Measured, among: int = 1) -> str:
    """Path data of a point's 95 % bars both ways, inside the plot; "" in a crowd where the dot covers them."""
    x, y = unit(across.value), unit(up.value)
    xs = [min(max(unit(across.value + way * t * across.u), frame.x.low), frame.x.high) for way in (-1, 1)]
    ys = [min(max(unit(up.value + way * t * up.u), frame.y.low), frame.y.high) for way in (-1, 1)]
    (left, at), (right, _) = (frame.place(v, y) for v in xs)
    (over, low), (_, high) = (frame.place(x, v) for v in ys)
    if crowded(among) and max(right - left, low - high) < 2 * radius(among):
        return ""
    n = svg.number
    return f"M{n(left)} {n(at)}H{n(right)}M{n(over)} {n(low)}V{n(high)}"


def _crowd(spots: Sequence[Spot], sheet: Sheet, root: str) -> list[str]:
    """All marks of a crowd, pen by pen; on a wide sheet each kite within its pen's group is a link with its name."""
    under: dict[str, list[str]] = {}
    cores: dict[str, list[str]] = {}
    for spot in spots:
        if spot.under[1]:
            under.setdefault(spot.under[0].replace(" kp-half", ""), []).append(_coarse(spot.under[1]))
        pen = f"{_stroke(spot.core[0])} kw-dot k-round" if spot.dot else spot.core[0]
        data = _coarse(f"M{spot.x:.1f} {spot.y:.1f}h0" if spot.dot else spot.core[1])
        cores.setdefault(pen, []).append(data if sheet.narrow else _lean(spot, data, root))
    below = [svg.path("".join(data), f"{pen} kp-faint") for pen, data in under.items()]
    if sheet.narrow:
        return below + [svg.path("".join(data), pen) for pen, data in cores.items()]
    return below + [f'<g class="k-crowd {pen}">{"".join(links)}</g>' for pen, links in cores.items()]


def _lean(spot: Spot, data: str, root: str) -> str:
    """One kite of a crowd: its place, its name, the way to its page."""
    address, name = escape(canvas.page_of(spot.kite, root)), escape(spot.name, quote=False)
    return f'<a href="{address}" tabindex="-1"><title>{name}</title><path d="{data}"/></a>'


def _stroke(pen: str) -> str:
    """A dot's pen as that of a round stroke: its fill, or a pale ink where it is hollow."""
    return "ks-soft kp-half" if pen.startswith("kf-paper") else pen.split()[0].replace("kf-", "ks-")


def _coarse(data: str) -> str:
    """Path data to a tenth of a px: finer than a screen shows."""
    return re.sub(r"(\d+\.\d)\d+", r"\1", data)
