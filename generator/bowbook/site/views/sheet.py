"""A kite's sheet as a page that prints on one side of paper."""

from __future__ import annotations

from bowbook.book.quick import dataclass
from bowbook.site.pages import Facts
from bowbook.site.sheet import SpecView, spec_view
from bowbook.site.views.drawn import Safe
from bowbook.site.views.facts import book_of


@dataclass(frozen=True, slots=True)
class SheetPage:
    """What a sheet shows."""

    title: str
    description: str
    spec: SpecView
    plan: Safe
    code: Safe | None
    folder: str


def view(facts: Facts) -> SheetPage:
    """The page as its template takes it."""
    key = str(facts["here"])
    spec = spec_view(book_of(facts), key)
    return SheetPage(
        title=f"{spec.name}: sheet",
        description=f"Everything needed to build {spec.name}, on one side of paper.",
        spec=spec,
        plan=Safe(spec.plan_svg),
        code=Safe(spec.qr_svg) if spec.qr_svg else None,
        folder=f"kites/{key}",
    )
