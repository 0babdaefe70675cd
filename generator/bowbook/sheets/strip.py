"""The bow at full size: a strip to lay the rod on, with the centre mark, the zones to shave and the stations."""

from __future__ import annotations

from collections.abc import Callable

from msgspec import Struct

from bowbook.book.records import Section, Side, Units
from bowbook.book.units import show
from bowbook.findings.results import BookFindings, Findings
from bowbook.findings.sections import own_section, section_at, stations_of
from bowbook.sheets import header_footer, typesetting
from bowbook.sheets.page import PaperPage, blank_page
from bowbook.wording import numbers

_ROW_MM = 42.0  # from one piece of the strip to the next
_KEEP_MM = 10.0  # shown again at the start of the next piece
_LEAST_MM = 1.0  # drawn width of a bow whose section is not known
_MOST_PIECES = 60

Across = Callable[[float], float]  # mm from the centre mark to mm across the page
_THIRDS = (("inner third", 0.0, 1 / 3), ("middle third", 1 / 3, 2 / 3), ("outer third", 2 / 3, 1.0))


class HalfStrip(Struct, frozen=True):
    """One strip: whose half it is, its length in mm, its zones and the places where its section is noted."""

    label: str
    side: Side
    length: float
    zones: tuple[tuple[str, float, float], ...]
    stations: tuple[tuple[float, str], ...]


class Piece(Struct, frozen=True):
    """A stretch of one half that fits across the page, mm from the centre mark."""

    half: HalfStrip
    start: float
    stop: float


def pages(findings: BookFindings, key: str, paper: str) -> list[PaperPage]:
    """The strip's pages; none where the bow's length is not written, or it would take a ream."""
    kite = findings.kites[key]
    if not kite.kite.bow.length_m:
        return []
    left, top, right, bottom = header_footer.room(blank_page(paper))
    pieces = _pieces(_halves(findings, kite), right - left - 8.0)
    if len(pieces) > _MOST_PIECES:
        return []
    drawn = []
    rows = int((bottom - top - 12.0) // _ROW_MM)
    for first in range(0, len(pieces), rows):
        batch = pieces[first : first + rows]
        page = blank_page(paper, "bow strip, full size")
        page.words(
            left, top + 3.5, "Lay the bow on the strip, centre mark on 0, and mark it here. Pieces join at equal", 8.5
        )
        page.words(
            left, top + 7.5, "distances. Shave only the stiffer half, with knife or sandpaper away from the hand.", 8.5
        )
        for row, piece in enumerate(batch):
            _draw(page, findings, kite, piece, left + 4.0, top + 12.0 + row * _ROW_MM)
        drawn.append(page)
    return drawn


def _halves(findings: BookFindings, kite: Findings) -> tuple[HalfStrip, ...]:
    units = findings.book.settings.units
    half_mm = (kite.kite.bow.length_m or 0.0) * 500.0
    alike = kite.kite.bow.left == kite.kite.bow.right

    def half(label: str, side: Side) -> HalfStrip:
        stations = tuple(
            (s.at_m * 1000.0, f"{numbers.ruled(s.at_m, units)}: {_size(s.section, units)}")
            for s in stations_of(kite.kite, side)
            if s.at_m * 1000 <= half_mm
        )
        return HalfStrip(label, side, half_mm, _zones(kite, half_mm), stations)

    return (half("either half", "left"),) if alike else (half("left half", "left"), half("right half", "right"))


def _size(section: Section, units: Units) -> str:
    """A section as short as it goes: wide × thick, outside and inside, or the diameter."""
    thick = show(section.thick_m, "thin", units)
    if section.kind == "flat":
        return f"{show(section.wide_m or section.thick_m, 'thin', units)} × {thick}"
    return (
        f"ø {thick}" if section.kind == "round" else f"ø {thick}, inside {show(section.inner_m or 0.0, 'thin', units)}"
    )


def _zones(kite: Findings, half_mm: float) -> tuple[tuple[str, float, float], ...]:
    """The thirds of the half, and the maker's own zones given by distance."""
    zones = [(name, a * half_mm, b * half_mm) for name, a, b in _THIRDS]
    for bench in kite.kite.bench:
        for zone in (shave.zone for shave in bench.shaves):
            if zone and zone.unit == "m" and all(zone.label != name for name, _, _ in zones):
                zones.append((zone.label, zone.start * 1000.0, min(zone.end * 1000.0, half_mm)))
    return tuple(zones)


def _pieces(halves: tuple[HalfStrip, ...], reach: float) -> list[Piece]:
    pieces = []
    for half in halves:
        start = 0.0
        while True:
            stop = min(half.length, start + reach)
            pieces.append(Piece(half, start, stop))
            if stop >= half.length:
                break
            start = stop - _KEEP_MM
    return pieces


def _draw(page: PaperPage, findings: BookFindings, kite: Findings, piece: Piece, x0: float, y0: float) -> None:
    """One piece: its name, zones above the rod, the rod in plan, a ruler and the stations below it."""
    units = findings.book.settings.units
    middle = y0 + 19.0

    def x(at: float) -> float:
        return x0 + at - piece.start

    words = (
        f"{piece.half.label}, {show(piece.start / 1000, 'length', units)} to {show(piece.stop / 1000, 'length', units)}"
    )
    page.words(x0, y0 + 4.0, f"{words} from the centre mark", 8.5, bold=True)
    _draw_zones(page, piece, x, y0 + 7.5)
    steps = max(2, int((piece.stop - piece.start) / 5.0))
    along = [piece.start + (piece.stop - piece.start) * n / steps for n in range(steps + 1)]
    wide = [_width(findings, kite, piece.half, at) / 2 for at in along]
    page.line(
        [*((x(a), middle - w) for a, w in zip(along, wide, strict=True)),
         *((x(a), middle + w) for a, w in reversed(list(zip(along, wide, strict=True))))],
        0.2, closed=True,
    )  # fmt: skip
    _draw_ruler(page, piece, x, middle + max(wide) + 1.0, units)
    if piece.start == 0.0:
        page.line([(x(0.0), middle - 8.0), (x(0.0), middle + max(wide) + 8.0)], 0.4)
        page.words(x(0.0) + 1.2, middle - max(wide) - 1.5, "centre mark", 7.5)
    if piece.stop == piece.half.length:
        page.words(x(piece.stop) - 1.2, middle - max(wide) - 1.5, "tip", 7.5, anchor="right")
    _draw_stations(page, piece, x, middle + max(wide) + 1.0)


def _draw_zones(page: PaperPage, piece: Piece, x: Across, y: float) -> None:
    for n, (name, a, b) in enumerate(piece.half.zones):
        a, b = max(a, piece.start), min(b, piece.stop)
        if b - a < 1.0:
            continue
        level = y + (0.0 if n < len(_THIRDS) else 4.6)
        page.line([(x(a), level + 1.5), (x(a), level), (x(b), level), (x(b), level + 1.5)], 0.15)
        if typesetting.width_mm(typesetting.printable(name), 7.5) < b - a - 2.0:
            page.words(x((a + b) / 2), level + 3.2, name, 7.5, anchor="centre")


def _draw_ruler(page: PaperPage, piece: Piece, x: Across, y: float, units: Units) -> None:
    """Ticks in the maker's own measure, numbered from the centre mark."""
    inches = units.length in ("in", "ft", "yd")
    step, labelled, size = (25.4 / 4, 4, 25.4) if inches else (10.0, 5, 10.0)
    n = int(-(-(piece.start - 1e-6) // step))
    while n * step <= piece.stop + 1e-6:
        major = n % labelled == 0
        page.line([(x(n * step), y), (x(n * step), y + (3.0 if major else 1.8))], 0.15)
        if major and n == 0:
            page.words(x(0.0) + 1.0, y + 6.2, "0", 7.5)
        elif major:
            page.words(
                x(n * step), y + 6.2, f"{n * step / size:g}" if inches else f"{n * step:g}", 7.5, anchor="centre"
            )
        n += 1


def _draw_stations(page: PaperPage, piece: Piece, x: Across, y: float) -> None:
    """The section wanted at each station, on three levels; where even these are full, the tick alone (see page one)."""
    free = [x(piece.start) - 100.0] * 3
    for at, words in piece.half.stations:
        if not piece.start <= at <= piece.stop:
            continue
        page.line([(x(at), y - 2.0), (x(at), y)], 0.5)
        wide = typesetting.width_mm(typesetting.printable(words), 7.0)
        start = max(x(piece.start), min(x(at), x(piece.stop) - wide))
        level = next((n for n, edge in enumerate(free) if edge < start), None)
        if level is None:
            continue
        free[level] = start + wide + 2.0
        page.words(start, y + 9.6 + level * 3.4, words, 7.0)


def _width(findings: BookFindings, kite: Findings, half: HalfStrip, at_mm: float) -> float:
    stations = stations_of(kite.kite, half.side)
    section: Section | None = (
        section_at(stations, at_mm / 1000.0) if stations else own_section(findings.book, kite.kite)
    )
    if section is None:
        return _LEAST_MM
    return (section.wide_m or section.thick_m) * 1000.0
