"""A kite as it hangs in the sky: its own outline and colours, its spine, and its bow in its solved curve."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from msgspec import Struct

from bowbook.book.records import Kite, Skin
from bowbook.book.sail import Corner
from bowbook.charts.contrast import contrast
from bowbook.charts.sail_cloth import Points, drawing_svg, halves_svg, panels_svg, whole_path
from bowbook.charts.svg import number
from bowbook.findings.results import BookFindings, Findings

NEUTRAL = ("#b9c4cc", "#e4e9ec")
"""Left and right where neither the kite nor its skin names a colour."""

PLACEHOLDER_MM = ((0.0, 0.0), (250.0, 170.0), (0.0, 440.0))
"""A diamond to stand for a sail whose outline was not written down."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}")


class Silhouette(Struct, frozen=True):
    """Path data in mm, x from the spine (left is negative, as seen from the front), y down from the nose.

    `bow` is "" where nothing is known of it. `known` is False for the placeholder, which has no cloth.
    """

    cloth: str  # elements: the sail's pieces in their colours, and the maker's drawing
    edge: str
    spine: str
    bow: str
    width: float
    height: float
    colours: tuple[str, str]
    known: bool
    spar: str  # class of its spars: a pen that stands out from the cloth


def silhouette(findings: Findings, skin: Skin | None = None) -> Silhouette:
    """The kite's silhouette; colours are the sail's own, else its skin's, else neutral."""
    kite = findings.kite
    outline = tuple((out * 1000, down * 1000) for out, down in kite.sail.outline)
    known = len(outline) >= 2
    if not known:
        outline = PLACEHOLDER_MM
    top, tail = outline[0][1], outline[-1][1]
    corners = kite.sail.corners if known and kite.sail.corners else [Corner(x / 1000, y / 1000) for x, y in outline]
    edge = whole_path(corners)
    return Silhouette(
        cloth=_cloth(kite, outline, corners, edge, skin) if known else "",
        edge=edge,
        spine=f"M0 {_mm(top)}V{_mm(tail)}",
        bow=_bow(findings, outline) if known else "",
        width=2 * max(x for x, _ in outline),
        height=max(y for _, y in outline) - min(0.0, *(y for _, y in outline)),
        colours=colours_of(kite, skin),
        known=known,
        spar=spar_on(kite.sail.panels.colours if kite.sail.panels else colours_of(kite, skin)) if known else "k-spar",
    )


_SPARS = {"k-spar": "#20282e", "k-spar k-pale": "#eef1ec", "k-spar k-mid": "#8b9196"}
"""The pens of spars by their classes, as the style sheet of charts has them."""
LEAST_CONTRAST = 3.0  # WCAG 2.2, 1.4.11, of what is drawn against what it is drawn on


@lru_cache(maxsize=256)
def spar_on(colours: tuple[str, ...]) -> str:
    """The class of a spar on cloth of these colours: the dark pen wherever it can be seen, else the best to be had.

    >>> spar_on(("#e2b93b", "#f4f4f0")), spar_on(("#10141a",)), spar_on(("#000000", "#ffffff"))
    ('k-spar', 'k-spar k-pale', 'k-spar k-mid')
    """
    cloth = [colour for colour in colours if _COLOUR.fullmatch(colour)]
    seen = {spar: min((contrast(pen, of) for of in cloth), default=LEAST_CONTRAST) for spar, pen in _SPARS.items()}
    return "k-spar" if seen["k-spar"] >= LEAST_CONTRAST else max(seen, key=lambda spar: seen[spar])


def colours_of(kite: Kite, skin: Skin | None) -> tuple[str, str]:
    """The sail's first and last colour, as #rrggbb: left and right where it has no panels."""
    if kite.sail.panels:
        return kite.sail.panels.colours[0], kite.sail.panels.colours[-1]
    for own in (kite.sail.colours, skin.colours if skin else ()):
        sound = [c for c in own if _COLOUR.fullmatch(c)]
        if sound:
            return sound[0], sound[-1]
    return NEUTRAL


def _mm(value: float) -> str:
    return number(value, 1)


def _cloth(kite: Kite, outline: Points, corners: Sequence[Corner], edge: str, skin: Skin | None) -> str:
    sail = kite.sail
    cloth = panels_svg(outline, sail.panels) if sail.panels else halves_svg(corners, colours_of(kite, skin))
    return cloth + (drawing_svg(outline, edge, sail.drawing, kite.key) if sail.drawing else "")


def _bow(findings: Findings, outline: tuple[tuple[float, float], ...]) -> str:
    """From tip to tip through the crossing: each half one curve with the solved bow's slopes at tip and spine.

    A bow bends out of the sail's plane; seen from the front it is drawn as the arc that its curve makes when the
    tips are at the sail's widest and its middle at the crossing. Where the crossing is not known, the rise of the
    bow, foreshortened to a third, says how far up the arc goes.
    """
    bow = findings.kite.bow
    if bow.crosses_m is None and bow.length_m is None and bow.span_m is None:
        return ""
    out, tip = max(outline, key=lambda p: p[0])
    crossing = bow.crosses_m * 1000 if bow.crosses_m is not None else tip - _arc(findings, out)
    at_left, at_spine, at_right = _slopes(findings)
    reach, depth = out / 3, (tip - crossing) / 3

    def bend(*points: tuple[float, float]) -> str:
        return "C" + " ".join(f"{_mm(x)} {_mm(y)}" for x, y in points)

    return (
        f"M{_mm(-out)} {_mm(tip)}"
        + bend((reach - out, tip - depth * at_left), (-reach, crossing + depth * at_spine), (0, crossing))
        + bend((reach, crossing - depth * at_spine), (out - reach, tip - depth * at_right), (out, tip))
    )


def _arc(findings: Findings, out: float) -> float:
    """Height of the arc above the tips, mm, from the solved rise; a flat arc where there is none."""
    curve = findings.shape.curve
    if findings.shape.rise_m is None or not curve:
        return 0.18 * out
    return 2 * out * findings.shape.rise_m / (curve[-1][0] - curve[0][0]) / 3


def _slopes(findings: Findings) -> tuple[float, float, float]:
    """Rises per half span at the left tip, at the spine and at the right tip (taken inward), the rise being 1.

    A parabola's 2, 0 and 2 where no curve was solved.
    """
    curve = findings.shape.curve
    if len(curve) < 5:
        return 2.0, 0.0, 2.0
    half = (curve[-1][0] - curve[0][0]) / 2
    middle = next(i for i, (x, _) in enumerate(curve) if x >= half)
    at = [(x / half, y / max(curve[middle][1], 1e-9)) for x, y in curve]
    pairs = ((at[0], at[1]), (at[middle - 1], at[min(middle + 1, len(at) - 1)]), (at[-2], at[-1]))
    left, spine, right = ((b[1] - a[1]) / (b[0] - a[0]) if b[0] > a[0] else 3.0 for a, b in pairs)
    return min(left, 3.0), max(min(spine, 1.0), -1.0), min(-right, 3.0)


def shapes(shape: Silhouette) -> str:
    """The silhouette's SVG elements in mm, to stand in a group that scales them; pens keep their weight."""
    if not shape.known:
        return f'<path class="k-unknown" d="{shape.edge}"/><path class="k-unknown" d="{shape.spine}"/>'
    bow = f'<path class="{shape.spar}" d="{shape.bow}"/>' if shape.bow else ""
    return f'{shape.cloth}<path class="k-edge" d="{shape.edge}"/><path class="{shape.spar}" d="{shape.spine}"/>{bow}'


def describe(findings: Findings) -> str:
    """The text alternative of a silhouette."""
    kite = findings.kite
    if len(kite.sail.outline) < 2:
        return f"{kite.name}: its outline is not written down yet, so a plain diamond stands for it."
    return f"{kite.name}, seen from the front."


def skin_of(findings: Findings, book: BookFindings) -> Skin | None:
    """The skin a kite's colours may come from."""
    return book.book.skins.get(findings.kite.sail.skin or "")
