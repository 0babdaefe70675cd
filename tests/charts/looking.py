"""Looking at a chart as a reader would: its marks in px, its axes by the ticks printed beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Mark:
    """One element with its place on the drawing, px, and the tags and titles of what it stands in."""

    element: ElementTree.Element
    left: float
    top: float
    link: str | None
    title: str

    @property
    def classes(self) -> list[str]:
        return self.element.get("class", "").split()

    @property
    def text(self) -> str:
        return self.element.text or ""

    @property
    def at(self) -> tuple[float, float]:
        """Where a text or a dot stands."""
        names = ("cx", "cy") if self.element.tag.endswith("circle") else ("x", "y")
        x, y = (float(self.element.get(name, "nan")) for name in names)
        return x + self.left, y + self.top

    @property
    def points(self) -> list[tuple[float, float]]:
        """The points of a path of M, L and V."""
        out: list[tuple[float, float]] = []
        for move, data in re.findall(r"([MLV])([^MLVZ]*)", self.element.get("d", "")):
            numbers = [float(n) for n in data.split()]
            out.append(
                (out[-1][0], numbers[0] + self.top) if move == "V" else (numbers[0] + self.left, numbers[1] + self.top)
            )
        return out


def drawings(chart: str | None) -> list[ElementTree.Element]:
    """The chart's drawings: wide, then narrow."""
    assert chart is not None
    return list(ElementTree.fromstring(f"<div>{chart}</div>"))


def marks(drawing: ElementTree.Element) -> list[Mark]:
    """Every element of a drawing."""

    def walk(element: ElementTree.Element, left: float, top: float, link: str | None, title: str) -> Iterator[Mark]:
        for child in element:
            own = child.find(f"{SVG}title")
            named = (own.text or "") if own is not None else title
            x, y = left, top
            if moved := re.fullmatch(r"translate\((\S+) (\S+)\)", child.get("transform", "")):
                x, y = left + float(moved[1]), top + float(moved[2])
            yield Mark(child, x, y, child.get("href", link), named)
            yield from walk(child, x, y, child.get("href", link), named)

    return list(walk(drawing, 0, 0, None, ""))


def texts(drawing: ElementTree.Element) -> list[str]:
    """All words on a drawing."""
    return [m.text for m in marks(drawing) if m.element.tag == f"{SVG}text"]


def dots(drawing: ElementTree.Element) -> list[Mark]:
    """All dots of a drawing."""
    return [m for m in marks(drawing) if m.element.tag == f"{SVG}circle"]


def pens(drawing: ElementTree.Element, *classes: str) -> list[Mark]:
    """The paths drawn with these classes."""
    return [m for m in marks(drawing) if m.element.tag == f"{SVG}path" and set(classes) <= set(m.classes)]


class Scale:
    """An axis as its printed ticks say: from px to the figure."""

    def __init__(self, drawing: ElementTree.Element, anchor: str, place: int) -> None:
        found = [
            (float(m.text.replace("−", "-")), m.at[place])
            for m in marks(drawing)
            if "kt-tick" in m.classes and m.element.get("text-anchor") == anchor and re.fullmatch(r"[−\d.]+", m.text)
        ]
        one_plot = [found[0]]  # a second plot's ticks begin again where the first one's began
        for tick in found[1:]:
            if (tick[1] < one_plot[-1][1]) == (place == 0):
                break
            one_plot.append(tick)
        (self.first, self.start), (self.last, self.end) = one_plot[0], one_plot[-1]

    def __call__(self, px: float) -> float:
        return self.first + (px - self.start) / (self.end - self.start) * (self.last - self.first)


def upright(drawing: ElementTree.Element, offset: float = 4.0) -> Scale:
    """The upright axis. Its ticks' baselines stand `offset` px under what they mark."""
    scale = Scale(drawing, "end", 1)
    scale.start -= offset
    scale.end -= offset
    return scale


def across(drawing: ElementTree.Element) -> Scale:
    """The axis along the foot."""
    return Scale(drawing, "middle", 0)
