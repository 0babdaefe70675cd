"""What every page of a sheet carries: its header line, the check bars, the page number, the page map."""

from __future__ import annotations

from bowbook.sheets import typesetting
from bowbook.sheets.page import MARGIN_MM, PaperPage, Words
from bowbook.sheets.tiles import Tile, Tiling

HEADER_MM = 9.0
BARS_MM = 19.0  # what the check bars take at the foot
MAP_MM = 25.0  # what the page map takes at the foot, beside them
_INCH_MM = 25.4

Box = tuple[float, float, float, float]


def room(page: PaperPage) -> Box:
    """Left, top, right and bottom of what the header and the foot of a following page leave free, mm."""
    return MARGIN_MM, MARGIN_MM + HEADER_MM, page.width - MARGIN_MM, page.height - MARGIN_MM - MAP_MM


def header(page: PaperPage, name: str, number: int, of: int) -> None:
    """The line at the top: the kite's name, cut short if it must be, what this page is, and its number."""
    right = page.width - MARGIN_MM
    what = f"{page.what}; page {number} of {of}"
    what_mm = typesetting.width_mm(typesetting.printable(what), 9.0)
    short = typesetting.shortened(name, 10.0, right - MARGIN_MM - what_mm - 6.0, bold=True)
    page.words(MARGIN_MM, MARGIN_MM + 4.0, short, 10.0, bold=True)
    page.words(right, MARGIN_MM + 4.0, what, 9.0, anchor="right")


def first_foot(page: PaperPage, of: int) -> None:
    """The number of the first page at its foot, and above it what stands for letters that cannot be printed."""
    right, foot = page.width - MARGIN_MM, page.height - MARGIN_MM
    if any(isinstance(item, Words) and typesetting.MISSING in item.text for item in page.items):
        told = f"{typesetting.MISSING} a letter that no font of this machine can print"
        page.words(right, foot - 6.5, told, 7.0, anchor="right")
    page.words(right, foot - 1.0, f"page 1 of {of}", 8.0, anchor="right")


def check_bars(page: PaperPage) -> None:
    """The 100 mm and the 4 in bar at the foot, with a tick each centimetre and each inch, and what they are for."""
    x, y = MARGIN_MM, page.height - MARGIN_MM
    for length, step, count, above, label in (
        (100.0, 10.0, 11, 13.0, "100 mm"),
        (4 * _INCH_MM, _INCH_MM, 5, 6.5, "4 in"),
    ):
        page.line([(x, y - above), (x + length, y - above)], 0.25)
        for n in range(count):
            tall = 2.4 if n in (0, count - 1) else 1.4
            page.line([(x + n * step, y - above - tall), (x + n * step, y - above)], 0.15)
        page.words(x + 104.0, y - above, label, 8.0, bold=True)
    page.words(x, y - 1.0, "Print at 100 %, not fitted to the page, and measure both bars before you cut.", 7.5)


def page_map(page: PaperPage, tiling: Tiling, here: Tile) -> None:
    """A small plan of the tiles by name, the one on this page ringed, at the foot on the right."""
    high = MAP_MM - 3.0
    k = min(high / tiling.rows / tiling.window[1], 60.0 / tiling.columns / tiling.window[0])
    w, h = tiling.window[0] * k, tiling.window[1] * k
    x0 = page.width - MARGIN_MM - w * tiling.columns
    y0 = page.height - MARGIN_MM - h * tiling.rows
    size = min(9.0, h * 2.0, w * 1.1)
    for t in tiling.blank:
        x, y = x0 + t.column * w, y0 + t.row * h
        page.words(x + w / 2, y + h / 2 + size * 0.125, "–", size, anchor="centre")
    if tiling.blank:
        right = page.width - MARGIN_MM
        page.words(right, y0 - 0.9, "– no line on it, not printed", 6.0, anchor="right")
    for t in tiling.tiles:
        x, y = x0 + t.column * w, y0 + t.row * h
        page.line([(x, y), (x + w, y), (x + w, y + h), (x, y + h)], 0.1, closed=True)
        if t.name == here.name:
            d = 0.35
            ring = [(x + d, y + d), (x + w - d, y + d), (x + w - d, y + h - d), (x + d, y + h - d)]
            page.line(ring, 0.6, closed=True)
        if size >= 4.0:
            page.words(x + w / 2, y + h / 2 + size * 0.125, t.name, size, anchor="centre", bold=True)
