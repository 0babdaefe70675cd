"""From what matplotlib draws to the SVG a page takes: inks are classes, and there is no style.

The renderer knows straight lines only: a chart has no others.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from itertools import cycle
from typing import Any

import bowbook.charts.own_settings  # noqa: F401 before matplotlib

# isort: split
from matplotlib.backend_bases import RendererBase
from matplotlib.path import Path
from msgspec import Struct

from bowbook.charts.board import HOLLOW
from bowbook.charts.svg import number


class Mark(Struct, frozen=True):
    """One thing that was drawn: its inks, and either path data or a whole element; where it leads."""

    inks: str
    data: str
    whole: str
    url: str | None


class SvgMarks(RendererBase):
    """Notes what artists draw as marks of an SVG of this height, px, with texts left as texts and not measured."""

    def __init__(self, height: float) -> None:
        super().__init__()
        self.height = height
        self.marks: list[Mark] = []
        self._inks = ""

    def open_group(self, s: str, gid: str | None = None) -> None:  # noqa: ARG002 matplotlib's name of the artist
        """What follows has these inks."""
        self._inks = gid or ""

    def draw_path(self, gc: Any, path: Any, transform: Any, rgbFace: Any = None) -> None:  # noqa: ARG002
        """Lines and shapes."""
        data = self._data(transform.transform(path.vertices), path.codes)
        self.marks.append(Mark(self._inks, data, "", gc.get_url()))

    def pieces(self, ends: Any, inks: str, urls: Sequence[str | None]) -> None:
        """Straight pieces, each from one of the ends to the next."""
        for first, url in zip(range(0, len(ends), 2), cycle(urls), strict=False):
            self.marks.append(Mark(inks, self._data(ends[first : first + 2], None), "", url))

    def write(self, at: Any, words: str, anchor: str, inks: str, url: str | None) -> None:
        """A text on its baseline."""
        named = "" if inks == "kt" else f' class="{inks}"'
        placed = "" if anchor == "start" else f' text-anchor="{anchor}"'
        x, y = self._place(at)
        self._whole(inks, f'<text{named} x="{x}" y="{y}"{placed}>{escape(words, quote=False)}</text>', url)

    def circles(self, places: Iterable[Any], radius: float, inks: str, urls: Sequence[str | None]) -> None:
        """Round points."""
        for at, url in zip(places, cycle(urls), strict=False):
            x, y = self._place(at)
            self._whole(inks, f'<circle class="{inks}" cx="{x}" cy="{y}" r="{number(radius, 1)}"/>', url)

    def use(self, at: Any, name: str, scale: float, inks: str, url: str | None) -> None:
        """A kite whose shapes the page holds under this name."""
        named = f' class="{inks}"' if inks == HOLLOW else ""
        place = f"translate({' '.join(self._place(at))})scale({scale:.4f})"
        self._whole(inks, f'<use{named} href="#{name}" transform="{place}"/>', url)

    def _whole(self, inks: str, element: str, url: str | None) -> None:
        self.marks.append(Mark(inks, "", element, url))

    def _place(self, at: Any) -> tuple[str, str]:
        """A place to a tenth of a px from the upper left corner."""
        return number(at[0], 1), number(self.height - at[1], 1)

    def _data(self, points: Any, codes: Any) -> str:
        """Path data, as short as it can be."""
        out: list[str] = []
        last = ("", "")
        moves = [Path.MOVETO] + [Path.LINETO] * (len(points) - 1) if codes is None else codes.tolist()
        for point, code in zip(points.tolist(), moves, strict=True):
            if code == Path.CLOSEPOLY:
                out.append("Z")
                continue
            x, y = place = self._place(point)
            if code == Path.MOVETO:
                out.append(f"M{x} {y}")
            elif place == last:
                out.append("h0")
            elif x == last[0]:
                out.append(f"V{y}")
            else:
                out.append(f"H{x}" if y == last[1] else f"L{x} {y}")
            last = place
        return "".join(out)


def marks_of(drawn: Iterable[Mark], titles: Mapping[str, str]) -> str:
    """The marks as SVG; those with one address are one link, said by its title.

    Where no title is known for an address there is no link.
    Links stand together where the first of them stood: what was drawn before lies under them all, what was drawn
    after them over them.
    """
    out: list[str] = []
    linked: dict[str, list[Mark]] = {}
    plain: list[Mark] = []
    place = 0
    for mark in drawn:
        if mark.url is None or mark.url not in titles:
            plain.append(mark)
            continue
        if not linked:
            out.append(_joined(plain))
            plain, place = [], len(out)
        linked.setdefault(mark.url, []).append(mark)
    links = [_link(url, titles[url], _joined(marks)) for url, marks in linked.items()]
    return "".join([*out[:place], *links, *out[place:], _joined(plain)])


def _link(url: str, title: str, inside: str) -> str:
    """Marks that lead to a page. Not in the tab order: the table under the chart has the same links for keys."""
    return f'<a href="{escape(url)}" tabindex="-1"><title>{escape(title, quote=False)}</title>{inside}</a>'


def _joined(marks: list[Mark]) -> str:
    """The marks as elements; paths of one ink that follow one another become one."""
    out: list[str] = []
    inks, data = "", ""
    for mark in [*marks, Mark("", "", "", None)]:
        if data and (mark.inks != inks or not mark.data):
            out.append(f'<path class="{inks}" d="{data}"/>')
            data = ""
        inks, data = mark.inks, data + mark.data
        out.append(mark.whole)
    return "".join(out)
