"""Looking at a chart as a reader would: its marks in px, its axes by the ticks printed beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from xml.etree import ElementTree

from bowbook.charts.sheet import Drawing, picture_of, svg_of

SVG = "{http://www.w3.org/2000/svg}"


def inline(drawing: Drawing) -> str:
    """The chart as it stands in a page."""
    return svg_of(picture_of(drawing))


@dataclass(frozen=True)
class Mark:
    """One element with its place on the drawing, px, and the tags and titles of what it stands in."""

    element: ElementTree.Element
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
        return x, y

    @property
    def points(self) -> list[tuple[float, float]]:
        """The points of a path of straight pieces."""
        out: list[tuple[float, float]] = []
        for move, rest in re.findall(r"([MLHVh])([^MLHVhZ]+)", self.element.get("d", "")):
            numbers = [float(n) for n in rest.split()]
            x, y = out[-1] if out else (0.0, 0.0)
            out.append({"H": (numbers[0], y), "V": (x, numbers[0]), "h": (x, y)}.get(move) or (numbers[0], numbers[1]))
        return out

    @property
    def pieces(self) -> list[list[tuple[float, float]]]:
        """The points of each piece of a path that the pen is lifted between."""
        return [
            Mark(ElementTree.Element("path", d=f"M{d}"), None, "").points
            for d in self.element.get("d", "").split("M")[1:]
        ]


def drawings(chart: Drawing | None) -> list[ElementTree.Element]:
    """The chart's drawings as a page has them: one for each of its shapes."""
    assert chart is not None
    return list(ElementTree.fromstring(f"<div>{inline(chart)}</div>"))


def marks(drawing: ElementTree.Element) -> list[Mark]:
    """Every element of a drawing."""

    def walk(element: ElementTree.Element, link: str | None, title: str) -> Iterator[Mark]:
        for child in element:
            own = child.find(f"{SVG}title")
            named = (own.text or "") if own is not None else title
            yield Mark(child, child.get("href", link), named)
            yield from walk(child, child.get("href", link), named)

    return list(walk(drawing, None, ""))


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
    """An axis as its printed ticks say: from px to the figure. Ticks tell by their distances if it is logarithmic."""

    def __init__(self, drawing: ElementTree.Element, anchor: str, place: int, offset: float = 0.0) -> None:
        found = [
            (float(m.text.replace("−", "-")), m.at[place] - offset)
            for m in marks(drawing)
            if "kt-tick" in m.classes and m.element.get("text-anchor") == anchor and re.fullmatch(r"[−\d.]+", m.text)
        ]
        one_plot = [found[0]]  # a second plot's ticks begin again where the first one's began
        for tick in found[1:]:
            if (tick[1] < one_plot[-1][1]) == (place == 0):
                break
            one_plot.append(tick)
        (self.first, self.start), (self.last, self.end) = one_plot[0], one_plot[-1]
        self.log = False
        plain = self._off(one_plot)
        self.log = self.first > 0
        self.log = self.log and self._off(one_plot) < plain

    def __call__(self, px: float) -> float:
        """The figure at this px."""
        part = (px - self.start) / (self.end - self.start)
        if self.log:
            return float(self.first * (self.last / self.first) ** part)
        return self.first + part * (self.last - self.first)

    def near(self, px: float = 1.0) -> float:
        """How much of the figure so many px are, where they are most."""
        return max(abs(self(end + px) - self(end)) for end in (self.start, self.end))

    def _off(self, ticks: list[tuple[float, float]]) -> float:
        return max(abs(self(px) - value) / abs(value or 1) for value, px in ticks)


def upright(drawing: ElementTree.Element, offset: float = 4.0) -> Scale:
    """The upright axis. Its ticks' baselines stand `offset` px under what they mark."""
    return Scale(drawing, "end", 1, offset)


def across(drawing: ElementTree.Element) -> Scale:
    """The axis along the foot."""
    return Scale(drawing, "middle", 0)
