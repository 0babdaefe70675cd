"""From the SVG that matplotlib wrote to the one a page takes: inks become classes, no style is left."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from html import escape
from typing import TYPE_CHECKING

from msgspec import Struct

from bowbook.charts.board import HOLLOW
from bowbook.charts.svg import number

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_SVG = "{http://www.w3.org/2000/svg}"
_HREF = "{http://www.w3.org/1999/xlink}href"
_MOVES = re.compile(r"([MLCQz])([^MLCQz]*)")


class _Mark(Struct, frozen=True):
    """One thing that was drawn: its inks, and either path data or whole elements; where it leads."""

    inks: str
    data: str
    whole: str
    url: str | None


def marks_of(written: str, titles: Mapping[str, str]) -> str:
    """The marks of matplotlib's SVG with classes for inks; marks with one address are one link, said by its title.

    Where no title is known for an address there is no link.
    Links stand together where the first of them stood: what was drawn before lies under them all, what was drawn
    after them over them.
    """
    from xml.etree.ElementTree import fromstring

    out: list[str] = []
    linked: dict[str, list[_Mark]] = {}
    plain: list[_Mark] = []
    place = 0
    for mark in _marks(fromstring(written), "", None):
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


def _marks(element: Element, inks: str, url: str | None) -> Iterator[_Mark]:
    for child in element:
        tag = child.tag.removeprefix(_SVG)
        if tag == "g":
            named = child.get("id", "")
            yield from _marks(child, named if named.startswith("k") else inks, url)
        elif tag == "a":
            yield from _marks(child, inks, child.get(_HREF))
        elif tag == "path" and inks:
            yield _Mark(inks, _data(child.get("d", "")), "", url)
        elif tag == "use":
            named = f' class="{inks}"' if inks == HOLLOW else ""
            place = f'href="{child.get("href")}" transform="{child.get("transform")}"'
            yield _Mark(inks, "", f"<use{named} {place}/>", url)
        elif tag == "circle":
            x, y, radius = (number(float(child.get(name, "0")), 1) for name in ("cx", "cy", "r"))
            yield _Mark(inks, "", f'<circle class="{inks}" cx="{x}" cy="{y}" r="{radius}"/>', url)
        elif tag == "text":
            yield _Mark(inks, "", _text(child, inks), url)


def _text(element: Element, inks: str) -> str:
    named = "" if inks == "kt" else f' class="{inks}"'
    anchor = element.get("text-anchor", "start")
    placed = "" if anchor == "start" else f' text-anchor="{anchor}"'
    x, y = (number(float(element.get(name, "0")), 1) for name in "xy")
    return f'<text{named} x="{x}" y="{y}"{placed}>{escape(element.text or "", quote=False)}</text>'


def _joined(marks: list[_Mark]) -> str:
    """The marks as elements; paths of one ink that follow one another become one."""
    out: list[str] = []
    inks, data = "", ""
    for mark in [*marks, _Mark("", "", "", None)]:
        if data and (mark.inks != inks or not mark.data):
            out.append(f'<path class="{inks}" d="{data}"/>')
            data = ""
        inks, data = mark.inks, data + mark.data
        out.append(mark.whole)
    return "".join(out)


def _data(written: str) -> str:
    """Path data to a tenth of a px, as short as it can be.

    >>> _data("M 44 330.25 L 44 30.04 L 50 30.01 z")
    'M44 330.2V30H50Z'
    """
    out: list[str] = []
    at = ("", "")
    for move, rest in _MOVES.findall(written):
        numbers = [number(float(word), 1) for word in rest.split()]
        to = (numbers[-2], numbers[-1]) if numbers else at
        if move != "L":
            out.append(move.upper() + " ".join(numbers))
        elif to == at:
            out.append("h0")
        elif to[0] == at[0]:
            out.append(f"V{to[1]}")
        else:
            out.append(f"H{to[0]}" if to[1] == at[1] else f"L{to[0]} {to[1]}")
        at = to
    return "".join(out)
