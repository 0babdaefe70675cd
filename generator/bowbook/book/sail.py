"""The records of a sail: its outline, its pieces, its drawing."""

# Annotations are types here, not texts: msgspec would have to compile each text, in every publish.

from typing import Literal

from msgspec import Struct


class Corner(Struct, frozen=True):
    """A corner of the sail's right half, m; `curve_m` is how far the edge to the next stands out at its middle."""

    out_m: float
    down_m: float
    curve_m: float = 0.0  # negative: hollow


class Panels(Struct, frozen=True):
    """How a sail is laid out in colours: the lay, its colours in turn, and how many pieces where that is open."""

    lay: Literal["across", "down", "quarters", "border"]
    colours: tuple[str, ...]  # "#rrggbb"
    count: int | None = None


class SailDrawing(Struct, frozen=True):
    """A maker's drawing, made safe: its view box (x, y, width, height) and its elements as SVG text."""

    view: tuple[float, float, float, float]
    markup: str


class Sail(Struct, frozen=True):
    """The sail. `outline` is its right half, nose to tail, as (out from centreline, down from nose) in m.

    Where an edge is curved, `outline` follows it in short straight steps; `corners` are the points as written.
    """

    skin: str | None = None
    outline: tuple[tuple[float, float], ...] = ()
    colours: tuple[str, ...] = ()  # this kite's own, before the skin's
    corners: tuple[Corner, ...] = ()
    panels: Panels | None = None
    decoration: str | None = None  # file in the kite's folder
    drawing: SailDrawing | None = None  # what that file holds
