"""The sky over the wind axis: every kite on the line of the winds that a flyer likes it in, out from its wing tips.

Places are percent of the sky's width and height, while sails and texts keep their size in px: a larger sky only draws
what hangs in it apart.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import astuple

from bowbook.charts.profile import SailProfile
from bowbook.charts.svg import number
from bowbook.pages.hang_ways import Hangable, Paper, Place
from bowbook.pages.kite_row import FlyerRange, KiteRow
from bowbook.pages.text_width import cut, text_width
from bowbook.pages.wind_axis import WIDTH, WindAxis, percent

HEIGHT, TALL = 496.0, 640.0  # px of a sky in the first screen, and of one that needs more
NAME, SMALL = 16.0, 12.5  # px of names and winds
CLOSE_NAME = 13.0  # px of names where many kites hang
LONGEST = 20  # narrow letters of a name that are shown
BOLD = 1.07  # names of kites that like the wind now are bold, and so a little wider
SMALLEST = 0.55  # of the largest sail: no sail is drawn smaller
LINED, NAMED = 32, 99
"""Up to how many kites hang with their lines and winds, and up to how many with their names."""


class SkySpot(Struct, frozen=True):
    """Where a kite hangs for one flyer, and its words: percent of the line's ends, of the spine and of the line.

    px of the texts are from the line on the spine; `anchor` says how they stand there: s, m or e.
    """

    left: str
    right: str
    x: str
    y: str
    anchor: str
    text_x: str
    name_y: str
    winds: str
    winds_y: str
    guess: bool
    said: str


class Hung(Struct, frozen=True):
    """One kite in the sky; `place` moves its drawing in mm to the line. `views`: each flyer's spot, for the script."""

    line: KiteRow
    name: str
    place: str
    spot: SkySpot
    views: str


class Sky(Struct, frozen=True):
    """The whole drawing: `close` where names stand alone, and lines show for the wind now only."""

    tall: bool
    close: bool
    kites: tuple[Hung, ...]


class FlyerView(Struct, frozen=True):
    """What one flyer's view says of a kite: the px of its winds along the shelf, whether that flyer has not flown it,
    and the words."""

    left: float
    right: float
    guess: bool
    words: str
    said: str


class SkyKite(Struct, frozen=True):
    """What of a kite decides where it hangs: its name, its sail in mm, and each flyer's view of it."""

    key: str
    name: str
    width: float
    height: float
    profile: SailProfile
    views: tuple[FlyerView, ...]

    @property
    def side(self) -> float:
        """The larger side of its sail, mm."""
        return max(self.width, self.height)


class SkyKites(Struct, frozen=True):
    """Every kite that hangs, and the number of the flyer whose view comes first."""

    kites: tuple[SkyKite, ...]
    first: int = 0


class Layout(Struct, frozen=True):
    """How a book's kites hang: on what, at which size, and for each flyer's number where, by key; no places where
    there is no room for all their names."""

    paper: Paper
    tall: bool
    size: tuple[float, float]  # px of the largest sail's larger side, and its mm
    places: dict[int, dict[str, Place]]


def sky_kites(lines: Sequence[KiteRow], axis: WindAxis | None, flyers: Sequence[str], first: str | None) -> SkyKites:
    """What of a collection decides where it hangs; empty where it is too large to be named kite by kite."""
    if axis is None or len(lines) > NAMED:
        return SkyKites(())
    views = range(max(len(flyers), 1))
    kites = [
        SkyKite(
            line.key,
            cut(line.name, LONGEST),
            line.picture.width,
            line.picture.height,
            line.picture.profile,
            tuple(_view(line, view, flyers, axis) for view in views),
        )
        for line in lines
    ]
    return SkyKites(tuple(kites), flyers.index(first) if first in flyers else 0)


def layout_of(sky: SkyKites) -> Layout:
    """Where the kites hang, the first flyer's view first: at the largest size at which no view has any two meet."""
    from bowbook.pages.hanging import hang

    if not sky.kites:
        return NOWHERE
    views = sorted(range(len(sky.kites[0].views)), key=lambda view: view != sky.first)
    largest = max(kite.side for kite in sky.kites)
    for tall, close, px in _sizes(len(sky.kites)):
        paper, size = _paper(tall, close), (px, largest)
        places: dict[int, dict[str, Place]] = {}
        for view in views:
            found, meeting = hang([_hangable(kite, view, size, paper) for kite in sky.kites], paper)
            if meeting:
                break
            places[view] = found
        else:
            return Layout(paper, tall, size, places)
    return NOWHERE


def sky_of(lines: Sequence[KiteRow], sky: SkyKites, layout: Layout) -> Sky | None:
    """The sky of a collection that can be named kite by kite; None where there is no room for all its names."""
    if not layout.places:
        return None
    front = next(iter(layout.places.values()))
    known = {kite.key: kite for kite in sky.kites}
    kites = [_hung(line, known[line.key], layout) for line in _ordered(lines, front)]
    return Sky(layout.tall, layout.paper.small is None, tuple(kites))


def _sizes(kites: int) -> list[tuple[bool, bool, float]]:
    """What to try in turn: a taller sky or not, names alone or not, px of the largest sail's larger side."""
    lined = [(False, False, size) for size in ((104.0, 90.0, 76.0) if kites <= 12 else (90.0, 78.0, 66.0))]
    close = [(False, True, 58.0), (False, True, 46.0), (True, True, 46.0)]
    return (lined if kites <= LINED else []) + (close if kites <= NAMED else [])


def _paper(tall: bool, close: bool) -> Paper:
    height = TALL if tall else HEIGHT
    return Paper(WIDTH, height, 30.0, 14.0, CLOSE_NAME if close else NAME, None if close else SMALL)


NOWHERE = Layout(_paper(tall=False, close=True), tall=False, size=(0.0, 1.0), places={})


def _view(line: KiteRow, view: int, flyers: Sequence[str], axis: WindAxis) -> FlyerView:
    """What a flyer's view says of a kite; where nothing is known of theirs, another's winds, with that name."""
    own = next((r for r in line.ranges if r.flyer == view), None) if flyers else None
    shown = own or next((r for r in line.ranges if str(r.flyer) == line.own_flyer), None)
    stage = "" if line.lit else f" · {line.stage}"
    if shown is None:
        assert line.low is not None
        assert line.high is not None
        shown = FlyerRange(-1, line.low, line.high, line.basis == "flown", line.likes or "")
        own = shown
    winds = shown.text.removesuffix(f"\u00a0{axis.unit}")
    whose = "" if own else f" · {flyers[shown.flyer]}"
    guess = not (own and own.flown)
    how = f", {flyers[shown.flyer]}'s wind" if not own else ", predicted, not flown yet" if guess else ""
    said = f"{line.name}, {shown.text}{how}{f', {line.stage}' if stage else ''}"
    left = axis.place(shown.low)
    return FlyerView(left, max(axis.place(shown.high), left + 3), guess, f"{winds}{whose}{stage}", said)


def _scale(kite: SkyKite, size: tuple[float, float]) -> float:
    """px per mm: large sails are drawn larger than small ones, but by the root of what they are.

    `size`: px of the largest sail's larger side, and its mm.
    """
    return size[0] * max(SMALLEST, math.sqrt(kite.side / size[1])) / kite.side


def _hangable(kite: SkyKite, view: int, size: tuple[float, float], paper: Paper) -> Hangable:
    scale, seen, profile = _scale(kite, size), kite.views[view], kite.profile
    return Hangable(
        key=kite.key,
        left=seen.left,
        right=seen.right,
        halves=tuple(half * scale for half in profile.halves),
        up=profile.tips * scale,
        down=(kite.height - profile.tips) * scale,
        name=text_width(kite.name, paper.name) * BOLD,
        winds=text_width(seen.words, paper.small or paper.name),
    )


def _ordered(lines: Sequence[KiteRow], places: dict[str, Place]) -> list[KiteRow]:
    """A kite whose line passes behind another's sail is drawn before it; else from light winds to strong ones."""
    order = list(lines)
    for _ in range(len(order)):
        late = next(
            (
                (n, m)
                for n, one in enumerate(order)
                for m in range(n)
                if _behind(places[one.key], places[order[m].key]) and not _behind(places[order[m].key], places[one.key])
            ),
            None,
        )
        if late is None:
            break
        order.insert(late[1], order.pop(late[0]))
    return order


def _behind(one: Place, other: Place) -> bool:
    """Whether the first one's line passes behind the other's sail."""
    lines = [box for kind, box in one.way.by_kind() if kind == "line"]
    sails = [box for kind, box in other.way.by_kind() if kind == "sail"]
    apart = one.y - other.y
    return any(
        line[0] < sail[2] and sail[0] < line[2] and line[1] + apart < sail[3] and sail[1] < line[3] + apart
        for line in lines
        for sail in sails
    )


def _hung(line: KiteRow, kite: SkyKite, layout: Layout) -> Hung:
    scale = _scale(kite, layout.size)
    spots = {view: _spot(kite.views[view], places[kite.key], layout.paper) for view, places in layout.places.items()}
    return Hung(
        line=line,
        name=kite.name,
        place=f"translate(0 {number(-kite.profile.tips * scale)}) scale({scale:.4g})",
        spot=next(iter(spots.values())),
        views=json.dumps([astuple(spots[view]) for view in sorted(spots)], ensure_ascii=False, separators=(",", ":"))
        if len(spots) > 1
        else "",
    )


def _spot(seen: FlyerView, place: Place, paper: Paper) -> SkySpot:
    way = place.way
    return SkySpot(
        left=percent(seen.left),
        right=percent(seen.right),
        x=percent(way.x),
        y=number(100 * place.y / paper.height),
        anchor={"right": "s", "left": "e"}.get(way.side, "m"),
        text_x=number(way.anchor - way.x, 1),
        name_y=number(way.name_y, 1),
        winds=seen.words,
        winds_y=number(way.winds_y, 1),
        guess=seen.guess,
        said=seen.said,
    )
