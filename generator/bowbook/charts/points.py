"""Many kites on one plot: each a link with its name beside it where there is room."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bowbook.charts import marks, sheets
from bowbook.charts.frames import Frame
from bowbook.charts.labels import Room
from bowbook.charts.scale import Scale
from bowbook.charts.sheets import Sheet
from bowbook.findings.results import Measured

MOST_LINKS_NARROW = 150  # a thousand links under a thumb help nobody: the table under the chart holds them
MOST_NAMES = {"wide": 44, "narrow": 14}


@dataclass(frozen=True, slots=True)
class Spot:
    """One kite on a plot, px: where its name belongs, its marks, and what it says when pointed at."""

    kite: str
    name: str
    x: float
    y: float
    marks: str
    says: str
    foot: float | None = None  # where an upright bar under the name's place ends


def linked(spots: Sequence[Spot], frame: Frame, sheet: Sheet, root: str, taken: Room | None = None) -> list[str]:
    """The spots as links to their kites, names beside those with room. `root` leads from the page to the site's top."""
    if sheet.narrow and len(spots) > MOST_LINKS_NARROW:
        return _merged(spots)
    names = named(spots, frame, sheet, taken)
    return [
        marks.link(sheets.page_of(spot.kite, root), spot.marks + names.get(i, ""), spot.says)
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
            names[i] = marks.words(
                label.x, label.y, label.text, "kt-name kt-halo" + (" kt-small" if sheet.narrow else ""), label.anchor
            )
    return names


def crossed(frame: Frame, unit: Scale, t: float, across: Measured, up: Measured) -> str:
    """Path data of a point's 95 % bars both ways, kept inside the plot."""
    x, y = unit(across.value), unit(up.value)
    xs = [min(max(unit(across.value + way * t * across.u), frame.x.low), frame.x.high) for way in (-1, 1)]
    ys = [min(max(unit(up.value + way * t * up.u), frame.y.low), frame.y.high) for way in (-1, 1)]
    flat = marks.path_data([frame.place(v, y) for v in xs])
    return flat + marks.path_data([frame.place(x, v) for v in ys])


_PATH = re.compile(r'<path class="([^"]*)" d="([^"]*)"/>')


def _merged(spots: Sequence[Spot]) -> list[str]:
    """All marks of a crowd without links: paths of the same pen as one, so that a phone has less to load."""
    paths: dict[str, list[str]] = {}
    rest = []
    for spot in spots:
        for pen, data in _PATH.findall(spot.marks):
            paths.setdefault(pen, []).append(data)
        rest.append(_PATH.sub("", spot.marks))
    return [marks.path("".join(data), pen) for pen, data in paths.items()] + rest
