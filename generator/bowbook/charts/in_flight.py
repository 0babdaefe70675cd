"""A kite as it flies: a little turned, its wings folded back about the spine, its own cloth on both."""

from __future__ import annotations

import math

from bowbook.book.records import Skin
from bowbook.charts.sail_cloth import both_halves, drawing_prefix, path
from bowbook.charts.silhouette import PLACEHOLDER_MM, Silhouette, silhouette
from bowbook.charts.svg import number
from bowbook.findings.results import Findings

TURN_RAD = 0.30  # about the spine, so that one wing is seen wider than the other
ROLL_DEG = 11.0  # in the picture
FLAT_FOLD_RAD = 0.12  # where nothing is known of how far the wings fold


def in_flight_svg(findings: Findings, fold_rad: float | None, skin: Skin | None = None) -> str:
    """The kite seen from the ground, true in its proportions: each wing a flat panel turned about the spine.

    `fold_rad` is how far each wing stands back from the flat sail. A wing folded back by that angle, on a kite turned
    by `TURN_RAD`, is seen narrower by the cosine of the two together (orthographic projection).
    """
    shape = silhouette(findings, skin)
    name = drawing_prefix(findings.kite.key) + "air"
    fold = FLAT_FOLD_RAD if fold_rad is None else fold_rad
    wings = ((-1, math.cos(fold - TURN_RAD)), (1, math.cos(fold + TURN_RAD)))
    reach = 1.1 * max(shape.width / 2, 1.0)
    low, high = -0.1 * shape.height, 1.1 * shape.height
    defs, drawn = [f'<g id="{name}">{shape.cloth or _unknown(shape.edge)}{_spars(shape)}</g>'], []
    for side, seen in wings:
        which = f"{name}-{'left' if side < 0 else 'right'}"
        box = path([(0, low), (side * reach, low), (side * reach, high), (0, high)])
        defs.append(f'<clipPath id="{which}"><path d="{box}"/></clipPath>')
        # the wing that is seen narrower is the one that turns away: it lies in its own shade
        shade = f'<path class="k-shade" d="{shape.edge}"/>' if seen == min(s for _, s in wings) else ""
        drawn.append(
            f'<g transform="matrix({seen:.4f} 0 0 1 0 0)"><g clip-path="url(#{which})">'
            f'<use href="#{name}"/>{shade}</g></g>'
        )
    around = _box(findings, wings)
    return (
        f'<svg class="k-flying" aria-hidden="true" focusable="false" viewBox="{around}"><defs>{"".join(defs)}</defs>'
        f'<g transform="rotate({number(ROLL_DEG)})">{"".join(drawn)}'
        f'<path class="{shape.spar}" d="{shape.spine}"/></g></svg>'
    )


def _unknown(edge: str) -> str:
    return f'<path class="k-unknown" d="{edge}"/>'


def _spars(shape: Silhouette) -> str:
    return f'<path class="k-edge" d="{shape.edge}"/>' + (
        f'<path class="{shape.spar}" d="{shape.bow}"/>' if shape.bow else ""
    )


def _box(findings: Findings, wings: tuple[tuple[int, float], ...]) -> str:
    """The view box around the turned and folded kite, mm."""
    outline = [(x * 1000, y * 1000) for x, y in findings.kite.sail.outline] or list(PLACEHOLDER_MM)
    cos, sin = math.cos(math.radians(ROLL_DEG)), math.sin(math.radians(ROLL_DEG))
    seen = [(x * wings[x > 0][1], y) for x, y in both_halves(outline)]
    turned = [(x * cos - y * sin, x * sin + y * cos) for x, y in seen]
    (left, top), (right, foot) = ([end(p[i] for p in turned) for i in (0, 1)] for end in (min, max))
    room = 0.03 * max(right - left, foot - top)
    box = (left - room, top - room, right - left + 2 * room, foot - top + 2 * room)
    return " ".join(number(v, 1) for v in box)
