"""The sky over the wind axis: every kite on the line of the winds that a flyer likes it in, out from its wing tips.

Places are percent of the sky's width and height, while sails and texts keep their size in px: a larger sky only draws
what hangs in it apart.
"""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import astuple

from bowbook.charts.svg import number
from bowbook.pages.hang_ways import Hangable, Paper
from bowbook.pages.kite_row import FlyerRange, KiteRow
from bowbook.pages.text_width import cut, text_width
from bowbook.pages.wind_axis import WIDTH, WindAxis, percent

if TYPE_CHECKING:
    from bowbook.pages.hanging import Place

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


class _Likes(Struct, frozen=True):
    """What one flyer's view says of a kite: its winds, whether that flyer has not flown it, and the words."""

    low: float
    high: float
    guess: bool
    words: str
    said: str


class Layout(Struct, frozen=True):
    """How a book's kites hang: on what, at which size, and for each flyer's number where, by key."""

    paper: Paper
    tall: bool
    size: tuple[float, float]  # px of the largest sail's larger side, and its mm
    places: dict[int, dict[str, Place]]


def sky_of(lines: Sequence[KiteRow], axis: WindAxis, flyers: Sequence[str], first: str | None) -> Sky | None:
    """The sky of a collection that can be named kite by kite; None where there is no room for all its names."""
    layout = layout_of(lines, axis, flyers, first)
    if layout is None:
        return None
    front = next(iter(layout.places.values()))
    kites = [_kite(line, axis, flyers, layout) for line in _ordered(lines, front)]
    return Sky(layout.tall, layout.paper.small is None, tuple(kites))


def layout_of(lines: Sequence[KiteRow], axis: WindAxis, flyers: Sequence[str], first: str | None) -> Layout | None:
    """Where the kites hang, the first flyer's view first: at the largest size at which no view has any two meet."""
    views = sorted(range(len(flyers)), key=lambda n: flyers[n] != first) or [-1]
    largest = max(max(line.picture.width, line.picture.height) for line in lines)
    for tall, close, px in _sizes(len(lines)):
        paper, size = _paper(tall, close), (px, largest)
        places: dict[int, dict[str, Place]] = {}
        for view in views:
            found, meeting = _hung(
                tuple(_hangable(line, axis, _likes(line, view, flyers, axis), size, paper) for line in lines), paper
            )
            if meeting:
                break
            places[view] = found
        else:
            return Layout(paper, tall, size, places)
    return None


def _sizes(kites: int) -> list[tuple[bool, bool, float]]:
    """What to try in turn: a taller sky or not, names alone or not, px of the largest sail's larger side."""
    lined = [(False, False, size) for size in ((104.0, 90.0, 76.0) if kites <= 12 else (90.0, 78.0, 66.0))]
    close = [(False, True, 58.0), (False, True, 46.0), (True, True, 46.0)]
    return (lined if kites <= LINED else []) + (close if kites <= NAMED else [])


def _paper(tall: bool, close: bool) -> Paper:
    height = TALL if tall else HEIGHT
    return Paper(WIDTH, height, 30.0, 14.0, CLOSE_NAME if close else NAME, None if close else SMALL)


@lru_cache(maxsize=24)
def _hung(items: tuple[Hangable, ...], paper: Paper) -> tuple[dict[str, Place], int]:
    """Where these kites hang: worked out once for as long as none of them changes its winds, its sail or its name."""
    from bowbook.pages.hanging import hang

    return hang(items, paper)


def _likes(line: KiteRow, view: int, flyers: Sequence[str], axis: WindAxis) -> _Likes:
    """What a flyer's view says of a kite; where nothing is known of theirs, another's winds, with that name."""
    own = next((r for r in line.ranges if r.flyer == view), None)
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
    return _Likes(shown.low, shown.high, guess, f"{winds}{whose}{stage}", said)


def _scale(line: KiteRow, size: tuple[float, float]) -> float:
    """px per mm: large sails are drawn larger than small ones, but by the root of what they are.

    `size`: px of the largest sail's larger side, and its mm.
    """
    side = max(line.picture.width, line.picture.height)
    return size[0] * max(SMALLEST, math.sqrt(side / size[1])) / side


def _hangable(line: KiteRow, axis: WindAxis, likes: _Likes, size: tuple[float, float], paper: Paper) -> Hangable:
    scale, picture = _scale(line, size), line.picture
    left = axis.place(likes.low)
    return Hangable(
        key=line.key,
        left=left,
        right=max(axis.place(likes.high), left + 3),
        halves=tuple(half * scale for half in picture.profile.halves),
        up=picture.profile.tips * scale,
        down=(picture.height - picture.profile.tips) * scale,
        name=text_width(cut(line.name, LONGEST), paper.name) * BOLD,
        winds=text_width(likes.words, paper.small or paper.name),
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


def _kite(line: KiteRow, axis: WindAxis, flyers: Sequence[str], layout: Layout) -> Hung:
    scale = _scale(line, layout.size)
    spots = {
        view: _spot(_likes(line, view, flyers, axis), places[line.key], axis, layout.paper)
        for view, places in layout.places.items()
    }
    return Hung(
        line=line,
        name=cut(line.name, LONGEST),
        place=f"translate(0 {number(-line.picture.profile.tips * scale)}) scale({scale:.4g})",
        spot=next(iter(spots.values())),
        views=json.dumps([astuple(spots[view]) for view in sorted(spots)], ensure_ascii=False, separators=(",", ":"))
        if len(spots) > 1
        else "",
    )


def _spot(likes: _Likes, place: Place, axis: WindAxis, paper: Paper) -> SkySpot:
    way, left = place.way, axis.place(likes.low)
    return SkySpot(
        left=percent(left),
        right=percent(max(axis.place(likes.high), left + 3)),
        x=percent(way.x),
        y=number(100 * place.y / paper.height),
        anchor={"right": "s", "left": "e"}.get(way.side, "m"),
        text_x=number(way.anchor - way.x, 1),
        name_y=number(way.name_y, 1),
        winds=likes.words,
        winds_y=number(way.winds_y, 1),
        guess=likes.guess,
        said=likes.said,
    )
