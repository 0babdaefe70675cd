"""Paper: a page that is drawn on in millimetres from its top left corner."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct, field

PAPERS: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; 8.5 × 11 in
MARGIN_MM = 10.0
CUT_MM = 0.3  # line width that means: cut here

Point = tuple[float, float]
Anchor = Literal["left", "centre", "right"]


class Line(Struct, frozen=True, tag=True):
    """A stroked path through `points`, mm; dashes in mm; `fill` is a grey from 0 to 1 inside it."""

    points: tuple[Point, ...]
    width_mm: float = 0.15
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: float | None = None


class Words(Struct, frozen=True, tag=True):
    """One line of text. `x`, `y` is where its baseline starts, is centred, or ends."""

    x: float
    y: float
    text: str
    size_pt: float = 8.0
    bold: bool = False
    anchor: Anchor = "left"
    angle: float = 0.0

    def start(self) -> Point:
        """Where the baseline begins, mm."""
        if self.anchor == "left":
            return self.x, self.y
        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[self.anchor] * self.width()
        turn = math.radians(self.angle)
        return self.x - back * math.cos(turn), self.y + back * math.sin(turn)

    def width(self) -> float:
        """Set width, mm."""
        from bowbook.sheets import typesetting  # only here: what a sheet says is read without shaping a letter

        return typesetting.width_mm(self.text, self.size_pt, self.bold)


Item = Line | Words


class PaperPage(Struct):
    """One page, being drawn."""

    width: float
    height: float
    items: list[Item] = field(default_factory=list)
    what: str = ""  # what the header says of this page; empty on the first, which has its own

    def line(
        self, points: Iterable[Point], width_mm: float = 0.15, dash: Sequence[float] = (), closed: bool = False
    ) -> None:
        """Draw a line through the points."""
        self.items.append(Line(tuple(points), width_mm, tuple(dash), closed))

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size_pt: float = 8.0,
        bold: bool = False,
        anchor: Anchor = "left",
        angle: float = 0.0,
    ) -> None:
        """Set one line of text, with signs that no font has made readable."""
        from bowbook.sheets import typesetting

        if text := typesetting.printable(text):
            self.items.append(Words(x, y, text, size_pt, bold, anchor, angle))

    def place(self, items: Iterable[Item]) -> None:
        """Add items drawn elsewhere."""
        self.items.extend(items)


def blank_page(paper: str, what: str = "") -> PaperPage:
    """An empty page of a4 or letter."""
    return PaperPage(*PAPERS[paper], what=what)
