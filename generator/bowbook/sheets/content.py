"""What a sheet says, ready to show: the PDF and the HTML sheet both read these, so no figure is worded twice."""

from __future__ import annotations

from msgspec import Struct

from bowbook.findings.results import BookFindings
from bowbook.sheets.page import Item


class SpecRow(Struct, frozen=True):
    """One figure: its label and its words. `text` is None where it is still to be filled in by hand.

    A blank is shown as an empty line with `unit` after it; `note` (how sure, where from) reads quieter than the text.
    """

    label: str
    text: str | None = None
    unit: str = ""
    note: str = ""


class SpecTable(Struct, frozen=True):
    """A small table: column heads, then rows of as many words; an empty cell is "" and shown empty."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


class SpecSection(Struct, frozen=True):
    """One part of the sheet. `key` is a stable slug: sail, bow, press, shave, mass, bridle, wind, order."""

    key: str
    title: str
    rows: tuple[SpecRow, ...] = ()
    notes: tuple[str, ...] = ()  # whole sentences under the rows
    table: SpecTable | None = None
    drawing: tuple[Item, ...] = ()  # under the rows, in mm from its own top left corner
    drawing_mm: float = 0.0  # its height


class SpecView(Struct, frozen=True):
    """A whole sheet in words. `plan_svg` and `qr_svg` are inline SVG; `qr_svg` is None without an address."""

    key: str
    name: str
    byline: str  # "by M. K., 2026-05-03": maker and date as far as known, else ""
    origin: str  # "Started from NAME by MAKER", else ""
    summary: str
    demonstration: str  # the book's own sentence where it is a demonstration, else ""
    sections: tuple[SpecSection, ...]
    cautions: tuple[str, ...]
    type_back: tuple[str, ...]  # lines of a kite file, to type back
    plan_svg: str  # the dimensioned outline, or an empty frame to sketch in
    address: str | None = None  # of the kite's page
    qr_svg: str | None = None


class PrintedSheet(Struct, frozen=True):
    """A kite's sheet as far as anything shows on it: its words, and the one kite with its book as they are drawn."""

    view: SpecView
    findings: BookFindings
