"""The wind shelf: the whole collection hung along the wind, and the same kites as a table."""

from __future__ import annotations

import json

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book import units as book_units
from bowbook.book.records import Band, Units
from bowbook.findings.results import Range
from bowbook.pages.chrome import Chrome
from bowbook.pages.flock import Flock, flock_of
from bowbook.pages.kite_row import KiteRow, rows_in_order
from bowbook.pages.sifts import Sift, sifts_of
from bowbook.pages.sky import NAMED, Layout, Sky, SkyKites, sky_kites, sky_of
from bowbook.pages.wind_axis import WindAxis, axis_of
from bowbook.wording import collection, numbers


class Group(Struct, frozen=True):
    """Rows that stand together: one band's, or all of them."""

    title: str | None
    address: str | None
    lines: tuple[KiteRow, ...]


class Home(Struct, frozen=True):
    """What the wind shelf shows."""

    title: str
    description: str
    lead: str
    opening: tuple[str, str] | None  # what is said before and after the flyer whose winds they are
    gaps: str | None
    axis: WindAxis | None
    sky: Sky | None
    flock: Flock | None
    groups: tuple[Group, ...]
    grounded: tuple[KiteRow, ...]
    kites: int
    folded: bool
    unit: str
    low: str
    top: str
    along: str  # shares of the axis at evenly spaced logarithms of the wind, for the script
    start: str | None  # the wind that the page opens at: of those marked, the one most kites like
    units: str
    whose: str | None
    flyers: tuple[str, ...]
    sifts: tuple[Sift, ...]
    edges: tuple[str, ...]
    ruler: tuple[tuple[str, str], ...]


class Shelf(Struct, frozen=True):
    """Every kite in the order of lists, as the page's flyer likes it; the first `hanging` of them have winds."""

    lines: tuple[KiteRow, ...]
    hanging: int
    whose: str | None
    axis: WindAxis | None
    covered: tuple[Range, ...]

    @property
    def hung(self) -> tuple[KiteRow, ...]:
        """The kites with winds."""
        return self.lines[: self.hanging]


def shelf_of(chrome: Chrome, bands: tuple[Band, ...], flyers: tuple[str, ...], rows: tuple[KiteRow, ...]) -> Shelf:
    """The shelf of all kites; `rows` are in any order."""
    lines = rows_in_order(rows)
    hung = [line for line in lines if line.low is not None]
    whose = chrome.flyer if chrome.flyer in flyers else next((line.whose for line in hung if line.whose), None)
    if whose:
        lines = [_as_liked(line, flyers.index(whose), whose) for line in lines]
        hung = lines[: len(hung)]
    covered = collection.coverage(_shown(line, chrome.units) for line in hung if line.lit)
    axis = axis_of(_ranges(hung), bands, covered, chrome.units) if hung else None
    placed = tuple(_placed(line, n, axis) for n, line in enumerate(lines))
    return Shelf(placed, len(hung), whose, axis, tuple(covered))


def hung_kites(shelf: Shelf, flyers: tuple[str, ...]) -> SkyKites:
    """What of the shelf decides where its kites hang."""
    return sky_kites(shelf.hung, shelf.axis, flyers, shelf.whose)


def home_page(
    chrome: Chrome,
    bands: tuple[Band, ...],
    flyers: tuple[str, ...],
    shelf: Shelf,
    hung_as: SkyKites,
    layout: Layout,
) -> Home:
    """The page as its template takes it."""
    lines, hung, whose, axis = list(shelf.lines), list(shelf.hung), shelf.whose, shelf.axis
    grounded = shelf.lines[shelf.hanging :]
    sky = sky_of(hung, hung_as, layout)
    many = len(hung) > NAMED
    return Home(
        title=chrome.title,
        description=chrome.about or f"{collection.lead(len(lines), len(hung))} Build pages of hand-made kites.",
        lead=collection.lead(len(lines), len(hung)),
        opening=collection.opening(len(lines), len(hung)) if whose else None,
        gaps=collection.gaps(shelf.covered, chrome.units),
        axis=axis,
        sky=sky,
        flock=flock_of(hung, axis) if axis and sky is None else None,
        groups=_groups(lines, bands, many),
        grounded=grounded,
        kites=len(lines),
        folded=many,
        unit=numbers.wind_unit(chrome.units),
        low=f"{axis.low:.4g}" if axis else "1",
        top=f"{axis.top:.4g}" if axis else "20",
        along=" ".join(f"{share:.4g}" for _, share in axis.points) if axis else "0 1",
        start=_start(axis, hung) if axis and sky else None,
        units=json.dumps(numbers.wind_units()),
        whose=whose,
        flyers=flyers,
        sifts=sifts_of(lines, flyers, chrome.units),
        edges=tuple(
            f"{100 * axis.share(wind):.2f}"
            for band in bands
            if axis.low < (wind := numbers.wind_number(band.low_m_s, chrome.units)) < axis.top
        )
        if axis
        else (),
        ruler=_ruler(axis) if axis else (),
    )


def _shown(line: KiteRow, units: Units) -> Range:
    """The winds that a hung kite's row shows, m/s."""
    unit = numbers.wind_unit(units)
    return Range(*(book_units.from_unit(edge or 0.0, unit, "wind") for edge in (line.low, line.high)))


def _ranges(lines: list[KiteRow]) -> list[tuple[float, float]]:
    """Every range of winds that some flyer's view shows."""
    own = [(line.low, line.high) for line in lines if line.low is not None and line.high is not None]
    return own + [(r.low, r.high) for line in lines for r in line.ranges if str(r.flyer) != line.own_flyer]


def _start(axis: WindAxis, lines: list[KiteRow]) -> str:
    """Of the winds marked on the axis, the one that most kites like."""

    def liked(text: str) -> int:
        wind = float(text)
        return sum(line.low <= wind <= line.high for line in lines if line.lit and line.low and line.high)

    return max((mark.text for mark in axis.marks), key=liked)


def _placed(line: KiteRow, number: int, axis: WindAxis | None) -> KiteRow:
    """The line with its place in the list, and its range as part of the axis."""
    if axis is None or line.low is None or line.high is None:
        return replace(line, number=number)
    edges = (
        f"{100 * axis.share(line.low):.2f}",
        f"{100 * max(axis.share(line.high), axis.share(line.low) + 0.01):.2f}",
    )
    return replace(line, number=number, strip=edges)


def _as_liked(line: KiteRow, flyer: int, name: str | None) -> KiteRow:
    """The line with this flyer's winds, flown or predicted, where they are known; else as it is, another's."""
    own = next((r for r in line.ranges if r.flyer == flyer), None)
    if own is None:
        return line
    basis = "flown" if own.flown else "predicted"
    return replace(line, low=own.low, high=own.high, likes=own.text, basis=basis, whose=name, own_flyer=str(own.flyer))


def _ruler(axis: WindAxis) -> tuple[tuple[str, str], ...]:
    """Marks for the phone's ruler: percent of the axis and text, as far apart as a narrow screen needs."""
    kept: list[tuple[float, str]] = []
    for mark in axis.marks:
        share = axis.share(float(mark.text))
        if 0.04 < share < 0.96 and (not kept or share - kept[-1][0] > 0.09):
            kept.append((share, mark.text))
    return tuple((f"{100 * share:.2f}", text) for share, text in kept)


def _groups(lines: list[KiteRow], bands: tuple[Band, ...], many: bool) -> tuple[Group, ...]:
    """All rows together, or folded: one group per band of the wind in the middle of the range, then the rest."""
    if not many:
        return (Group(None, None, tuple(lines)),)
    middles = {line.key: _middle(line.span) for line in lines}
    groups, placed = [], set()
    for band in bands:
        own = tuple(x for x in lines if (m := middles[x.key]) is not None and band.low_m_s <= m < band.high_m_s)
        placed |= {x.key for x in own}
        if own:
            groups.append(Group(numbers.capital(band.name), f"bands/{band.key}.html", own))
    rest = tuple(x for x in lines if x.key not in placed)
    outside = tuple(x for x in rest if x.low is not None)
    grounded = tuple(x for x in rest if x.low is None)
    named = (("Outside every band", outside), ("No wind known yet", grounded))
    return (*groups, *(Group(title, None, own) for title, own in named if own))


def _middle(span: Range | None) -> float | None:
    return (span.low + span.high) / 2 if span else None
