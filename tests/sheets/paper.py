"""Reads a printed sheet back: lines and words of a PDF in millimetres from the page's top left corner."""

from __future__ import annotations

import io
import math
import re
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from pypdf import PdfReader
from pypdf.generic import ContentStream

MM = 25.4 / 72.0
Point = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """A stroked path: its points in mm, the pen's width and its dashes in mm, whether it was filled."""

    points: tuple[Point, ...]
    width: float
    dashes: tuple[float, ...]
    filled: bool

    @property
    def length(self) -> float:
        return sum(math.dist(a, b) for a, b in zip(self.points, self.points[1:], strict=False))


@dataclass(frozen=True)
class Set:
    """A line of text as set: where its baseline starts, its width, its type size in mm, its angle in degrees."""

    text: str
    x: float
    y: float
    width: float
    size: float
    angle: float

    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom of the letters without accents and tails."""
        up, down = 0.55 * self.size, 0.0
        if abs(self.angle) < 1:
            return self.x, self.y - up, self.x + self.width, self.y - down
        assert abs(self.angle - 90) < 1, "words run across or up the page"
        return self.x - up, self.y - self.width, self.x, self.y


@dataclass
class Sheet:
    """One page as read back."""

    width: float
    height: float
    page: Any
    lines: list[Drawn] = field(default_factory=list)
    words: list[Set] = field(default_factory=list)

    @cached_property
    def text(self) -> str:
        """The page's text as the library extracts it."""
        extracted: str = self.page.extract_text()
        return extracted

    @property
    def said(self) -> str:
        """All words in the order they were set, without blanks: much quicker than extracting them."""
        return squeezed("".join(word.text for word in self.words))


def read_back(pdf: bytes, most: int | None = None) -> list[Sheet]:
    """Every page of a PDF, or its first few."""
    reader = PdfReader(io.BytesIO(pdf), strict=True)
    return [_read(page, reader) for page in reader.pages[:most]]


def squeezed(text: str) -> str:
    """The text without any blank: an extractor may set or leave out a blank where a line was moved."""
    return re.sub(r"\s+", "", text)


def _read(page: Any, reader: PdfReader) -> Sheet:
    box = page.mediabox
    sheet = Sheet(float(box.width) * MM, float(box.height) * MM, page)
    high = float(box.height)
    fonts = {name: Type(font.get_object()) for name, font in page["/Resources"]["/Font"].items()}
    state: dict[str, Any] = {"ctm": (1.0, 0.0, 0.0, 1.0, 0.0, 0.0), "w": 1.0, "d": ()}
    stack: list[dict[str, Any]] = []
    paths: list[list[Point]] = []
    text: dict[str, Any] = {}
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        op = operator.decode()
        v = [float(o) for o in operands] if op in ("cm", "m", "l", "c", "w", "re", "Tm") else []
        if op == "q":
            stack.append(dict(state))
        elif op == "Q":
            state = stack.pop()
        elif op == "cm":
            state["ctm"] = _times(tuple(v), state["ctm"])
        elif op == "w":
            state["w"] = v[0]
        elif op == "d":
            state["d"] = tuple(float(o) * MM for o in operands[0])
        elif op == "m":
            paths.append([_at(v, state, high)])
        elif op == "l":
            paths[-1].append(_at(v, state, high))
        elif op == "h":
            paths[-1].append(paths[-1][0])
        elif op in ("S", "s", "f", "B", "b", "n"):
            if op in ("s", "b"):
                paths[-1].append(paths[-1][0])
            if op != "n":
                filled = op in ("f", "B", "b")
                sheet.lines += [Drawn(tuple(p), state["w"] * MM, state["d"], filled) for p in paths]
            paths = []
        elif op == "BT":
            text = {}
        elif op == "Tf":
            text["font"], text["size"] = fonts[operands[0]], float(operands[1])
        elif op == "Tm":
            text["place"] = tuple(v)
        elif op in ("TJ", "Tj"):
            parts = operands[0] if op == "TJ" else [operands[0]]
            sheet.words.append(_set(parts, text, _times(text["place"], state["ctm"]), high))
            text["place"] = _times((1.0, 0.0, 0.0, 1.0, sheet.words[-1].width / MM, 0.0), text["place"])
        elif op in ("c", "re", "Td", "'", '"'):
            raise AssertionError(f"the reader does not know {op}")
    return sheet


def _times(a: tuple[float, ...], b: tuple[float, ...]) -> tuple[float, ...]:
    return (
        a[0] * b[0] + a[1] * b[2],
        a[0] * b[1] + a[1] * b[3],
        a[2] * b[0] + a[3] * b[2],
        a[2] * b[1] + a[3] * b[3],
        a[4] * b[0] + a[5] * b[2] + b[4],
        a[4] * b[1] + a[5] * b[3] + b[5],
    )


def _at(v: list[float], state: dict[str, Any], high: float) -> Point:
    a, b, c, d, e, f = state["ctm"]
    return (a * v[0] + c * v[1] + e) * MM, (high - (b * v[0] + d * v[1] + f)) * MM


class Type:
    """An embedded font: code to width in thousandths of the type size, and code to letters, from its own tables."""

    def __init__(self, font: Any) -> None:
        self.widths = dict(enumerate(map(float, font["/Widths"]), int(font["/FirstChar"])))
        self.letters: dict[int, str] = {}  # PDF 1.4, section 5.9
        cmap = font["/ToUnicode"].get_object().get_data().decode("ascii")
        for block in re.findall(r"beginbfchar(.*?)endbfchar", cmap, re.DOTALL):
            for code, letters in re.findall(r"<([0-9a-f]+)> <([0-9a-f]*)>", block):
                self.letters[int(code, 16)] = bytes.fromhex(letters).decode("utf-16-be")


def _set(parts: Any, text: dict[str, Any], ctm: tuple[float, ...], high: float) -> Set:
    thousandths, said = 0.0, ""
    for part in parts:
        if isinstance(part, (int, float)):
            thousandths -= float(part)
            continue
        raw = part if isinstance(part, bytes) else part.original_bytes
        thousandths += sum(text["font"].widths[code] for code in raw)
        said += "".join(text["font"].letters[code] for code in raw)
    x, y = _at([0.0, 0.0], {"ctm": ctm}, high)
    angle = math.degrees(math.atan2(ctm[1], ctm[0]))
    return Set(said, x, y, thousandths / 1000 * text["size"] * MM, text["size"] * MM, angle)
