"""Pages of a sheet to a PDF with real text, every font embedded as far as it is used."""

from __future__ import annotations

import contextlib
import io
import math
import os
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import bowbook.sheets.own_settings  # noqa: F401 before reportlab

# isort: split
from reportlab import rl_config
from reportlab.pdfbase import pdfdoc, ttfonts
from reportlab.pdfgen.canvas import FILL_NON_ZERO, Canvas

from bowbook.sheets import fonts, typesetting
from bowbook.sheets.embedding import embedded
from bowbook.sheets.page import Line, PaperPage, Words

rl_config.useA85 = 0  # streams as they are: nothing between here and a printer minds bytes

_POINTS = 72.0 / 25.4  # in a millimetre
_FIRST_CODE = 0xF0000  # of the private-use characters that stand for glyphs while a sheet is written


class _UndatedInfo(pdfdoc.PDFInfo):  # type: ignore[misc]
    """What a PDF says of itself. A sheet bears no day: the same kite gives the same bytes."""

    def format(self, document: Any) -> Any:
        """The dictionary as written into the file."""
        said = {"Title": self.title, "Author": self.author, "Creator": "bowbook"}
        return pdfdoc.PDFDictionary({k: pdfdoc.PDFString(v) for k, v in said.items() if v}).format(document)


def write_pdf(pages: Sequence[PaperPage], title: str, author: str | None) -> bytes:
    """The pages as a PDF; the same pages give the same bytes."""
    stream = io.BytesIO()
    with _no_day():
        canvas = Canvas(stream, invariant=1, pageCompression=1, initialFontName=embedded(fonts.base(False)).fontName)
    canvas._doc.info = _UndatedInfo()
    canvas.setTitle(title)
    canvas.setAuthor(author or "")
    pen = _Pen(canvas)
    for page in pages:
        pen.draw(page)
    canvas.save()
    return stream.getvalue()


@contextlib.contextmanager
def _no_day() -> Iterator[None]:
    """Without SOURCE_DATE_EPOCH, which the library reads, and stumbles over, though a sheet bears no day."""
    day = os.environ.pop("SOURCE_DATE_EPOCH", None)
    try:
        yield
    finally:
        if day is not None:
            os.environ["SOURCE_DATE_EPOCH"] = day


class _Pen:
    """Puts pages on a canvas, the lines of one width, dash and fill together.

    All ink is opaque and words stand clear of lines, so it does not matter which comes first.
    """

    def __init__(self, canvas: Any) -> None:
        self._canvas = canvas
        self._codes: dict[fonts.Font, dict[tuple[int, str], str]] = {}  # of this sheet, in the order they are met

    def draw(self, page: PaperPage) -> None:
        """Draw all lines, then all words."""
        self._canvas.setPageSize((page.width * _POINTS, page.height * _POINTS))
        lines: dict[tuple[object, ...], list[Line]] = {}
        for item in page.items:
            if isinstance(item, Line):
                lines.setdefault((item.width_mm, item.dash, item.fill), []).append(item)
        for alike in lines.values():
            self._stroke(alike, page.height)
        self._set([item for item in page.items if isinstance(item, Words)], page.height)
        self._canvas.showPage()

    def _stroke(self, lines: Sequence[Line], height_mm: float) -> None:
        one, canvas = lines[0], self._canvas
        canvas.setLineWidth(one.width_mm * _POINTS)
        canvas.setLineCap(0 if one.dash else 1)
        canvas.setDash([d * _POINTS for d in one.dash])
        if one.fill is not None:
            canvas.setFillGray(one.fill)
        path = canvas.beginPath()
        for line in lines:
            (x, y), *rest = line.points
            path.moveTo(x * _POINTS, (height_mm - y) * _POINTS)
            for x, y in rest:
                path.lineTo(x * _POINTS, (height_mm - y) * _POINTS)
            if line.closed:
                path.close()
        canvas.drawPath(path, stroke=1, fill=one.fill is not None, fillMode=FILL_NON_ZERO)

    def _set(self, lines: Iterable[Words], height_mm: float) -> None:
        self._canvas.setFillGray(0.0)
        set_text = self._canvas.beginText()
        for line in lines:
            x, y = line.start()
            x, y = x * _POINTS, (height_mm - y) * _POINTS
            c, s = math.cos(math.radians(line.angle)), math.sin(math.radians(line.angle))
            for run in typesetting.runs(line.text, line.bold):
                set_text.setFont(embedded(run.font).fontName, line.size_pt)
                set_text.setTextTransform(c, s, -s, c, x, y)
                set_text.textLine(self._called(run) if run.glyphs else run.text)
                moved = run.width / 1000.0 * line.size_pt
                x, y = x + c * moved, y + s * moved
        self._canvas.drawText(set_text)

    def _called(self, run: typesetting.GlyphRun) -> ttfonts.ShapedStr:
        """The run's glyphs by the characters that call them, and where each is set."""
        font, codes = embedded(run.font), self._codes.setdefault(run.font, {})
        called, places = "", []
        for glyph in run.glyphs:
            code = codes.setdefault((glyph.number, glyph.text), chr(_FIRST_CODE + len(codes)))
            width = run.font.advance(glyph.number) if glyph.advance else 0.0
            font.face.charToGlyph[ord(code)], font.face.charWidths[ord(code)] = glyph.number, width
            called += code
            places.append(ttfonts.ShapeData(0, glyph.advance, 0, glyph.dx, glyph.dy, width))
        font.said = {ord(code): said for (_, said), code in codes.items()}
        return ttfonts.ShapedStr(called, places)
