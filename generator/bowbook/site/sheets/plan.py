"""The small drawing of the whole kite with its dimensions: once in millimetres, shown on paper and on the page."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from bowbook.book.records import Units
from bowbook.book.units import show
from bowbook.findings.results import Findings
from bowbook.site.sheets import fonts
from bowbook.site.sheets.outline import Flat
from bowbook.site.sheets.page import Item, Line, Page, Point, Words

SIZE_PT = 7.5
_GAP_MM = 9.0  # left free around the outline for the dimension lines


def draw_plan(findings: Findings, flat: Flat | None, units: Units, width: float, height: float) -> tuple[Item, ...]:
    """The dimensioned outline in a box of that size, mm, from its top left corner; a frame to sketch in without one."""
    page = Page(width, height)
    if flat is None:
        _empty(page)
        return tuple(page.items)
    tip_x = flat.tip[0]
    top = min(y for _, y in flat.finished)
    right_words = _on_the_spine(findings, units)
    words_mm = max((fonts.width_mm(fonts.readable(w), SIZE_PT) for _, w in right_words), default=0.0) + 5.0
    k = min((width - 2 * _GAP_MM - words_mm) / (2 * tip_x), (height - 2 * _GAP_MM) / (flat.bottom - top))
    middle, y0 = _GAP_MM + tip_x * k + 4.0, _GAP_MM + ((height - 2 * _GAP_MM) - (flat.bottom - top) * k) / 2

    def at(p: Point) -> Point:
        return middle + p[0] * k, y0 + (p[1] - top) * k

    page.line([at(p) for p in flat.finished], 0.35, closed=True)
    page.line([at(p) for p in flat.spine], 0.2)
    if flat.bow:
        page.line([at(p) for p in flat.bow], 0.2)
    _span(page, findings, units, at((-tip_x, 0))[0], at((tip_x, 0))[0], at(flat.tip)[1], at((0, top))[1] - 4.5)
    _height(page, findings, units, at((-tip_x, 0))[0] - 4.0, at((0, top))[1], at((0, flat.bottom))[1])
    _spine_marks(page, right_words, at, at((tip_x, 0))[0] + 3.0, at((0, flat.bottom))[1])
    return tuple(page.items)


def _empty(page: Page) -> None:
    w, h = page.width, page.height
    page.line([(1, 1), (w - 1, 1), (w - 1, h - 1), (1, h - 1)], 0.15, (1.0, 1.0), closed=True)
    page.words(w / 2, h / 2 - 6, "The outline is not written down yet.", 8.5, anchor="centre")
    page.words(w / 2, h / 2 - 1, "Sketch it here: nose, tip, tail, bow crossing.", 8.5, anchor="centre")


def _span(page: Page, f: Findings, units: Units, left: float, right: float, tip_y: float, y: float) -> None:
    """The width, tip to tip, above the nose."""
    for x in (left, right):
        page.line([(x, tip_y - 1.0), (x, y - 1.5)], 0.1)
    _dimension(page, (left, y), (right, y))
    page.words((left + right) / 2, y - 1.2, show(f.sail.width_m or 0.0, "length", units), SIZE_PT, True, "centre")


def _height(page: Page, f: Findings, units: Units, x: float, top: float, bottom: float) -> None:
    """The height, nose to tail, on the left."""
    _dimension(page, (x, top), (x, bottom))
    text = show(f.sail.height_m or 0.0, "length", units)
    page.words(x - 1.2, (top + bottom) / 2, text, SIZE_PT, True, "centre", 90.0)


def _dimension(page: Page, a: Point, b: Point) -> None:
    """A dimension line with a short stroke across either end."""
    page.line([a, b], 0.12)
    for x, y in (a, b):
        page.line([(x - 0.8, y + 0.8), (x + 0.8, y - 0.8)], 0.25)


def _on_the_spine(f: Findings, units: Units) -> list[tuple[float, str]]:
    """What is measured down the spine: place below the nose in mm, and words."""
    kite = f.kite
    places = (
        (kite.bow.crosses_m, "bow crosses"),
        (kite.bridle.upper_at_m, "upper leg"),
        (kite.bridle.lower_at_m, "lower leg"),
        (f.tow.down_m if f.tow else None, "tow point"),
    )
    known = [(m, what) for m, what in places if m is not None]
    words = []
    for m in sorted({m for m, _ in known}):
        whats = ", ".join(what for at, what in known if at == m)
        more = f", {show(f.tow.out_m, 'length', units)} out" if f.tow and m == f.tow.down_m else ""
        words.append((m * 1000.0, f"{show(m, 'length', units)} {whats}{more}"))
    return words


def _spine_marks(page: Page, words: list[tuple[float, str]], at, x: float, bottom: float) -> None:  # type: ignore[no-untyped-def]
    """Dots on the spine with leaders to their words on the right, pushed apart so that none collide."""
    step = 3.6
    ys = [at((0.0, mm))[1] for mm, _ in words]
    rows = list(ys)
    for n in range(1, len(rows)):
        rows[n] = max(rows[n], rows[n - 1] + step)
    for n in range(len(rows) - 1, -1, -1):
        limit = bottom + 4.0 if n == len(rows) - 1 else rows[n + 1] - step
        rows[n] = min(rows[n], limit)
    for (mm, text), y, row in zip(words, ys, rows, strict=True):
        x_spine = at((0.0, mm))[0]
        page.line([(x_spine - 0.8, y), (x_spine + 0.8, y)], 0.35)
        page.line([(x_spine + 0.8, y), (x - 2.0, row), (x - 0.6, row)], 0.08)
        page.words(x, row + 1.0, text, SIZE_PT)


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
