"""Paper: a page that is drawn on in millimetres from its top left corner, and pages made into a PDF."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from bowbook.site.sheets import fonts

PAPERS: dict[str, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}  # ISO 216; 8.5 × 11 in
MARGIN_MM = 10.0
CUT_MM = 0.3  # line width that means: cut here
_POINT_MM = 25.4 / 72.0
# Type 42 keeps text as text. How many letters one embedded font may hold is asked of the PostScript setting, so that
# is set too: else every sign beyond Latin-1 would bring a second font.
_SETTINGS: Any = {"pdf.fonttype": 42, "ps.fonttype": 42, "pdf.compression": 6, "path.simplify": False}

Point = tuple[float, float]
Anchor = Literal["left", "centre", "right"]


@dataclass(frozen=True, slots=True)
class Line:
    """A stroked path through `points`, mm; dashes in mm; `fill` is a grey from 0 to 1 inside it."""

    points: tuple[Point, ...]
    width_mm: float = 0.15
    dash: tuple[float, ...] = ()
    closed: bool = False
    fill: float | None = None


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text. `x`, `y` is where its baseline starts, is centred, or ends."""

    x: float
    y: float
    text: str
    size_pt: float = 8.0
    bold: bool = False
    anchor: Anchor = "left"
    angle: float = 0.0
    grey: float = 0.0

    def start(self) -> Point:
        """Where the baseline begins, mm."""
        import math

        back = {"left": 0.0, "centre": 0.5, "right": 1.0}[self.anchor] * self.width()
        turn = math.radians(self.angle)
        return self.x - back * math.cos(turn), self.y + back * math.sin(turn)

    def width(self) -> float:
        """Set width, mm."""
        return fonts.width_mm(self.text, self.size_pt, self.bold)


Item = Line | Words


@dataclass(slots=True)
class Page:
    """One page, being drawn."""

    width: float
    height: float
    items: list[Item] = field(default_factory=list)
    what: str = ""  # what the header says of this page; empty on the first, which has its own

    def line(
        self, points: Iterable[Point], width_mm: float = 0.15, dash: Sequence[float] = (), closed: bool = False
    ) -> None:
        """Draw a line through the points."""
        self.items.append(Line(tuple(points), width_mm, tuple(dash), closed))

    def words(
        self,
        x: float,
        y: float,
        text: str,
        size_pt: float = 8.0,
        bold: bool = False,
        anchor: Anchor = "left",
        angle: float = 0.0,
    ) -> None:
        """Set one line of text, with signs that no font has made readable."""
        if text := fonts.readable(text):
            self.items.append(Words(x, y, text, size_pt, bold, anchor, angle))

    def place(self, items: Iterable[Item]) -> None:
        """Add items drawn elsewhere."""
        self.items.extend(items)


def blank_page(paper: str, what: str = "") -> Page:
    """An empty page of a4 or letter."""
    return Page(*PAPERS[paper], what=what)


def write_pdf(pages: Sequence[Page], title: str, author: str | None) -> bytes:
    """The pages as a PDF with real text; the same pages give the same bytes."""
    import matplotlib
    from matplotlib.backends.backend_pdf import FigureCanvasPdf, PdfPages
    from matplotlib.figure import Figure

    stream = io.BytesIO()
    facts = {"Title": title, "Creator": "bowbook", "CreationDate": None, "ModDate": None}
    if author:
        facts["Author"] = author
    artist = _artist_class()
    with matplotlib.rc_context(_SETTINGS):
        book: Any = PdfPages(stream, metadata=facts)
        for page in pages:
            figure = Figure(figsize=(page.width / 25.4, page.height / 25.4), frameon=False)
            figure.add_artist(artist(page))
            canvas: Any = FigureCanvasPdf(figure)
            canvas.print_pdf(book)
        book.close()
    return stream.getvalue()


_made: list[Any] = []


def _artist_class() -> Any:
    """The artist that puts a page's items on paper; made late, so that matplotlib loads only when drawing."""
    if _made:
        return _made[0]
    from matplotlib.artist import Artist
    from matplotlib.path import Path
    from matplotlib.transforms import Affine2D

    class PageArtist(Artist):
        """Draws a page's items straight through the renderer: no layout pass is wanted, all places are known."""

        def __init__(self, page: Page) -> None:
            super().__init__()
            self.page = page

        def draw(self, renderer: Any) -> None:
            """Put every item on paper, in order."""
            k = 1.0 / _POINT_MM
            place = Affine2D().scale(k, -k).translate(0.0, self.page.height * k)
            for item in self.page.items:
                gc = renderer.new_gc()
                if isinstance(item, Line):
                    gc.set_linewidth(item.width_mm * k)
                    gc.set_capstyle("butt" if item.dash else "round")
                    gc.set_joinstyle("miter")
                    if item.dash:
                        gc.set_dashes(0, [d * k for d in item.dash])
                    points = [*item.points, item.points[0]] if item.closed else item.points
                    grey = None if item.fill is None else (item.fill,) * 3
                    renderer.draw_path(gc, Path(points, closed=item.closed), place, grey)
                else:
                    gc.set_foreground((item.grey,) * 3)
                    self._set(renderer, gc, item, k)
                gc.restore()

        def _set(self, renderer: Any, gc: Any, item: Words, k: float) -> None:
            properties = fonts.face(item.text, item.bold).properties.copy()
            properties.set_size(item.size_pt)
            x, y = item.start()
            renderer.draw_text(gc, x * k, (self.page.height - y) * k, item.text, properties, item.angle)

    _made.append(PageArtist)
    return PageArtist
