"""A kite's sheet as a page that prints on one side of paper."""

from __future__ import annotations

import string

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Kite
from bowbook.findings.compute import Winds, finished
from bowbook.findings.results import BookFindings, Findings, LearntStrokes
from bowbook.pages.markup import SafeHtml
from bowbook.sheets import building_order
from bowbook.sheets.content import PrintedSheet, SpecView


class SheetPage(Struct, frozen=True):
    """What a sheet shows."""

    title: str
    description: str
    spec: SpecView
    plan: SafeHtml
    bend: SafeHtml | None
    code: SafeHtml | None
    folder: str


def printed_sheet(book: BookFindings, key: str) -> PrintedSheet:
    """All that shows on a kite's sheet, on the page and on paper; `book` need only have this kite."""
    from bowbook.sheets.sheet import printed

    return printed(book, key)


def sheet_page(sheet: PrintedSheet) -> SheetPage:
    """The page as its template takes it."""
    from bowbook.sheets.bend import BEND_MM
    from bowbook.sheets.kite_drawing import as_svg

    spec, key = sheet.view, sheet.view.key
    bow = next(section for section in spec.sections if section.key == "bow")
    return SheetPage(
        title=f"{spec.name}: sheet",
        description=f"Everything needed to build {spec.name}, on one side of paper.",
        spec=spec,
        plan=SafeHtml(spec.plan_svg),
        bend=SafeHtml(as_svg(bow.drawing, *BEND_MM, "Which way the bow bends", bow.notes[0], f"{key}-bend"))
        if bow.drawing
        else None,
        code=SafeHtml(spec.qr_svg) if spec.qr_svg else None,
        folder=f"kites/{key}",
    )


def for_sheet(kite: Kite) -> Kite:
    """The record as far as it stands on a sheet: no flights, no photos, and of its story the order of building."""
    order, lines = building_order.building_steps(kite.story), kite.story.split("\n")
    short = "\n\n".join(line for line in lines if line.lstrip()[:1] in ("#", *string.digits)) if order else ""
    story = short if building_order.building_steps(short) == order else kite.story
    return replace(kite, flights=(), photos=(), story=story, story_line=0)


def on_sheet(book: BookFindings, kite: Kite, alone: Findings, winds: Winds, learnt: LearntStrokes) -> BookFindings:
    """The book with the one kite that the sheet is of."""
    found = finished(kite, alone, winds, learnt)
    records = replace(book.book, kites={kite.key: found.kite})
    return replace(book, book=records, kites={kite.key: found})
