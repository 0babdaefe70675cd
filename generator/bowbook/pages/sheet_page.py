"""A kite's sheet as a page that prints on one side of paper."""

from __future__ import annotations

from msgspec import Struct

from bowbook.findings.results import BookFindings
from bowbook.pages.markup import SafeHtml
from bowbook.sheets.bend import BEND_MM
from bowbook.sheets.plan import as_svg
from bowbook.sheets.sheet import SpecView, spec_view


class SheetPage(Struct, frozen=True):
    """What a sheet shows."""

    title: str
    description: str
    spec: SpecView
    plan: SafeHtml
    bend: SafeHtml | None
    code: SafeHtml | None
    folder: str


def sheet_page(book: BookFindings, key: str) -> SheetPage:
    """The page as its template takes it; `book` need only have this kite."""
    spec = spec_view(book, key)
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
