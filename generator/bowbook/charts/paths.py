"""The shapes of a silhouette's SVG as matplotlib's paths, for the pictures that no browser draws."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import TYPE_CHECKING, Any
from xml.etree.ElementTree import fromstring

import bowbook.charts.own_settings  # noqa: F401 before matplotlib

# isort: split
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.svgLib.path import parse_path
from fontTools.svgLib.path.shapes import PathBuilder
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from msgspec import Struct

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_PENS: Mapping[str, Mapping[str, str]] = {  # as the style sheet of charts has them
    "k-edge": {"fill": "none", "stroke": "#20282e", "stroke-width": "0.8px", "stroke-opacity": "0.5"},
    "k-spar": {"fill": "none", "stroke": "#20282e", "stroke-width": "1.2px", "stroke-opacity": "0.75"},
    "k-spar k-pale": {"fill": "none", "stroke": "#eef1ec", "stroke-width": "1.2px", "stroke-opacity": "0.75"},
    "k-spar k-mid": {"fill": "none", "stroke": "#8b9196", "stroke-width": "1.2px", "stroke-opacity": "0.75"},
    "k-unknown": {"fill": "none", "stroke": "#4f5d73", "stroke-width": "1.2px"},
}
_MOVE = re.compile(r"(\w+)\s*\(([^)]*)\)")
_PASSED_ON = ("fill", "stroke", "stroke-width", "fill-opacity", "stroke-opacity", "color")
_CODES: Mapping[str, tuple[Any, ...]] = {
    "moveTo": (Path.MOVETO,),
    "lineTo": (Path.LINETO,),
    "curveTo": (Path.CURVE4,) * 3,
    "qCurveTo": (Path.CURVE3,) * 2,
}


class DrawnShape(Struct, frozen=True):
    """One shape: its path, its fill and its stroke as (red, green, blue, alpha) or None, its pen's width.

    `scale` is by how much the width grows with the shape; None for a pen that keeps its width in px. `cut` is the
    outline that the shape is cut to.
    """

    path: Any
    fill: tuple[float, float, float, float] | None
    stroke: tuple[float, float, float, float] | None
    width: float
    scale: float | None
    cut: Any = None


@lru_cache(maxsize=64)
def shapes_in(markup: str) -> tuple[DrawnShape, ...]:
    """The shapes of these SVG elements, the lowest first.

    A gradient is drawn in the colour of its middle stop and a pattern not at all: the pictures are small.
    """
    root = fromstring(f'<svg xmlns:xlink="http://www.w3.org/1999/xlink">{markup}</svg>')
    named = {element.get("id", ""): element for element in root.iter()}
    return tuple(_drawn(root, {}, Affine2D(), None, named))


def fills(markup: str) -> list[str]:
    """The colours of the areas of these SVG elements that hide what is under them, as #rrggbb."""
    from matplotlib.colors import to_hex

    return [to_hex(shape.fill) for shape in shapes_in(markup) if shape.fill and shape.fill[3] == 1]


def _drawn(
    element: Element, given: Mapping[str, str], to: Affine2D, cut: Any, named: Mapping[str, Element]
) -> Iterator[DrawnShape]:
    tag = element.tag.rpartition("}")[2]
    own = _PENS.get(element.get("class", ""), {})
    paint = {**given, **own, **{key: element.get(key, "") for key in _PASSED_ON if element.get(key)}}
    if faint := element.get("opacity"):
        paint["opacity"] = f"{_length(faint, 1.0) * float(paint.get('opacity', '1')):g}"
    to = _both(_moved(element.get("transform", "")), to)
    clip = named.get(element.get("clip-path", "")[5:-1])
    if clip is not None and len(clip) and (outline := _path(clip[0])) is not None:
        cut = to.transform_path(outline)
    if tag in ("defs", "clipPath", "linearGradient", "radialGradient", "pattern"):
        return
    if tag == "svg" and element.get("viewBox"):
        to = _both(_fitted(element), to)
    if tag == "use":
        meant = named.get((element.get("href") or element.get("{http://www.w3.org/1999/xlink}href") or "#")[1:])
        shift = Affine2D().translate(_length(element.get("x"), 0.0), _length(element.get("y"), 0.0))
        if meant is not None:
            yield from _drawn(meant, paint, _both(shift, to), cut, named)
    elif tag in ("svg", "g"):
        for child in element:
            yield from _drawn(child, paint, to, cut, named)
    elif (path := _path(element)) is not None:
        a, b, c, d, _, _ = to.to_values()
        yield DrawnShape(
            to.transform_path(path),
            _colour(paint, "fill", "black", named),
            _colour(paint, "stroke", "none", named),
            _length(paint.get("stroke-width"), 1.0),
            None if own else math.sqrt(abs(a * d - b * c)),
            cut,
        )


def _path(element: Element) -> Any:
    """The path of a basic shape, as far as it is well written (SVG 2, 9.5.4: an error ends a path where it stands)."""
    builder, pen = PathBuilder(), DecomposingRecordingPen({})
    plain = {key: re.sub(r"(px|mm|%)$", "", value) for key, value in element.attrib.items() if key != "transform"}
    try:
        copy = fromstring("<x/>")
        copy.tag, copy.attrib = element.tag, plain
        if not builder.add_path_from_element(copy):
            return None
        for data in builder.paths:
            parse_path(data, pen)
    except (ArithmeticError, AssertionError, LookupError, TypeError, ValueError, AttributeError, NotImplementedError):
        pass  # whatever fontTools stumbles over: each of its releases over something else
    points: list[tuple[float, float]] = []
    codes: list[Any] = []
    for name, places in pen.value:
        if name == "closePath" and points:
            points.append(points[0])
            codes.append(Path.CLOSEPOLY)
        elif name in _CODES and (points or name == "moveTo"):
            points += [place for place in places if place is not None]
            codes += _CODES[name]
    return Path(points, codes) if points and len(points) == len(codes) else None


def _colour(
    paint: Mapping[str, str], kind: str, usual: str, named: Mapping[str, Element]
) -> tuple[float, float, float, float] | None:
    from matplotlib.colors import to_rgba

    said = paint.get(kind) or usual
    if said.startswith("url("):
        stops = list(named.get(said.strip(" url()'\"#"), ()))
        said = stops[len(stops) // 2].get("stop-color", "black") if stops else "none"
    if said == "currentColor":
        said = paint.get("color") or "black"
    if said.startswith("rgb("):
        parts = [
            float(p.rstrip("%")) * (2.55 if p.endswith("%") else 1) for p in re.split(r"[,\s]+", said[4:-1].strip())
        ]
        said = "#" + "".join(f"{min(max(round(p), 0), 255):02x}" for p in parts[:3])
    if said in ("none", "transparent"):
        return None
    alpha = _length(paint.get(f"{kind}-opacity"), 1.0) * float(paint.get("opacity", "1"))
    try:
        return to_rgba(said.lower(), min(max(alpha, 0.0), 1.0))
    except ValueError:  # no colour that matplotlib knows
        return None


def _length(written: str | None, usual: float) -> float:
    found = re.match(r"[-+\d.eE]+", written or "")
    try:
        value = float(found[0]) if found else usual
    except ValueError:
        return usual
    return value / 100 if written and written.endswith("%") else value


def _moved(written: str) -> Affine2D:
    """A transform attribute: what stands last is done first."""
    out = Affine2D()
    for name, words in reversed(_MOVE.findall(written)):
        try:
            n = [float(word) for word in re.split(r"[,\s]+", words.strip()) if word]
            step = Affine2D()
            if name == "matrix":
                step = Affine2D.from_values(*n)
            elif name == "translate":
                step.translate(n[0], n[1] if len(n) > 1 else 0.0)
            elif name == "scale":
                step.scale(n[0], n[1] if len(n) > 1 else n[0])
            elif name == "rotate":
                x, y = n[1:3] if len(n) > 2 else (0.0, 0.0)
                step.rotate_deg_around(x, y, n[0])
            else:
                step.skew_deg(*((n[0], 0.0) if name == "skewX" else (0.0, n[0])))
        except (ValueError, IndexError, TypeError):
            continue
        out = _both(out, step)
    return out


def _both(first: Affine2D, then: Affine2D) -> Affine2D:
    """The one move and after it the other."""
    return Affine2D(then.get_matrix() @ first.get_matrix())


def _fitted(svg: Element) -> Affine2D:
    """An inner picture filling its box (xMidYMid slice)."""
    left, top, wide, tall = (float(n) for n in svg.get("viewBox", "").split())
    x, y, width, height = (float(svg.get(name, "0")) for name in ("x", "y", "width", "height"))
    per = max(width / wide, height / tall)
    middle = Affine2D().translate(-left - wide / 2, -top - tall / 2)
    return middle.scale(per).translate(x + width / 2, y + height / 2)
