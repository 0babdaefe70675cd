"""Page one: the whole spec on one side of one page, whatever the kite's name and however much is known."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby

from msgspec import Struct, structs

from bowbook.sheets import header_footer, typesetting
from bowbook.sheets.content import SpecRow, SpecSection, SpecTable, SpecView
from bowbook.sheets.page import MARGIN_MM, Item, Line, PaperPage, blank_page

_SIZES_PT = (9.0, 8.5, 8.0, 7.5, 7.0, 6.5, 6.0, 5.5, 5.0, 4.5)
_LEFT = ("sail", "mass", "bridle")
_GUTTER_MM = 7.0
_PENCIL_MM = 1.0  # more room over a blank than over print
_PLAN_LEAST_MM = 62.0
_QR_MM = 21.0
_SMALL_PT = 5.8
_SMALL_LINES = 13  # of the file to type back that page one has room for, in each of two columns
_MOST_ROWS = 8  # of one section on paper; the page on the site has the rest
_LONGEST = 150  # letters of one figure or name on paper

Drawing = Callable[[float, float], Sequence[Item]]


class _Fit(Struct, frozen=True):
    """One try at the page: type size, and where its parts come to stand, mm."""

    size: float
    columns_top: float
    columns_bottom: float
    left_height: float


def page_one(
    view: SpecView, plan: Drawing, qr: Sequence[str] | None, paper: str, pattern_note: str = ""
) -> tuple[PaperPage, bool]:
    """The spec page, and whether the file to type back fits on it. The note goes with the sail's figures."""
    page = blank_page(paper)
    sections = tuple(_kept_short(s) for s in view.sections)
    if pattern_note:
        sections = tuple(structs.replace(s, notes=(*s.notes, pattern_note)) if s.key == "sail" else s for s in sections)
    small = _small_print(view.type_back, (page.width - 2 * MARGIN_MM - _GUTTER_MM) / 2, _SMALL_PT)
    type_back_fits = len(small) <= 2 * _SMALL_LINES
    fit = next(f for f in _tries(view, sections, small if type_back_fits else [], qr is not None, paper) if f)
    left, right = MARGIN_MM, page.width - MARGIN_MM
    wide = (right - left - _GUTTER_MM) / 2
    _header(page, view, qr)
    plan_height = fit.columns_bottom - fit.columns_top - fit.left_height
    page.place(_moved(item, left, fit.columns_top) for item in plan(wide, plan_height))
    _column(page, _side(sections, left=True), left, fit.columns_top + plan_height, wide, fit.size)
    _column(page, _side(sections, left=False), left + wide + _GUTTER_MM, fit.columns_top, wide, fit.size)
    y = _cautions(page, view.cautions, fit.columns_bottom, fit.size)
    if type_back_fits:
        _type_back(page, small, y)
    else:
        page.words(left, y + 4.0, "The kite file to type back is on the next page.", 7.0)
    header_footer.check_bars(page)
    return page, type_back_fits


def _tries(view: SpecView, sections: tuple[SpecSection, ...], small: list[str], qr: bool, paper: str) -> Iterator[_Fit]:
    """Ever smaller type until everything stands on the page; the last is taken as it comes."""
    blank = blank_page(paper)
    right, bottom = blank.width - MARGIN_MM, blank.height - MARGIN_MM - header_footer.BARS_MM
    wide = (right - MARGIN_MM - _GUTTER_MM) / 2
    top = _header(blank_page(paper), view, [""] if qr else None)
    for size in _SIZES_PT:
        scratch = blank_page(paper)
        small_mm = _type_back(scratch, small, 0.0) if small else 6.0
        band = _cautions(scratch, view.cautions, 0.0, size) + small_mm
        left_mm = _column(scratch, _side(sections, left=True), 0.0, 0.0, wide, size)
        right_mm = _column(scratch, _side(sections, left=False), 0.0, 0.0, wide, size)
        free = bottom - band - top
        if max(right_mm, left_mm + _PLAN_LEAST_MM) <= free or size == _SIZES_PT[-1]:
            yield _Fit(size, top, bottom - band, min(left_mm, free - _PLAN_LEAST_MM))


def _side(sections: tuple[SpecSection, ...], *, left: bool) -> list[SpecSection]:
    return [s for s in sections if (s.key in _LEFT) == left]


def _kept_short(section: SpecSection) -> SpecSection:
    """The section with what no page has room for left out, and said so."""

    def short(text: str) -> str:
        return text if len(text) <= _LONGEST else text[: _LONGEST - 1].rstrip() + "…"

    rows = [
        structs.replace(r, label=short(r.label), text=None if r.text is None else short(r.text), note=short(r.note))
        for r in section.rows
    ]
    if len(rows) > _MOST_ROWS:
        more = len(rows) - _MOST_ROWS + 1
        rows = [*rows[: _MOST_ROWS - 1], SpecRow("…", f"and {more} more, on the kite's page")]
    return structs.replace(section, rows=tuple(rows))


def pitch(size_pt: float) -> float:
    """From one baseline to the next, mm."""
    return size_pt * 25.4 / 72.0 * 1.27


def _moved(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Line):
        return structs.replace(item, points=tuple((x + dx, y + dy) for x, y in item.points))
    return structs.replace(item, x=item.x + dx, y=item.y + dy)


def _header(page: PaperPage, view: SpecView, qr: Sequence[str] | None) -> float:
    """Name, maker, date, where it comes from; gives the height where the columns may begin."""
    right = page.width - MARGIN_MM
    room = right - MARGIN_MM - (_QR_MM + 5.0 if qr is not None else 0.0)
    y = _name(page, view.name, room)
    lines = [view.byline, view.origin, view.summary, view.demonstration, view.address or ""]
    for text in lines:
        for line in _at_most(typesetting.wrapped(text, 8.0, room), 2) if text else ():
            y += pitch(8.0)
            page.words(MARGIN_MM, y, line, 8.0)
    if qr is not None:
        _qr(page, qr, right - _QR_MM, MARGIN_MM)
        y = max(y, MARGIN_MM + _QR_MM)
    page.line([(MARGIN_MM, y + 2.5), (right, y + 2.5)], 0.3)
    return y + 5.0


def _name(page: PaperPage, name: str, room: float) -> float:
    """The kite's name, as large as one line or two allow."""
    for size, most in ((22.0, 1), (18.0, 1), (15.0, 1), (13.0, 2), (11.0, 2), (9.0, 3)):
        lines = typesetting.wrapped(name, size, room, bold=True)
        if len(lines) <= most:
            break
    y = MARGIN_MM + size * 0.28
    for n, line in enumerate(_at_most(lines, most)):
        y += pitch(size) if n else 0.0
        page.words(MARGIN_MM, y, line, size, bold=True)
    return y + 1.5


def _at_most(lines: list[str], most: int) -> list[str]:
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1].rstrip() + " …"]


def _qr(page: PaperPage, rows: Sequence[str], x: float, y: float) -> None:
    """The square code: one filled strip for every run of dark modules."""
    if not rows[0]:
        return
    d = _QR_MM / len(rows)
    for r, row in enumerate(rows):
        end = 0
        for module, run in groupby(row):
            start, end = end, end + len(list(run))
            if module == "1":
                a, b, t, u = x + start * d, x + end * d, y + r * d, y + (r + 1) * d
                page.items.append(Line(((a, t), (b, t), (b, u), (a, u)), 0.01, (), True, 0.0))


def _column(page: PaperPage, sections: Sequence[SpecSection], x: float, y: float, wide: float, size: float) -> float:
    for section in sections:
        y = _section(page, section, x, y, wide, size)
    return y


def _section(page: PaperPage, section: SpecSection, x: float, y: float, wide: float, size: float) -> float:
    """One section under its title; gives the height where the next may begin."""
    page.line([(x, y + 1.2), (x + wide, y + 1.2)], 0.15)
    y += 1.2 + pitch(size + 0.5)
    page.words(x, y, section.title, size + 0.5, bold=True)
    y += 0.6
    for row in section.rows:
        y = _row(page, row, x, y, wide, size)
    if section.drawing:
        page.place(_moved(item, x, y + 1.0) for item in section.drawing)
        y += 1.0 + section.drawing_mm
    if section.table:
        y = _table(page, section.table, x, y, wide, size)
    for note in section.notes:
        for line in typesetting.wrapped(note, size - 0.5, wide):
            y += pitch(size - 0.5)
            page.words(x, y, line, size - 0.5)
    return y + 1.6


def _row(page: PaperPage, row: SpecRow, x: float, y: float, wide: float, size: float) -> float:
    label_mm = wide * 0.33
    value_x, value_mm = x + label_mm, wide - label_mm
    labels = typesetting.wrapped(row.label, size, label_mm - 2.0)
    y += _PENCIL_MM if row.text is None else 0.0
    for n, line in enumerate(labels):
        page.words(x, y + (n + 1) * pitch(size), line, size)
    end = y + len(labels) * pitch(size)
    if row.text is None:
        return max(end, _blank(page, row, value_x, y, value_mm, size))
    lines = typesetting.wrapped(row.text, size, value_mm, bold=True)
    for line in lines:
        y += pitch(size)
        page.words(value_x, y, line, size, bold=True)
    if row.note:
        used = typesetting.width_mm(lines[-1], size, True)
        y = _note(page, typesetting.printable(row.note), used, value_x, y, value_mm, size)
    return max(end, y)


def _note(page: PaperPage, note: str, used: float, x: float, y: float, wide: float, size: float) -> float:
    """A quieter remark after the figure: on the same line if it fits, else below."""
    gap = 1.8
    if used + gap + typesetting.width_mm(note, size - 1.0) <= wide:
        page.words(x + used + gap, y, note, size - 1.0)
        return y
    for line in typesetting.wrapped(note, size - 1.0, wide):
        y += pitch(size - 1.0)
        page.words(x, y, line, size - 1.0)
    return y


def _blank(page: PaperPage, row: SpecRow, x: float, y: float, wide: float, size: float) -> float:
    """A line to write on, with the unit after it."""
    y += pitch(size)
    unit = typesetting.printable(row.unit)
    unit_mm = typesetting.width_mm(unit, size - 1.0) + 1.5 if unit else 0.0
    page.line([(x, y + 0.4), (x + max(12.0, wide - unit_mm), y + 0.4)], 0.12)
    page.words(x + wide, y, unit, size - 1.0, anchor="right")
    return y


def _table(page: PaperPage, table: SpecTable, x: float, y: float, wide: float, size: float) -> float:
    columns = len(table.head)
    room = wide / columns
    heads = [typesetting.wrapped(h, size - 1.0, room - 2.0) for h in table.head]
    tall = max(len(h) for h in heads)
    for c, head in enumerate(heads):
        for n, line in enumerate(head):
            page.words(x + c * room, y + (n + 1) * pitch(size - 1.0), line, size - 1.0)
    y += tall * pitch(size - 1.0) + 0.8
    page.line([(x, y), (x + wide, y)], 0.1)
    for cells in table.rows:
        y += pitch(size)
        for c, cell in enumerate(cells):
            short = typesetting.shortened(cell, size, room - 1.0, c > 0)
            page.words(x + c * room, y, short, size, bold=c > 0)
    return y + 0.6


def _cautions(page: PaperPage, cautions: Sequence[str], y: float, size: float) -> float:
    """The cautions in two columns across the foot of the page."""
    small = max(6.0, size - 1.2)
    right = page.width - MARGIN_MM
    wide = (right - MARGIN_MM - _GUTTER_MM) / 2
    page.line([(MARGIN_MM, y + 1.2), (right, y + 1.2)], 0.3)
    y += 1.2 + pitch(small + 0.5)
    page.words(MARGIN_MM, y, "Take care", small + 0.5, bold=True)
    wrapped = [typesetting.wrapped(c, small, wide - 3.0) for c in cautions]
    tall = [len(lines) for lines in wrapped]
    split = min(range(len(tall) + 1), key=lambda n: max(sum(tall[:n]), sum(tall[n:])))
    for column, group in enumerate((wrapped[:split], wrapped[split:])):
        x, at = MARGIN_MM + column * (wide + _GUTTER_MM), y
        for lines in group:
            page.words(x, at + pitch(small), "•", small)
            for line in lines:
                at += pitch(small)
                page.words(x + 3.0, at, line, small)
    return y + max(sum(tall[:split]), sum(tall[split:])) * pitch(small) + 1.8


def _small_print(lines: Sequence[str], wide: float, size: float) -> list[str]:
    """The file's lines broken to fit; what goes on is set in by two spaces, as YAML wants it."""
    broken = []
    for text in lines:
        first, *rest = typesetting.wrapped(text, size, wide - 3.0)
        broken += [first, *(f"  {line}" for line in rest)]
    return broken


def _type_back(page: PaperPage, small: list[str], y: float) -> float:
    """The file to type back, in two columns of small print."""
    right = page.width - MARGIN_MM
    wide = (right - MARGIN_MM - _GUTTER_MM) / 2
    page.line([(MARGIN_MM, y + 1.2), (right, y + 1.2)], 0.15)
    y += 1.2 + pitch(7.0)
    page.words(MARGIN_MM, y, "This kite as a file, to type back: content/kites/NAME.md, between two lines of ---", 6.5)
    return two_columns(page, small, y, wide, _SMALL_PT) + 1.0


def two_columns(page: PaperPage, lines: list[str], y: float, wide: float, size: float) -> float:
    """Small print in two columns; gives the lower end of the longer one."""
    half = (len(lines) + 1) // 2
    for n, line in enumerate(lines):
        column, row = divmod(n, half)
        x = MARGIN_MM + column * (wide + _GUTTER_MM) + (3.0 if line.startswith("  ") else 0.0)
        page.words(x, y + (row + 1) * pitch(size), line, size)
    return y + half * pitch(size)


def type_back_pages(view: SpecView, paper: str) -> list[PaperPage]:
    """The file to type back on pages of its own, where it is too long for page one."""
    size = 8.0
    drawn: list[PaperPage] = []
    left, top, right, bottom = header_footer.room(blank_page(paper))
    wide = (right - left - _GUTTER_MM) / 2
    lines = _small_print(view.type_back, wide, size)
    per_page = 2 * int((bottom - top - 2.0) // pitch(size))
    for start in range(0, len(lines), per_page):
        page = blank_page(paper, "the kite as a file, to type back")
        two_columns(page, lines[start : start + per_page], top, wide, size)
        drawn.append(page)
    return drawn
