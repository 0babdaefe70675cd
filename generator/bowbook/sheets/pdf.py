"""Pages of a sheet to a PDF, straight through matplotlib's writer: every place is known, so nothing is laid out."""

from __future__ import annotations

import contextlib
import io
import math
import os
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

import matplotlib
from matplotlib.backends import backend_pdf
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from bowbook.sheets import fonts
from bowbook.sheets.embedding import Cut, SheetFile, cut_for
from bowbook.sheets.page import Line, Page, Words

_pdf: Any = backend_pdf  # it has no types
_POINTS = 72.0 / 25.4  # in a millimetre
_FACES = {False: "Plain", True: "Bold"}  # what the pages call the base font
# Type 42 keeps text as text. How many letters one embedded font may hold is asked of the PostScript setting, so that
# is set too: else every sign beyond Latin-1 would bring a second font.
_SETTINGS: Any = {"pdf.fonttype": 42, "ps.fonttype": 42, "pdf.compression": 6, "path.simplify": False}


def write_pdf(pages: Sequence[Page], title: str, author: str | None) -> bytes:
    """The pages as a PDF with real text; the same pages give the same bytes."""
    stream = io.BytesIO()
    facts = {"Title": title, "Creator": "bowbook", "CreationDate": None, "ModDate": None}
    if author:
        facts["Author"] = author
    with matplotlib.rc_context(_SETTINGS):
        with _no_day():
            file = SheetFile(stream, facts, _cuts(pages))
        for page in pages:
            wide, high = page.width / 25.4, page.height / 25.4
            file.newPage(wide, high)
            pen = _Pen(file, 72, high, wide)
            pen.draw(page)
            pen.finalize()
        file.finalize()
        file.close()
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


def _cuts(pages: Sequence[Page]) -> dict[str, Cut]:
    """The cuts of the base font that the pages are set in."""
    letters: dict[bool, set[str]] = {}
    for page in pages:
        for item in page.items:
            if isinstance(item, Words) and fonts.face(item.text, item.bold) is None:
                letters.setdefault(item.bold, set()).update(item.text)
    return {_FACES[bold]: cut_for(wanted, bold) for bold, wanted in letters.items()}


class _Pen(_pdf.RendererPdf):  # type: ignore[misc]
    """Puts a page's items on paper, those of one ink together: taking up another pen costs more than drawing.

    All ink is opaque and words stand clear of lines, so it does not matter which comes first.
    """

    def draw(self, page: Page) -> None:
        """Draw all lines, then all words."""
        lines: dict[tuple[object, ...], list[Line]] = {}
        for item in page.items:
            if isinstance(item, Line):
                lines.setdefault((item.width_mm, item.dash, item.fill), []).append(item)
        for alike in lines.values():
            self._stroke(alike, page.height)
        self._set([item for item in page.items if isinstance(item, Words)], page.height)

    def _stroke(self, lines: Sequence[Line], height_mm: float) -> None:
        """Draw lines of one width, dash and fill."""
        one, gc = lines[0], self.new_gc()
        gc.set_linewidth(one.width_mm * _POINTS)
        gc.set_capstyle("butt" if one.dash else "round")
        gc.set_joinstyle("miter")
        if one.dash:
            gc.set_dashes(0, [d * _POINTS for d in one.dash])
        points = [point for line in lines for point in (line.points + line.points[:1] if line.closed else line.points)]
        codes: list[Any] = []
        for line in lines:
            codes += [Path.MOVETO, *[Path.LINETO] * (len(line.points) - 1)]
            codes += [Path.CLOSEPOLY] if line.closed else []
        place = Affine2D().scale(_POINTS, -_POINTS).translate(0.0, height_mm * _POINTS)
        self.draw_path(gc, Path(points, codes), place, None if one.fill is None else (one.fill,) * 3)

    def _set(self, lines: Iterable[Words], height_mm: float) -> None:
        """Set lines of text."""
        gc = self.new_gc()
        self.check_gc(gc, gc.get_rgb())
        for line in lines:
            x, y = line.start()
            x, y = x * _POINTS, (height_mm - y) * _POINTS
            strange = fonts.face(line.text, line.bold)
            if strange is None:
                self.file.write(self._shown(line, x, y))
                continue
            properties = strange.properties.copy()
            properties.set_size(line.size_pt)
            self.draw_text(gc, x, y, line.text, properties, line.angle)

    def _shown(self, line: Words, x: float, y: float) -> bytes:
        """The operators that show a line of text (PDF 1.4, section 5.3)."""
        glyphs = line.text.translate(self.file.cuts[_FACES[line.bold]].codes)
        face = f"/{_FACES[line.bold]} {line.size_pt:g} Tf"
        if not line.angle:
            return f"BT {face} {x:.4f} {y:.4f} Td <{glyphs}> Tj ET\n".encode("ascii")
        turn = math.radians(line.angle)
        c, s = math.cos(turn), math.sin(turn)
        return f"q {c:.6f} {s:.6f} {-s:.6f} {c:.6f} {x:.4f} {y:.4f} cm BT {face} <{glyphs}> Tj ET Q\n".encode("ascii")
