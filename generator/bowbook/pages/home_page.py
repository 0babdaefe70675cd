"""The wind shelf: the whole collection hung along the wind, and the same kites as a table."""

from __future__ import annotations

import json

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import AWAY, STAGES, Band, Units
from bowbook.findings.results import Range
from bowbook.pages.chrome import Chrome
from bowbook.pages.kite_row import KiteRow, in_order
from bowbook.pages.sky import Axis, Flock, Sky, axis_of, flock_of, sky_of
from bowbook.wording import collection, numbers

SKY_HOLDS = 60
"""Above this many hung kites the sky shows a flock instead of names, and the table folds by band."""


class Group(Struct, frozen=True):
    """Rows that stand together: one band's, or all of them."""

    title: str | None
    address: str | None
    lines: tuple[KiteRow, ...]


class Choice(Struct, frozen=True):
    """One entry of a filter."""

    value: str
    title: str


class Home(Struct, frozen=True):
    """What the wind shelf shows."""

    title: str
    description: str
    lead: str
    gaps: str | None
    sky: Sky | None
    flock: Flock | None
    groups: tuple[Group, ...]
    grounded: tuple[KiteRow, ...]
    kites: int
    folded: bool
    unit: str
    low: str
    top: str
    units: str
    whose: str | None
    flyers: tuple[Choice, ...]
    stages: tuple[Choice, ...]
    skins: tuple[Choice, ...]
    edges: tuple[str, ...]
    ruler: tuple[tuple[str, str], ...]


def home_page(chrome: Chrome, bands: tuple[Band, ...], flyers: tuple[str, ...], rows: tuple[KiteRow, ...]) -> Home:
    """The page as its template takes it; `rows` are of every kite, in any order."""
    lines = in_order(rows)
    hung = [line for line in lines if line.low is not None]
    many = len(hung) > SKY_HOLDS
    covered = collection.coverage(line.span for line in lines if line.span and line.stage not in AWAY)
    axis = axis_of(hung, bands, covered, chrome.units) if hung else None
    numbered = [_placed(line, n, axis) for n, line in enumerate(lines)]
    hung, grounded = numbered[: len(hung)], tuple(numbered[len(hung) :])
    sky = sky_of(hung, axis) if axis and not many else None
    flock = flock_of(hung, axis) if axis and many else None
    return Home(
        title=chrome.title,
        description=chrome.about or f"{collection.lead(len(lines), len(hung))} Build pages of hand-made kites.",
        lead=collection.lead(len(lines), len(hung)),
        gaps=collection.gaps(covered, chrome.units),
        sky=sky,
        flock=flock,
        groups=_groups(numbered, bands, many),
        grounded=grounded,
        kites=len(lines),
        folded=many,
        unit=numbers.wind_unit(chrome.units),
        low=f"{axis.low:.4g}" if axis else "1",
        top=f"{axis.top:.4g}" if axis else "20",
        units=json.dumps(numbers.wind_units()),
        whose=chrome.flyer or (hung[0].whose if hung else None),
        flyers=tuple(Choice(str(n), name) for n, name in enumerate(flyers)),
        stages=tuple(Choice(s, s) for s in STAGES if any(x.stage == s for x in lines)),
        edges=_edges(axis, bands, chrome.units) if axis else (),
        ruler=_ruler(axis) if axis else (),
        skins=tuple(Choice(k, t) for k, t in sorted({(x.skin_key, x.skin or x.skin_key) for x in lines if x.skin_key})),
    )


def _placed(line: KiteRow, number: int, axis: Axis | None) -> KiteRow:
    """The line with its place in the list, and its range as part of the axis."""
    if axis is None or line.low is None or line.high is None:
        return replace(line, number=number)
    edges = (
        f"{100 * axis.share(line.low):.2f}",
        f"{100 * max(axis.share(line.high), axis.share(line.low) + 0.01):.2f}",
    )
    return replace(line, number=number, strip=edges)


def _edges(axis: Axis, bands: tuple[Band, ...], units: Units) -> tuple[str, ...]:
    """Where bands begin, percent of the axis."""
    winds = [numbers.wind_number(band.low_m_s, units) for band in bands]
    return tuple(f"{100 * axis.share(wind):.2f}" for wind in winds if axis.low < wind < axis.top)


def _ruler(axis: Axis) -> tuple[tuple[str, str], ...]:
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
