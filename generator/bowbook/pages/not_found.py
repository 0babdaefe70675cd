"""The page for an address that leads nowhere. It may be shown at any depth, so it links by the full address only."""

from __future__ import annotations

from msgspec import Struct


class LostPage(Struct, frozen=True):
    """What the page says."""

    title: str
    description: str
    lead: str


def not_found() -> LostPage:
    """The page as its template takes it."""
    return LostPage(
        "Nothing hangs here",
        "This address leads nowhere.",
        "The page you asked for is not in this book. It may have been renamed, or the kite given another key.",
    )
