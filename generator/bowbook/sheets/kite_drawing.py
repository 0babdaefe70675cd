"""The small drawing of the whole kite with its dimensions: once in millimetres, shown on paper and on the page."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from html import escape
from itertools import pairwise

from msgspec import Struct

from bowbook.book.records import Units
from bowbook.findings.results import Findings
from bowbook.sheets import typesetting
from bowbook.sheets.outline import Flat
from bowbook.sheets.page import Item, Line, PaperPage, Point, Words
from bowbook.wording import numbers

SIZE_PT = 7.5
_GAP_MM = 9.0  # left free around the outline for the dimension lines


def draw_plan(findings: Findings, flat: Flat | None, units: Units, width: float, height: float) -> tuple[Item, ...]:
    """The dimensioned outline in a box of that size, mm, from its top left corner; a frame to sketch in without one."""
    page = PaperPage(width, height)
    if flat is None:
        _empty(page)
        return tuple(page.items)
    tip_x = flat.tip[0]
    top = min(y for _, y in flat.finished)
    words = _on_the_spine(findings, units)
    k = min(
        (width - 2 * _GAP_MM) / (2 * tip_x),
        (height - 2 * _GAP_MM) / (flat.bottom - top),
        *((width - _GAP_MM - 5.0 - w.wide) / (tip_x + _half_width(flat, w.down, 20.0)) for w in words),
    )
    right = max([tip_x * k, *(_half_width(flat, w.down, 20.0) * k + 5.0 + w.wide for w in words)])
    middle = _GAP_MM + tip_x * k + max(0.0, (width - _GAP_MM - tip_x * k - right) / 2 - 1.0)
    y0 = _GAP_MM + ((height - 2 * _GAP_MM) - (flat.bottom - top) * k) / 2

    def at(p: Point) -> Point:
        return middle + p[0] * k, y0 + (p[1] - top) * k

    page.line([at(p) for p in flat.finished], 0.35, closed=True)
    page.line([at(p) for p in flat.spine], 0.2)
    if flat.bow:
        page.line([at(p) for p in flat.bow], 0.2)
    _span(page, findings, units, at((-tip_x, flat.tip[1])), at(flat.tip))
    _height(page, findings, units, at((-tip_x, 0))[0] - 4.0, at((0, top))[1], at((0, flat.bottom))[1])
    _spine_marks(page, flat, words, at, k)
    return tuple(page.items)


def _half_width(flat: Flat, down: float, reach: float) -> float:
    """How far the sail reaches out to the right within `reach` mm above and below a height."""
    ring = [*flat.finished, flat.finished[0]]
    widest = 0.0
    for (x0, y0), (x1, y1) in pairwise(ring):
        low, high = max(min(y0, y1), down - reach), min(max(y0, y1), down + reach)
        if low > high:
            continue
        for y in (low, high):
            t = (y - y0) / (y1 - y0) if abs(y1 - y0) > 1e-9 else 0.0
            widest = max(widest, x0 + (x1 - x0) * t, x1 if abs(y1 - y0) <= 1e-9 else 0.0)
    return widest


def _empty(page: PaperPage) -> None:
    w, h = page.width, page.height
    page.line([(1, 1), (w - 1, 1), (w - 1, h - 1), (1, h - 1)], 0.15, (1.0, 1.0), closed=True)
    page.words(w / 2, h / 2 - 6, "The outline is not written down yet.", 8.5, anchor="centre")
    page.words(w / 2, h / 2 - 1, "Sketch it here: nose, tip, tail, bow crossing.", 8.5, anchor="centre")


def _span(page: PaperPage, f: Findings, units: Units, left: Point, right: Point) -> None:
    """The width, from tip to tip across the sail, its figure under the line in the left half."""
    _dimension(page, left, right)
    text = numbers.ruled(f.sail.width_m or 0.0, units)
    page.words(left[0] * 0.7 + right[0] * 0.3, left[1] + 3.4, text, SIZE_PT, True, "centre")


def _height(page: PaperPage, f: Findings, units: Units, x: float, top: float, bottom: float) -> None:
    """The height, nose to tail, on the left."""
    _dimension(page, (x, top), (x, bottom))
    text = numbers.ruled(f.sail.height_m or 0.0, units)
    page.words(x - 1.2, (top + bottom) / 2, text, SIZE_PT, True, "centre", 90.0)


def _dimension(page: PaperPage, a: Point, b: Point) -> None:
    """A dimension line with a short stroke across either end."""
    page.line([a, b], 0.12)
    for x, y in (a, b):
        page.line([(x - 0.8, y + 0.8), (x + 0.8, y - 0.8)], 0.25)


class _Depth(Struct, frozen=True):
    """Something measured down the spine: how far below the nose, mm, and its words."""

    down: float
    text: str

    @property
    def wide(self) -> float:
        return typesetting.width_mm(typesetting.printable(self.text), SIZE_PT)


def _on_the_spine(f: Findings, units: Units) -> list[_Depth]:
    """What is measured down the spine, from the nose down."""
    kite = f.kite
    places = (
        (kite.bow.crosses_m, "bow"),
        (kite.bridle.upper_at_m, "upper leg"),
        (kite.bridle.lower_at_m, "lower leg"),
        (f.tow.down_m if f.tow else None, "tow point"),
    )
    known = [(m, what) for m, what in places if m is not None]
    return [
        _Depth(m * 1000.0, f"{numbers.ruled(m, units)} {', '.join(what for at, what in known if at == m)}")
        for m in sorted({m for m, _ in known})
    ]


def _spine_marks(page: PaperPage, flat: Flat, words: list[_Depth], at: Callable[[Point], Point], k: float) -> None:
    """Ticks on the spine with leaders to their words beside the sail, pushed apart so that none collide."""
    step = 3.6
    ys = [at((0.0, w.down))[1] for w in words]
    rows = list(ys)
    for n in range(1, len(rows)):
        rows[n] = max(rows[n], rows[n - 1] + step)
    lowest = page.height - 2.0
    for n in range(len(rows) - 1, -1, -1):
        rows[n] = min(rows[n], lowest if n == len(rows) - 1 else rows[n + 1] - step)
    for word, y, row in zip(words, ys, rows, strict=True):
        spine_x = at((0.0, word.down))[0]
        beside = _half_width(flat, word.down + (row - y) / k, 3.0 / k)
        x = min(spine_x + beside * k + 4.0, page.width - word.wide)
        page.line([(spine_x - 0.8, y), (spine_x + 0.8, y)], 0.35)
        page.line([(spine_x + 0.8, y), (x - 2.5, row), (x - 0.6, row)], 0.08)
        page.words(x, row + 1.0, word.text, SIZE_PT)


def as_svg(items: Iterable[Item], width: float, height: float, title: str, told: str, prefix: str) -> str:
    """The same drawing for the page: strokes and letters take the page's ink."""
    opening = (
        f'<svg class="plan" viewBox="0 0 {width:g} {height:g}" role="img" '
        f'aria-labelledby="{escape(prefix)}-plan-title {escape(prefix)}-plan-desc" '
        'fill="none" stroke="currentColor" stroke-linecap="round">'
    )
    parts = [
        opening,
        f'<title id="{escape(prefix)}-plan-title">{escape(title)}</title>',
        f'<desc id="{escape(prefix)}-plan-desc">{escape(told)}</desc>',
    ]
    for item in items:
        if isinstance(item, Line):
            points = " ".join(f"{x:.2f},{y:.2f}" for x, y in item.points)
            dash = f' stroke-dasharray="{" ".join(f"{d:g}" for d in item.dash)}"' if item.dash else ""
            tag = "polygon" if item.closed else "polyline"
            parts.append(f'<{tag} points="{points}" stroke-width="{item.width_mm:g}"{dash}/>')
        else:
            parts.append(_svg_words(item))
    return "".join(parts) + "</svg>"


def _svg_words(item: Words) -> str:
    anchor = {"left": "start", "centre": "middle", "right": "end"}[item.anchor]
    turn = f' transform="rotate({-item.angle:g} {item.x:.2f} {item.y:.2f})"' if item.angle else ""
    weight = ' font-weight="700"' if item.bold else ""
    return (
        f'<text x="{item.x:.2f}" y="{item.y:.2f}" font-size="{item.size_pt * 25.4 / 72:.2f}" text-anchor="{anchor}" '
        f'fill="currentColor" stroke="none"{weight}{turn}>{escape(item.text)}</text>'
    )
