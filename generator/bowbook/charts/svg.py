"""The marks of a chart as SVG text: lines, bands, dots, words and links; classes for inks, never a style attribute."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence
from html import escape

Point = tuple[float, float]


def number(value: float) -> str:
    """A coordinate to a hundredth of a px, as short as it can be.

    >>> number(12.50), number(-0.001)
    ('12.5', '0')
    """
    cut = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if cut == "-0" else cut


def path_data(points: Iterable[Point], closed: bool = False) -> str:
    """Path data through the points."""
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points) + ("Z" if closed else "")


def identifier(text: str) -> str:
    """The text as part of an id: other texts give other ids.

    >>> identifier("Strandläufer 2")
    'Strandl_e4_ufer_20_2'
    """
    return re.sub(r"[^A-Za-z0-9-]", lambda found: f"_{ord(found[0]):x}_", text)


_NARROW = {**dict.fromkeys("iljI.,:;' |!·", 0.33), **dict.fromkeys("tfr", 0.4)}


def wide(text: str, size: float) -> float:
    """About how wide a text stands, px: enough to keep labels apart in any font of the stack."""
    ems = 0.0
    for sign in text:
        if unicodedata.combining(sign):
            continue
        ems += 1.0 if unicodedata.east_asian_width(sign) in "WF" else _NARROW.get(sign, 0.6)
        ems += 0.12 if sign.isupper() or sign in "mwMW%" else 0.0
    return ems * size


def shortened(text: str, most: int = 22) -> str:
    """The text, cut where it is too long for a label."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def path(data: str, classes: str) -> str:
    """A path of ready path data."""
    return f'<path class="{classes}" d="{data}"/>'


def line(points: Iterable[Point], classes: str) -> str:
    """An open line."""
    return path(path_data(points), classes)


def area(points: Iterable[Point], classes: str) -> str:
    """A closed, filled shape."""
    return path(path_data(points, closed=True), classes)


def box(x: float, y: float, width: float, height: float, classes: str) -> str:
    """An upright rectangle from its upper left corner."""
    return path(f"M{number(x)} {number(y)}h{number(width)}v{number(height)}h{number(-width)}z", classes)


def upright(x: float, foot: float, top: float) -> str:
    """Path data of an upright bar."""
    return f"M{number(x)} {number(foot)}V{number(top)}"


def bars(spans: Iterable[tuple[float, float, float]], classes: str) -> str:
    """Upright bars (x, y, y) as one path."""
    return path("".join(upright(*span) for span in spans), classes)


def joined(spans: Iterable[tuple[float, float, float]]) -> list[tuple[float, float, float]]:
    """Upright bars (x, y, y) moved to whole px across, and joined where they lie on one another.

    However many there are, no more are left than a screen can show.

    >>> joined([(3.2, 9.0, 4.0), (2.9, 5.0, 1.0), (7.0, 2.0, 1.0), (3.0, 20.0, 18.0)])
    [(3, 9.0, 1.0), (3, 20.0, 18.0), (7, 2.0, 1.0)]
    """
    columns: dict[int, list[tuple[float, float]]] = {}
    for x, *ends in spans:
        columns.setdefault(round(x), []).append((min(ends), max(ends)))
    out: list[tuple[float, float, float]] = []
    for x in sorted(columns):
        first = len(out)
        for top, bottom in sorted(columns[x]):
            if len(out) > first and top <= out[-1][1]:
                out[-1] = (x, max(bottom, out[-1][1]), out[-1][2])
            else:
                out.append((x, bottom, top))
    return out


def dot(x: float, y: float, radius: float, classes: str, title: str = "") -> str:
    """A round point; a title shows what it is on hovering."""
    head = f'<circle class="{classes}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"'
    return f"{head}><title>{escape(title)}</title></circle>" if title else head + "/>"


def words(x: float, y: float, text: str, classes: str = "", anchor: str = "start") -> str:
    """A text on its baseline."""
    named = f' class="{classes}"' if classes else ""
    placed = "" if anchor == "start" else f' text-anchor="{anchor}"'
    return f'<text{named} x="{number(x)}" y="{number(y)}"{placed}>{escape(text, quote=False)}</text>'


def link(address: str, inside: str, title: str) -> str:
    """Marks that lead to a page. Not in the tab order: the table under the chart has the same links for keys."""
    return f'<a href="{escape(address)}" tabindex="-1"><title>{escape(title, quote=False)}</title>{inside}</a>'


def moved(x: float, y: float, inside: str) -> str:
    """Marks moved as one."""
    return f'<g transform="translate({number(x)} {number(y)})">{inside}</g>'


def drawing(
    inside: Sequence[str], size: tuple[float, float], prefix: str, title: str, description: str, shape: str
) -> str:
    """The whole SVG. `shape` is "wide" or "narrow"; ids begin with `prefix`, so many can stand on one page.

    A drawing with links in it is a group to a screen reader, since links within an image would be hidden by it.
    """
    body = "".join(inside)
    role = "group" if "<a href" in body else "img"
    start = f"{identifier(prefix)}-{shape[0]}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="k k-{shape}" role="{role}" aria-labelledby="{start}-t"'
        f' aria-describedby="{start}-d" viewBox="0 0 {number(size[0])} {number(size[1])}" direction="ltr">'
        f'<title id="{start}-t">{escape(title, quote=False)}</title>'
        f'<desc id="{start}-d">{escape(description, quote=False)}</desc>{body}</svg>'
    )
