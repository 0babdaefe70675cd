"""A maker's drawing (SVG): only shapes and paints are taken, nothing that runs, loads or refers outside."""

from __future__ import annotations

import re
from pathlib import Path
from xml.parsers import expat

from msgspec import Struct, field

from bowbook.book.sail import SailDrawing
from bowbook.format.pictures import LONGEST_SIDE_RATIO
from bowbook.storage.regular import TooLargeError, read_plain

MOST_BYTES = 400_000  # of a drawing's file
MOST_SHAPES = 5_000  # elements drawn, those that `use` draws again counted each time
DEEPEST = 40  # elements inside elements

_SVG = "http://www.w3.org/2000/svg"
_SHAPES = frozenset({"path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use"})
_GROUPS = frozenset({"svg", "g", "defs", "clipPath", "linearGradient", "radialGradient", "stop", "pattern"})
_SILENT = frozenset({"title", "desc", "metadata"})  # left out: they draw nothing
_REFUSED = {
    "text": "letters. Turn them into paths in the drawing program, then save it again.",
    "image": "a picture. A drawing may hold shapes only: remove it, or show it as a photo.",
    "style": "a style sheet. Save it with its styles as attributes (often called plain SVG).",
}

_NUMBER = r"[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d{1,2})?"
_LENGTH = re.compile(rf"{_NUMBER}(?:px|mm|%)?")
_NUMBERS = re.compile(r"[-+\d.eE,\s%]*")
_PATH = re.compile(r"[MmZzLlHhVvCcSsQqTtAa\d\s,.eE+-]*")
_TRANSFORM = re.compile(r"(?:\s*(?:matrix|translate|scale|rotate|skewX|skewY)\s*\([-+\d.eE,\s]*\)\s*,?)*")
_PAINT = re.compile(r"none|currentColor|transparent|[a-zA-Z]{3,24}|#(?:[0-9a-fA-F]{3}){1,2}|rgb\([\d\s,.%]{1,40}\)")
_LOCAL = re.compile(r"url\(\s*['\"]?#([\w.-]{1,80})['\"]?\s*\)")
_WORD = re.compile(r"[a-zA-Z-]{1,24}")

_TAKES: dict[str, re.Pattern[str]] = {
    name: pattern
    for names, pattern in (
        ("x y width height cx cy r rx ry x1 y1 x2 y2 fx fy offset pathLength", _LENGTH),
        ("stroke-width opacity fill-opacity stroke-opacity stop-opacity", _LENGTH),
        ("stroke-miterlimit stroke-dashoffset", _LENGTH),
        ("viewBox points stroke-dasharray", _NUMBERS),
        ("transform gradientTransform patternTransform", _TRANSFORM),
        ("fill stroke stop-color color", _PAINT),
        ("fill-rule clip-rule stroke-linecap stroke-linejoin", _WORD),
        ("gradientUnits patternUnits patternContentUnits clipPathUnits spreadMethod", _WORD),
        ("d", _PATH),
    )
    for name in names.split()
}
_REFERS = frozenset({"fill", "stroke", "clip-path"})


class DrawingError(ValueError):
    """A drawing that cannot be used: what is wrong, what to do instead, and the line of its file (0 where none)."""

    def __init__(self, message: str, hint: str, line: int = 0) -> None:
        super().__init__(message)
        self.message, self.hint, self.line = message, hint, line


class _Element(Struct):
    name: str
    attributes: dict[str, str]
    children: list[_Element] = field(default_factory=list)


def drawing_in(path: Path) -> bytes:
    """The bytes of a drawing's file. Raises DrawingError for one that is too large, OSError where it cannot be read."""
    try:
        return read_plain(path, MOST_BYTES)
    except TooLargeError:
        raise _too_large() from None


def read_drawing(data: bytes, prefix: str = "") -> SailDrawing:
    """The shapes and paints of an SVG file.

    Parameters
    ----------
    data : the file's bytes
    prefix : put before every id, so that several drawings can stand in one page

    Raises
    ------
    DrawingError : it is too large, not well-formed, no SVG, declares entities, draws without end, or holds what is
    neither a shape nor a paint (letters, pictures, styles, scripts, filters). What other programs note in it for
    themselves is left out.

    >>> read_drawing(b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><path class="x" d="M0 0"/></svg>')
    SailDrawing(view=(0.0, 0.0, 4.0, 3.0), markup='<path d="M0 0"/>')
    """
    if len(data) > MOST_BYTES:
        raise _too_large()
    reader = _DrawingReader()
    root = reader.read(data)
    view = _view(root)
    ids: dict[str, _Element] = {}
    for element in _all(root):
        if "id" in element.attributes:
            ids.setdefault(element.attributes["id"], element)  # of several, the first is meant (SVG 2, 5.3)
    if _drawn(root, ids, {}, ()) > MOST_SHAPES:
        raise DrawingError(
            f"the drawing has more than {MOST_SHAPES} shapes, repeated ones counted",
            "Simplify it in a drawing program.",
        )
    named = {name for element in _all(root) for name in _referred(element)}
    ids = {name: element for name, element in ids.items() if name in named}
    markup = "".join(_text(child, ids, prefix) for child in root.children)
    return SailDrawing(view, markup)


def read_picture(data: bytes) -> SailDrawing:
    """The drawing of an SVG file that is shown as a picture. Raises DrawingError."""
    drawing = read_drawing(data)
    if max(drawing.view[2:]) > LONGEST_SIDE_RATIO * min(drawing.view[2:]):
        raise DrawingError("the drawing is a strip, over eight times as long as wide", "Draw it less long.")
    return drawing


def standalone(drawing: SailDrawing, width: int, height: int) -> bytes:
    """A drawing as an SVG file of its own, this many px large, on white where it is clear."""
    x, y, across, down = (f"{number:g}" for number in drawing.view)
    white = f'<rect x="{x}" y="{y}" width="{across}" height="{down}" fill="#fff"/>'
    box, size = f'viewBox="{x} {y} {across} {down}"', f'width="{width}" height="{height}"'
    return f'<svg xmlns="{_SVG}" {box} {size}>{white}{drawing.markup}</svg>\n'.encode()


def _too_large() -> DrawingError:
    return DrawingError(f"the drawing is larger than {MOST_BYTES // 1000} kB", "Simplify it in a drawing program.")


class _DrawingReader:
    """Builds the allowed elements while the file is parsed; what is not allowed is refused."""

    def __init__(self) -> None:
        self._stack: list[_Element] = []
        self._root: _Element | None = None
        self._skipping = 0
        self._parser = expat.ParserCreate(namespace_separator=" ")
        self._parser.StartElementHandler = self._start
        self._parser.EndElementHandler = self._end
        self._parser.EntityDeclHandler = self._entity
        self._count = 0

    def read(self, data: bytes) -> _Element:
        """The root element."""
        try:
            self._parser.Parse(data, True)
        except expat.ExpatError as error:
            raise DrawingError(
                f"the drawing is not well-formed SVG: {expat.ErrorString(error.code)}",
                "Save it again from a drawing program, as plain SVG.",
                error.lineno,
            ) from None
        except (LookupError, ValueError) as error:
            if isinstance(error, DrawingError):
                raise
            raise DrawingError("the drawing's letters are in an encoding not known here", "Save it as UTF-8.") from None
        if self._root is None:
            raise DrawingError("this is not an SVG drawing", "Put an .svg file here.")
        return self._root

    def _entity(self, *_: object) -> None:
        raise DrawingError("the drawing declares entities", "Save it as plain SVG.", self._parser.CurrentLineNumber)

    def _start(self, name: str, attributes: dict[str, str]) -> None:
        self._count += 1
        if self._count > 4 * MOST_SHAPES:
            raise DrawingError("the drawing has too many elements", "Simplify it in a drawing program.")
        space, _, local = name.rpartition(" ")
        if self._root is None and (space != _SVG or local != "svg"):
            raise DrawingError("this is not an SVG drawing", "Put an .svg file here.", self._parser.CurrentLineNumber)
        if self._skipping or space != _SVG or local in _SILENT:
            self._skipping += 1
            return
        if local not in _SHAPES | _GROUPS or (local == "svg" and self._stack):
            self._refuse(local)
        if len(self._stack) >= DEEPEST:
            raise DrawingError("the drawing's groups are nested too deep", "Ungroup it in a drawing program.")
        element = _Element(local, self._attributes(attributes))
        if self._stack:
            self._stack[-1].children.append(element)
        else:
            self._root = element
        self._stack.append(element)

    def _refuse(self, what: str) -> None:
        holds, _, instead = _REFUSED.get(what, "{}. A drawing may hold shapes and colours only: remove it.").partition(
            ". "
        )
        raise DrawingError(f"the drawing holds {holds.format(what)}", instead, self._parser.CurrentLineNumber)

    def _end(self, _: str) -> None:
        if self._skipping:
            self._skipping -= 1
        else:
            self._stack.pop()

    def _attributes(self, given: dict[str, str]) -> dict[str, str]:
        kept: dict[str, str] = {}
        style = [tuple(part.split(":", 1)) for part in given.get("style", "").split(";") if ":" in part]
        for name, value in [*given.items(), *((k.strip(), v.strip()) for k, v in style)]:
            space, _, local = name.rpartition(" ")
            if local == "href" and space in ("", "http://www.w3.org/1999/xlink"):
                name = "href"
            if name == "id" and re.fullmatch(r"[\w.-]{1,80}", value):
                kept["id"] = value
            elif name == "href" and re.fullmatch(r"#[\w.-]{1,80}", value):
                kept["href"] = value[1:]
            elif name in _REFERS and (found := _LOCAL.fullmatch(value)):
                kept[name] = f"url(#{found[1]})"
            elif name in _TAKES and len(value) <= 60_000 and _TAKES[name].fullmatch(value):
                kept[name] = value
            elif name.startswith("on") or name == "href" or (name in _REFERS and "url" in value):
                self._refuse(name)
        return kept


def _view(root: _Element) -> tuple[float, float, float, float]:
    """The view box, from `viewBox`, else from width and height."""
    words = root.attributes.get("viewBox", "").replace(",", " ").split()
    if len(words) != 4:
        size = [re.sub(r"px|mm|%", "", root.attributes.get(side, "")) for side in ("width", "height")]
        words = ["0", "0", *size]
    try:
        x, y, width, height = (float(word) for word in words)
    except ValueError:
        x = y = width = height = 0.0
    if not (0 < width < 1e6 and 0 < height < 1e6 and abs(x) < 1e6 and abs(y) < 1e6):
        raise DrawingError("the drawing does not say how large it is", 'Give its svg a viewBox, such as "0 0 300 200".')
    return x, y, width, height


def _all(element: _Element) -> list[_Element]:
    found = [element]
    for child in element.children:
        found += _all(child)
    return found


def _drawn(element: _Element, ids: dict[str, _Element], counted: dict[int, int], above: tuple[int, ...]) -> int:
    """How many elements are drawn by this one, those drawn again by `use` counted each time."""
    me = id(element)
    if me in above:
        raise DrawingError("a part of the drawing repeats itself without end", "Save it as plain SVG, without clones.")
    if me not in counted:
        inside = (*above, me)
        total = 1 + sum(_drawn(child, ids, counted, inside) for child in element.children)
        for name in _referred(element):
            if name in ids:
                total += _drawn(ids[name], ids, counted, inside)
        counted[me] = min(total, 10 * MOST_SHAPES)
    return counted[me]


def _referred(element: _Element) -> list[str]:
    """The ids that an element's attributes name."""
    local = [_LOCAL.fullmatch(element.attributes.get(name, "")) for name in sorted(_REFERS)]
    return [*(found[1] for found in local if found), *filter(None, [element.attributes.get("href")])]


def _text(element: _Element, ids: dict[str, _Element], prefix: str) -> str:
    """An element and all in it as SVG text; ids and references are those of `ids`, others are left out."""
    from xml.sax.saxutils import quoteattr  # it brings the whole of urllib along

    said = [element.name]
    for name, value in element.attributes.items():
        found = _LOCAL.fullmatch(value) if name in _REFERS else None
        if name == "href" or found:
            target = found[1] if found else value
            if target not in ids:
                continue
            value = f"url(#{prefix}{target})" if found else f"#{prefix}{target}"
        elif name == "id":
            if ids.get(value) is not element:
                continue  # nothing refers to it, and a layer's name may say more than its picture
            value = prefix + value
        said.append(f"{name}={quoteattr(value)}")
    inside = "".join(_text(child, ids, prefix) for child in element.children)
    return f"<{' '.join(said)}>{inside}</{element.name}>" if inside else f"<{' '.join(said)}/>"
