"""The sheet of one kite: the spec in words for the page, and the printable PDF with its full-size pattern."""

from __future__ import annotations

from bowbook.site.sheets.view import Row, Section, SpecView, Table

__all__ = ["Row", "Section", "SpecView", "Table"]
