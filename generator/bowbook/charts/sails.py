"""Kites drawn small on a chart: in a page by one `use` each, in a picture shape by shape."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Skin
from bowbook.charts.silhouette import shapes, silhouette
from bowbook.charts.svg import identifier
from bowbook.findings.results import Findings

_PALE = re.compile(r'class="k-spar k-\w+"')


class DrawnSail(Struct, frozen=True):
    """One kite's silhouette: the id of its shapes on a page, the shapes as SVG in mm, its width and height in mm."""

    id: str
    shapes: str
    width: float
    height: float

    def bare(self) -> DrawnSail:
        """The same under an id of its own, its spars in the dark pen: hollow, it has no dark cloth under them."""
        return replace(self, id=f"{self.id}-bare", shapes=_PALE.sub('class="k-spar"', self.shapes))


def sail_of(findings: Findings, skin: Skin | None) -> DrawnSail | None:
    """The kite's silhouette; None where its outline is not written down."""
    if len(findings.kite.sail.outline) < 2:
        return None
    shape = silhouette(findings, skin)
    return DrawnSail(f"k-{identifier(findings.kite.key)}", shapes(shape), shape.width, shape.height)


def definitions(sails: Sequence[DrawnSail]) -> str:
    """The shapes of the kites under their ids, for an SVG that uses them."""
    return "".join(f'<g id="{sail.id}">{sail.shapes}</g>' for sail in sails)


class PlacedSail(Struct, frozen=True):
    """A kite with the middle of its outline at x, y of the sheet, no wider and no taller than `size` px."""

    sail: DrawnSail
    x: float
    y: float
    size: float
    url: str | None = None

    @property
    def scale(self) -> float:
        """Px of a mm."""
        return self.size / max(self.sail.width, self.sail.height)

    @property
    def top(self) -> float:
        """Px of the sheet at which its nose stands."""
        return self.y - self.scale * self.sail.height / 2
