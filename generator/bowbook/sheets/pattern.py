"""The sail pattern at full size, tiled over pages that a maker can print at home and paste together."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from msgspec import Struct
from msgspec.structs import replace

from bowbook.sheets import header_footer
from bowbook.sheets.outline import Flat
from bowbook.sheets.page import CUT_MM, PaperPage, Point, blank_page
from bowbook.sheets.placing import MARK_MM, Ground, OverlapMark, PatternLabel, Placed, place_marks, settle
from bowbook.sheets.tiles import Tile, Tiling, tile

SEWN_MM = 0.2  # width of the finished outline, dashed
_FAR = 1e5


class Stroke(Struct, frozen=True):
    """A line of the pattern in the sail's own coordinates, mm."""

    points: tuple[Point, ...]
    width_mm: float
    dash: tuple[float, ...] = ()
    closed: bool = False


class Pattern(Struct, frozen=True):
    """A whole pattern, half or full, with its tiles."""

    strokes: tuple[Stroke, ...]
    labels: tuple[Placed, ...]
    marks: tuple[OverlapMark, ...]
    tiling: Tiling
    half: bool


def lay_out(flat: Flat, paper: str, units: Callable[[float], str]) -> Pattern | None:
    """The pattern in the way that takes fewest tiles; None where they would be too many to paste together."""
    left, top, right, bottom = header_footer.room(blank_page(paper))
    best: tuple[Tiling, bool, bool] | None = None
    for half in (False, True):
        for turned in (False, True):
            area = tuple(_turn(p, turned) for p in (_right_half(flat.cut) if half else flat.cut))
            tiling = tile(area, (right - left, bottom - top))
            if tiling and (best is None or len(tiling.tiles) < len(best[0].tiles)):
                best = tiling, half, turned
    if best is None:
        return None
    tiling, half, turned = best
    drawn, words = _drawing(flat, half, units)
    strokes = tuple(Stroke(tuple(_turn(p, turned) for p in s.points), s.width_mm, s.dash, s.closed) for s in drawn)
    labels = [PatternLabel(_turn(n.place, turned), n.text, n.along and not turned, n.size_pt) for n in words]
    ground = Ground([*s.points, s.points[0]] if s.closed else s.points for s in strokes)
    drawn_on = {t for t in tiling.tiles if any(clipped(s, tiling.edges(t)) for s in strokes)}
    blank = tuple(t for t in tiling.tiles if t not in drawn_on)
    tiling = replace(tiling, tiles=tuple(t for t in tiling.tiles if t in drawn_on), blank=blank)
    marks = place_marks(tiling, ground)
    return Pattern(strokes, settle(labels, tiling, ground), marks, tiling, half)


def _turn(p: Point, turned: bool) -> Point:
    return (p[1], -p[0]) if turned else p


def _right_half(ring: Iterable[Point]) -> tuple[Point, ...]:
    from shapely.geometry import Polygon, box

    cut = Polygon(list(ring)).intersection(box(0.0, -_FAR, _FAR, _FAR))
    whole = cut if cut.geom_type == "Polygon" else max(cut.geoms, key=lambda g: g.area)
    return tuple((float(x), float(y)) for x, y in list(whole.exterior.coords)[:-1])


def _drawing(flat: Flat, half: bool, units: Callable[[float], str]) -> tuple[list[Stroke], list[PatternLabel]]:
    """Every line and label of the pattern, not yet turned."""
    top, bottom = flat.spine[0][1], flat.spine[1][1]
    middle = (top + bottom) / 2
    strokes = [Stroke(flat.cut, CUT_MM, closed=True)]
    if flat.seam_mm > 0:
        strokes.append(Stroke(flat.finished, SEWN_MM, (3.0, 1.5), closed=True))
    strokes += [Stroke(s, CUT_MM) for s in flat.snips]
    on_fold = [y for x, y in _right_half(flat.cut) if abs(x) < 1e-6]
    if half:
        strokes.append(Stroke(((0.0, min(on_fold)), (0.0, max(on_fold))), 0.2, (6.0, 1.5, 1.0, 1.5)))
        labels = [
            PatternLabel(
                (4.0, middle + 40.0), "fold the skin here, do not cut: spine and grain run along the fold", True
            )
        ]
    else:
        strokes.append(Stroke(flat.spine, 0.15, (6.0, 1.5, 1.0, 1.5)))
        strokes += _arrow((12.0, middle - 30.0), (12.0, middle + 30.0))
        labels = [
            PatternLabel((-2.0, middle + 40.0), "spine", True),
            PatternLabel((16.0, middle + 15.0), "grain", True),
        ]
    if flat.bow:
        strokes.append(Stroke(flat.bow, 0.15, (5.0, 2.0)))
        x, y = flat.bow[len(flat.bow) * 3 // 4]
        labels.append(PatternLabel((x, y + 5.0), "bow"))
    for n, (name, place) in enumerate(flat.holes):
        strokes += [_ring(place, 1.0), *_cross(place, 2.5)]
        if n % 2:
            labels.append(
                PatternLabel((place[0] + 5.0, place[1] + 1.2), f"{name} bridle leg, {units(place[1] / 1000)} down")
            )
    labels += _edge_labels(flat, units)
    return (_kept_right(strokes), [n for n in labels if n.place[0] > 0]) if half else (strokes, labels)


def _edge_labels(flat: Flat, units: Callable[[float], str]) -> list[PatternLabel]:
    tip_x, tip_y = flat.tip
    labels = [PatternLabel((tip_x - 20.0, tip_y + 4.5), "tip", size_pt=8.0)]
    if flat.seam_mm > 0:
        text = f"cut on the outer line; {units(flat.seam_mm / 1000)} seam folds in on the dashed one"
        labels.append(PatternLabel((8.0, flat.spine[0][1] + (tip_y - flat.spine[0][1]) * 0.55), text, size_pt=8.0))
    return labels


def _kept_right(strokes: list[Stroke]) -> list[Stroke]:
    """What of the strokes lies right of the fold."""
    return [Stroke(points, s.width_mm, s.dash) for s in strokes for points in clipped(s, (0.0, -_FAR, _FAR, _FAR))]


def _arrow(a: Point, b: Point) -> list[Stroke]:
    heads = [
        Stroke(((a[0] - 1.5, a[1] + 4.0), a, (a[0] + 1.5, a[1] + 4.0)), 0.25),
        Stroke(((b[0] - 1.5, b[1] - 4.0), b, (b[0] + 1.5, b[1] - 4.0)), 0.25),
    ]
    return [Stroke((a, b), 0.25), *heads]


def _cross(p: Point, arm: float) -> list[Stroke]:
    return [
        Stroke(((p[0] - arm, p[1]), (p[0] + arm, p[1])), 0.1),
        Stroke(((p[0], p[1] - arm), (p[0], p[1] + arm)), 0.1),
    ]


def _ring(p: Point, radius: float) -> Stroke:
    import math

    turns = [n * math.pi / 12 for n in range(24)]
    return Stroke(tuple((p[0] + radius * math.cos(a), p[1] + radius * math.sin(a)) for a in turns), 0.2, closed=True)


def clipped(stroke: Stroke, window: tuple[float, float, float, float]) -> list[tuple[Point, ...]]:
    """The pieces of a stroke inside a window: left, top, right, bottom; what runs along its border counts as inside."""
    from shapely.geometry import LineString, box

    points = [*stroke.points, stroke.points[0]] if stroke.closed else list(stroke.points)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    if min(xs) >= window[0] and max(xs) <= window[2] and min(ys) >= window[1] and max(ys) <= window[3]:
        return [tuple(points)]
    if max(xs) < window[0] or min(xs) > window[2] or max(ys) < window[1] or min(ys) > window[3]:
        return []
    met = LineString(points).intersection(box(*window))
    pieces = getattr(met, "geoms", [met])
    return [
        tuple((float(x), float(y)) for x, y in piece.coords)
        for piece in pieces
        if piece.geom_type == "LineString" and piece.length > 1e-6
    ]


def pages(pattern: Pattern, paper: str) -> list[PaperPage]:
    """One page for each tile."""
    drawn = []
    what = "sail pattern, right half on the fold" if pattern.half else "sail pattern"
    for t in pattern.tiling.tiles:
        page = blank_page(paper, f"{what}, {t.name}")
        _draw_tile(page, pattern, t)
        header_footer.page_map(page, pattern.tiling, t)
        drawn.append(page)
    return drawn


def _draw_tile(page: PaperPage, pattern: Pattern, t: Tile) -> None:
    left, top, right, bottom = header_footer.room(page)

    def on_paper(p: Point) -> Point:
        return p[0] - t.left + left, p[1] - t.top + top

    page.line([(left, top), (right, top), (right, bottom), (left, bottom)], 0.1, (0.6, 1.2), closed=True)
    for s in pattern.strokes:
        for piece in clipped(s, pattern.tiling.edges(t)):
            page.line([on_paper(p) for p in piece], s.width_mm, s.dash)
    for mark in pattern.marks:
        if t.name in mark.tiles:
            _draw_mark(page, on_paper(mark.place), mark, t)
    for settled in pattern.labels:
        if settled.tile == t.name:
            x, y = on_paper(settled.place)
            label = settled.label
            page.words(x, y, label.text, label.size_pt, angle=90.0 if label.along else 0.0)


def _draw_mark(page: PaperPage, place: Point, mark: OverlapMark, t: Tile) -> None:
    """A diamond with a cross and its number; it lies exactly on its twin when the pages are pasted right."""
    x, y = place
    page.line([(x, y - 3.0), (x + 3.0, y), (x, y + 3.0), (x - 3.0, y)], 0.2, closed=True)
    page.line([(x - MARK_MM, y), (x + MARK_MM, y)], 0.1)
    page.line([(x, y - MARK_MM), (x, y + MARK_MM)], 0.1)
    first = mark.tiles[0] == t.name
    text = f"{mark.number} on {mark.tiles[1 if first else 0]}"
    away = MARK_MM + 1.0
    if mark.beside and first:
        page.words(x - away, y + 3.4, text, 7.0, anchor="right")
    else:
        page.words(x + away, y + 3.4, text, 7.0)
