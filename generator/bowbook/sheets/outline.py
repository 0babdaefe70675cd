"""The sail flat on the table, in mm: finished outline, cut line with its seam, snips, bow line, bridle holes."""

from __future__ import annotations

import math

from msgspec import Struct
from msgspec.structs import replace

from bowbook.findings.results import Findings
from bowbook.sheets.page import Point

_MITRE = 3.0  # seam widths a corner may reach before it is cut off: sharper tips would only fold over
_BENT = math.radians(12)  # an inside corner sharper than this needs a snip; less is a drawn curve
_HOLE_OUT_MM = 3.0  # of a bridle hole from the spine line: the line passes around the spine


class Flat(Struct, frozen=True):
    """A sail laid flat, nose at (0, 0), y down, mm. Lines that cannot be known are empty."""

    finished: tuple[Point, ...]  # closed ring, without its first point again
    cut: tuple[Point, ...]  # the same with the seam allowance
    snips: tuple[tuple[Point, Point], ...] = ()
    bow: tuple[Point, ...] = ()
    spine: tuple[Point, ...] = ()
    holes: tuple[tuple[str, Point], ...] = ()  # "upper" or "lower", and the place of one of its two holes
    seam_mm: float = 0.0

    @property
    def tip(self) -> Point:
        """The right tip: the finished outline's widest point, the uppermost if there are several."""
        widest = max(x for x, _ in self.finished)
        return min((p for p in self.finished if p[0] > widest - 1e-6), key=lambda p: p[1])

    @property
    def bottom(self) -> float:
        """Where the finished outline ends."""
        return max(y for _, y in self.finished)


def lay_flat(findings: Findings, seam_m: float) -> Flat | None:
    """The kite's sail laid flat, or None where its outline is not written."""
    right = [(x * 1000.0, y * 1000.0) for x, y in findings.kite.sail.outline]
    if len(right) < 3 and not (len(right) == 2 and max(x for x, _ in right) > 0):
        return None
    ring = _mirrored(right)
    if len(ring) < 3:
        return None
    seam = seam_m * 1000.0
    flat = Flat(ring, _with_seam(ring, seam), seam_mm=seam)
    spine = ((0.0, right[0][1]), (0.0, right[-1][1]))
    return replace(flat, snips=_snips(flat), bow=bow_line(findings, flat), spine=spine, holes=_holes(findings))


def _mirrored(right: list[Point]) -> tuple[Point, ...]:
    left = [(-x, y) for x, y in reversed(right) if x > 1e-9]
    ring = [*right, *left]
    return tuple(p for n, p in enumerate(ring) if math.dist(p, ring[n - 1]) > 1e-9)


def _with_seam(ring: tuple[Point, ...], seam_mm: float) -> tuple[Point, ...]:
    """The ring moved out by the seam allowance; corners mitred, inside corners kept at the full allowance."""
    if seam_mm <= 0:
        return ring
    from shapely.geometry import Polygon

    grown = Polygon(ring).buffer(seam_mm, join_style="mitre", mitre_limit=_MITRE)
    outer = grown.exterior if grown.geom_type == "Polygon" else max(grown.geoms, key=lambda g: g.area).exterior
    return tuple((float(x), float(y)) for x, y in list(outer.coords)[:-1])


def _snips(flat: Flat) -> tuple[tuple[Point, Point], ...]:
    """A snip from the cut line towards every inside corner, so that the seam can fold there."""
    from shapely.geometry import LinearRing, LineString
    from shapely.geometry import Point as Dot

    if flat.seam_mm <= 0:
        return ()
    ring, cut = flat.finished, LinearRing(flat.cut)
    turning = 1.0 if LinearRing(ring).is_ccw else -1.0
    snips = []
    for n, here in enumerate(ring):
        before, after = ring[n - 1], ring[(n + 1) % len(ring)]
        a, b = _direction(before, here), _direction(here, after)
        turn = math.atan2(a[0] * b[1] - a[1] * b[0], a[0] * b[0] + a[1] * b[1]) * turning
        if turn > -_BENT:
            continue
        out = (b[1] + a[1], -(b[0] + a[0]))  # half way between both edges' outward normals of a ccw ring
        size = math.hypot(*out) or 1.0
        far_out = tuple(here[i] + turning * out[i] / size * 9 * flat.seam_mm for i in (0, 1))
        met = LineString([here, far_out]).intersection(cut)
        if met.is_empty:
            continue
        far = min(met.geoms, key=lambda g: g.distance(Dot(here))) if hasattr(met, "geoms") else met
        x, y = far.coords[0]
        short = min(1.0, math.dist((x, y), here) / 2) / math.dist((x, y), here)
        snips.append(((float(x), float(y)), (here[0] + (x - here[0]) * short, here[1] + (y - here[1]) * short)))
    return tuple(snips)


def _direction(a: Point, b: Point) -> Point:
    length = math.dist(a, b) or 1.0
    return (b[0] - a[0]) / length, (b[1] - a[1]) / length


def bow_line(findings: Findings, flat: Flat) -> tuple[Point, ...]:
    """The bow as it lies over the flat sail: through both tips and its crossing on the spine.

    Its curve is the strung bow's own, set to those three points; without one, an even curve through them.
    """
    bow = findings.kite.bow
    if bow.crosses_m is None:
        return ()
    tip_x, tip_y = flat.tip
    reach = min(bow.span_m * 500.0, tip_x) if bow.span_m else tip_x
    high = tip_y - bow.crosses_m * 1000.0
    curve = findings.shape.curve
    if len(curve) > 2 and max(y for _, y in curve) > 0:
        wide, deep = curve[-1][0] - curve[0][0], max(abs(y) for _, y in curve)
        step = max(1, len(curve) // 60)
        kept = [*curve[:-1:step], curve[-1]]
        return tuple((((x - curve[0][0]) / wide * 2 - 1) * reach, tip_y - abs(y) / deep * high) for x, y in kept)
    return tuple((t * reach, tip_y - (1 - t * t) * high) for t in (n / 20 - 1 for n in range(41)))


def _holes(findings: Findings) -> tuple[tuple[str, Point], ...]:
    bridle = findings.kite.bridle
    places = (("upper", bridle.upper_at_m), ("lower", bridle.lower_at_m))
    return tuple(
        (name, (side * _HOLE_OUT_MM, at * 1000.0)) for name, at in places if at is not None for side in (-1.0, 1.0)
    )
