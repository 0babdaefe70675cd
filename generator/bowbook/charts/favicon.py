"""The site's small picture: a bowed kite in the book's accent."""

from __future__ import annotations

import re

from bowbook.charts.style import default_style


def favicon_svg(accent: str | None = None) -> str:
    """A whole SVG file of its own; `accent` is #rrggbb, the notebook's where it is None or is none.

    >>> "#b3123b" in favicon_svg("no colour")
    True
    """
    ink = accent if accent and re.fullmatch(r"#[0-9a-fA-F]{6}", accent) else default_style().card["accent"]
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 64 64">'
        f'<path fill="{ink}" d="M32 3L4 25L32 62Z"/>'
        f'<path fill="{ink}" fill-opacity="0.55" d="M32 3L60 25L32 62Z"/>'
        '<path fill="none" stroke="#ffffff" stroke-width="4" d="M4 25C14 12 24 11 32 11C40 11 50 12 60 25"/></svg>\n'
    )
