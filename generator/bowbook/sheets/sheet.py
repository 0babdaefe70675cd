"""The sheet of one kite: the spec in words for the page, and the printable PDF with its full-size pattern."""

from __future__ import annotations

from functools import lru_cache
from typing import Any
from urllib.parse import quote

from msgspec.structs import replace

from bowbook.book.records import Book, Kite
from bowbook.findings.bench_results import Shape
from bowbook.findings.results import BookFindings, Findings
from bowbook.format.write_kite import kite_lines, stock_lines
from bowbook.sheets import header_footer, layout, pattern, strip, wording
from bowbook.sheets.content import PrintedSheet, SpecView
from bowbook.sheets.kite_drawing import as_svg, draw_plan
from bowbook.sheets.outline import lay_flat
from bowbook.sheets.page import PAPERS, Item, PaperPage
from bowbook.wording import numbers

_TOO_LARGE = "This sail is too large to print and paste together: draw it from these figures."
_PLAN_MM = (92.0, 96.0)  # of the drawing on the site's page


def spec_view(findings: BookFindings, key: str) -> SpecView:
    """A kite's sheet in words, with its drawing and its square code as inline SVG.

    Raises KeyError for a key that is no kite of this book.
    """
    book, f = findings.book, findings.kites[key]
    units = book.settings.units
    flat = lay_flat(f, book.settings.seam_m)
    address = kite_url(book, key)
    width, height = _PLAN_MM
    drawn = draw_plan(f, flat, units, width, height)
    told = " ".join(item.text + "." for item in drawn if hasattr(item, "text"))
    return SpecView(
        key=key,
        name=f.kite.name,
        byline=_byline(book, f.kite),
        origin=_origin(f.kite),
        summary=f.kite.summary or "",
        demonstration=book.settings.demonstration or "",
        sections=wording.sections(findings, key, flat),
        cautions=wording.CAUTIONS,
        type_back=_type_back(book, f.kite),
        plan_svg=as_svg(drawn, width, height, f"{f.kite.name} with its dimensions", told, key),
        address=address,
        qr_svg=_qr_svg(address) if address else None,
    )


def sheet_pdf(findings: BookFindings, key: str, paper: str | None = None) -> bytes:
    """A kite's sheet as a PDF: one page of spec, then the sail pattern and the bow strip at full size.

    The same findings give the same bytes. `paper` and what is raised are those of `sheet_pages`.
    """
    from bowbook.sheets.pdf import write_pdf

    kite, maker = findings.kites[key].kite, findings.book.settings.maker
    return write_pdf(sheet_pages(findings, key, paper), kite.name, maker)


def sheet_pages(findings: BookFindings, key: str, paper: str | None = None) -> list[PaperPage]:
    """The pages of a kite's sheet, drawn but not yet a PDF; `paper` is the book's own where it is None.

    Raises KeyError for a key that is no kite of this book, ValueError for a paper that is neither a4 nor letter.
    """
    return pages_of(printed(findings, key), paper or findings.book.settings.paper)


def printed(findings: BookFindings, key: str) -> PrintedSheet:
    """A kite's sheet in words, and what of its figures the drawings show: no ± and no verdict is drawn.

    Raises KeyError for a key that is no kite of this book.
    """
    f = findings.kites[key]
    drawn = Findings(f.kite, sail=f.sail, shape=Shape(curve=f.shape.curve), tow=f.tow)
    return PrintedSheet(spec_view(findings, key), BookFindings(replace(findings.book, kites={}), {key: drawn}))


def pages_of(sheet: PrintedSheet, paper: str) -> list[PaperPage]:
    """The pages of a sheet, drawn but not yet a PDF; nothing shows on them that is not of the printed sheet.

    Raises ValueError for a paper that is neither a4 nor letter.
    """
    view, findings, key = sheet.view, sheet.findings, sheet.view.key
    book, f = findings.book, findings.kites[key]
    if paper not in PAPERS:
        raise ValueError(f"paper {paper!r}: a4 or letter")
    flat = lay_flat(f, book.settings.seam_m)
    units = book.settings.units

    def plan(width: float, height: float) -> tuple[Item, ...]:
        return draw_plan(f, flat, units, width, height)

    laid = pattern.lay_out(flat, paper, lambda m: numbers.ruled(m, units)) if flat else None
    note = _TOO_LARGE if flat and laid is None else ""
    qr = _qr_rows(view.address) if view.address else None
    first, type_back_fits = layout.page_one(view, plan, qr, paper, note)
    pages: list[PaperPage] = [first, *([] if type_back_fits else layout.type_back_pages(view, paper))]
    if laid is not None:
        pages += pattern.pages(laid, paper)
    pages += strip.pages(findings, key, paper)
    header_footer.first_foot(first, len(pages))
    for n, page in enumerate(pages[1:], 2):
        header_footer.header(page, f.kite.name, n, len(pages))
        header_footer.check_bars(page)
    return pages


def kite_url(book: Book, key: str) -> str | None:
    """The address of the kite's own page, where the site's is known."""
    address = book.settings.address
    return f"{address.rstrip('/')}/kites/{quote(key)}/index.html" if address else None


def _byline(book: Book, kite: Kite) -> str:
    maker = f"by {book.settings.maker}" if book.settings.maker else ""
    return ", ".join(w for w in (maker, f"made {kite.made}" if kite.made else "") if w)


def _origin(kite: Kite) -> str:
    origin = kite.origin
    if origin is None or not (origin.kite or origin.maker):
        return ""
    maker = f" by {origin.maker}" if origin.maker else ""
    address = f", {origin.address}" if origin.address else ""
    return f"Started from {origin.kite or 'a kite'}{maker}{address}"


def _type_back(book: Book, kite: Kite) -> tuple[str, ...]:
    rods, skins = stock_lines(book, kite)
    lines = list(kite_lines(kite, book.settings.units))
    if rods:
        lines += ["# content/stock/rods.yaml", *rods]
    if skins:
        lines += ["# content/stock/skins.yaml", *skins]
    return tuple(lines)


@lru_cache(maxsize=4)
def _code(address: str) -> Any:
    import segno

    return segno.make(address, error="m", micro=False)


def _qr_rows(address: str) -> tuple[str, ...]:
    return tuple("".join("1" if module else "0" for module in row) for row in _code(address).matrix)


def _qr_svg(address: str) -> str:
    svg: str = _code(address).svg_inline(omitsize=True, svgclass="qr", lineclass=None, title=address, border=2)
    return svg
