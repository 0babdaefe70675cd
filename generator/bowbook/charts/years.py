"""A kite's years in one strip: flights above the ground line, the bench and what covered the kite below it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from msgspec import Struct

from bowbook.book.days import days_of, in_words, middle_of, short_month
from bowbook.book.records import Flight, Kite, Units
from bowbook.charts import scale
from bowbook.charts.labels import wide
from bowbook.charts.plot import Axis, Plot
from bowbook.charts.sheet import Drawing

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.sheet import Sheet

SKY, UNDER = 116.0, 74.0  # px over and under the ground line
SHORTEST = 120  # days that a strip shows at least

Cover = Literal["bare", "first", "later", "away"]


class StateSpan(Struct, frozen=True):
    """What the kite was from a day on: its name on the strip and what covered it."""

    since: date
    name: str
    cover: Cover


def years_chart(kite: Kite, stretches: Sequence[StateSpan], units: Units, own: str | None) -> Drawing | None:
    """The strip; None where fewer than two days are known. `own` is the flyer whose flights are drawn strongest."""
    flights = [(middle_of(f.on), f) for f in kite.flights if f.on and f.best]
    bench = [middle_of(one.on) for one in kite.bench if one.on]
    known = [*(day for day, _ in flights), *bench, *(s.since for s in stretches)]
    if len(set(known)) < 2:
        return None
    people = sorted({f.flyer or "somebody" for _, f in flights}, key=lambda name: (name != own, name))
    said = [f"{sum(1 for _, f in flights if (f.flyer or 'somebody') == name)} by {name}" for name in people]
    told = f"Flights with a best wind: {', '.join(said) or 'none'}. " + " ".join(
        f"{s.name} from {in_words(f'{s.since:%Y-%m}')}." for s in stretches
    )
    return Drawing(
        "years",
        kite.key,
        f"All the days of {kite.name}",
        told,
        lambda board, sheet: _draw(board, sheet, flights, bench, stretches, people, units),
        ("strip", "wide", "narrow"),
    )


def _draw(
    board: Board,
    sheet: Sheet,
    flights: Sequence[tuple[date, Flight]],
    bench: Sequence[date],
    stretches: Sequence[StateSpan],
    people: Sequence[str],
    units: Units,
) -> float:
    unit = scale.shown("wind", units)
    days = [*(day for day, _ in flights), *bench, *(s.since for s in stretches)]
    first, last = _span(days)
    length = (last - first).days
    most = max((unit(f.best.high_m_s or f.best.low_m_s or 0.0) for _, f in flights if f.best), default=8.0)
    _, high, ticks = scale.around(0.0, 1.5 * most, 4)  # over the highest bar there is room for a name
    board.line([(0, 0), (sheet.width, 0), (sheet.width, SKY), (0, SKY)], "kf-sky")
    plot = Plot(board, (0, 0, sheet.width, SKY), Axis(0, length), Axis(0, high, ()), "")
    for value in ticks[1:-1]:
        plot.across(value, "ks-rule kw-hair")
        text = scale.text(value) + (f" {unit.unit}" if value == ticks[-2] else "")
        board.write(sheet.width - 4, plot.px(0, value)[1] - 4, text, "kt-soft", "end")
    _calendar(plot, first, last)
    labelled: list[tuple[str, float, float]] = []
    for name in reversed(people):
        ink = "ks-ink kw-dot" if name == people[0] else "ks-soft kw-dot"
        own = [(day, f) for day, f in flights if (f.flyer or "somebody") == name]
        bars = [((day - first).days, *_edges(f, unit, high)) for day, f in own]
        plot.upright(bars, ink)
        if len(people) > 1:
            labelled.append((name, *plot.px(bars[-1][0], bars[-1][2])))
    bars = [((day - first).days, *_edges(f, unit, high)) for day, f in flights]
    inked = [(plot.px(day, top)[0], plot.px(day, top)[1], plot.px(day, low)[1]) for day, low, top in bars]
    placed: list[tuple[float, float]] = []
    for name, x, top in labelled:
        over = max(top - 6, 28)
        near = [other for at, other in placed if abs(x - at) < wide(name, sheet.text)]
        steps = (0, -1, 1, -2, 2, -3, 3)
        heights = [over + sheet.text * step for step in steps if 28 <= over + sheet.text * step < SKY]
        here = [(up, down) for at, up, down in inked if abs(at - x) <= 1]
        free = [y for y in heights if all(abs(y - other) >= sheet.text for other in near)]
        y = next((y for y in free if all(y <= up or y >= down + sheet.text for up, down in here)), over)
        placed.append((x, y))
        _name_flyer(board, name, x, y, inked, sheet)
    board.bars([((0, SKY), (sheet.width, SKY))], "ks-ink kw-heavy")
    _bench(plot, [(day - first).days for day in bench], sheet)
    _stretches(plot, stretches, first, length, sheet)
    return SKY + UNDER


def _name_flyer(
    board: Board, name: str, x: float, y: float, bars: Sequence[tuple[float, float, float]], sheet: Sheet
) -> None:
    """A flyer's name over their last bar; beside other bars it stands on the side where there are fewer of them."""
    long = wide(name, sheet.text)
    in_the_way = [bx - x for bx, top, low in bars if 1 < abs(bx - x) < long and top < y < low + sheet.text]
    left, right = (sum(1 for off in in_the_way if (off > 0) == after) for after in (False, True))
    if left == right:
        board.write(min(max(x, long / 2), sheet.width - long / 2), y, name, "", "middle")
    elif right > left and x > long:
        board.write(x + 3, y, name, "", "end")
    else:
        board.write(min(x - 3, sheet.width - long), y, name)


def _edges(flight: Flight, unit: scale.Scale, high: float) -> tuple[float, float]:
    best = flight.best
    assert best is not None
    return unit(best.low_m_s or 0.0), unit(best.high_m_s) if best.high_m_s is not None else high


def _span(days: Sequence[date]) -> tuple[date, date]:
    """The first and last day of the strip, with room on both sides."""
    first, last = min(days), max(days)
    room = max(SHORTEST - (last - first).days, 0) // 2 + max((last - first).days // 24, 6)
    return first - timedelta(days=room), last + timedelta(days=max(room, (last - first).days // 12))


def _calendar(plot: Plot, first: date, last: date) -> None:
    """The years, ruled at their beginnings; months too where the strip is short."""
    months = (last.year - first.year) * 12 + last.month - first.month
    every = 12 if months > 20 else 3 if months > 9 else 1
    clear = 5 + wide(_opening(first, every), 13) + 8
    if plot.px((date(first.year + 1, 1, 1) - first).days, 0)[0] > clear:  # else the next year's name stands there
        plot.board.write(5, 15, _opening(first, every), "")
    else:
        clear = 0.0
    year, month = first.year, first.month
    while (day := date(year, month, 1)) <= last:
        x = plot.px((day - first).days, 0)[0]
        if day > first and (month - 1) % every == 0:
            plot.upright([((day - first).days, 0, plot.y.high)], "ks-rule kw-hair")
            text = str(year) if month == 1 else short_month(month)
            if x > clear and x + wide(text, 13) < plot.width - 30:
                plot.board.write(x + 5, 15, text, "" if month == 1 else "kt-soft")
                clear = x + wide(text, 13) + 13
        year, month = (year, month + 1) if month < 12 else (year + 1, 1)


def _opening(first: date, every: int) -> str:
    return str(first.year) if every == 12 else f"{short_month(first.month)} {first.year}"


def _bench(plot: Plot, days: Sequence[int], sheet: Sheet) -> None:
    """The rounds, as short ticks under the ground."""
    if not days:
        return
    places = sorted(plot.px(day, 0)[0] for day in days)
    plot.board.bars([((x, SKY), (x, SKY + 13)) for x in places], "ks-ink kw-line")
    text = "at the bench"
    gaps = [(start, end) for start, end in pairwise((0.0, *places, sheet.width)) if end - start > wide(text, 13) + 14]
    if gaps:  # right of the last round where there is room, else in the last gap that holds it
        start, end = gaps[-1]
        anchor, x = ("end", end - 7) if end < sheet.width else ("start", start + 7)
        plot.board.write(x, SKY + 17, text, "kt-soft", anchor)


def _stretches(plot: Plot, stretches: Sequence[StateSpan], first: date, length: int, sheet: Sheet) -> None:
    """What covered the kite: a line when bare, hollow with its first skin, solid after that, dotted once away."""
    y, board = SKY + 30, plot.board
    clear = [-9.0, -9.0]
    for number, stretch in enumerate(stretches):
        following = stretches[number + 1].since if number + 1 < len(stretches) else first + timedelta(days=length)
        start, end = (plot.px((day - first).days, 0)[0] for day in (stretch.since, following))
        if stretch.cover in ("bare", "away"):
            inks = "ks-ink kw-line" if stretch.cover == "bare" else "ks-soft kw-line kd-dot"
            board.bars([((start, y), (max(end, start + 2), y))], inks)
        else:
            box = [(start, y - 3), (end - 1, y - 3), (end - 1, y + 3), (start, y + 3)]
            board.line(box, "kf-paper ks-ink kw-fine" if stretch.cover == "first" else "kf-ink")
        text, size = stretch.name, wide(stretch.name, sheet.text)
        left = min(start, sheet.width - size)
        row = next((row for row in (0, 1) if left > clear[row] + 8), None)
        if row is not None and (end - start > 3 or number):
            board.write(left, y + 19 + 15 * row, text, "")
            clear[row] = left + size


def stretch(on: str | None, name: str, cover: Cover) -> StateSpan | None:
    """The stretch that begins on a day as records keep it; None without one."""
    return StateSpan(days_of(on).first, name, cover) if on else None
