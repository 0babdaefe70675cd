"""Kites beside each other, figure by figure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from bowbook.book.records import Bow, Kite, Units
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import leaning
from bowbook.findings.bench_results import Measured, Shape, Shaving
from bowbook.findings.results import BookFindings, Findings
from bowbook.pages.kite_row import halves_words
from bowbook.wording import answers, balance, numbers

HEAD = (
    "Kite",
    "Likes",
    "Even?",
    "First round, 95 %",
    "Left / right half",
    "Bow and skin",
    "Skin's part",
    "Flexes at",
    "Least wind",
    "Sail area",
    "Sail loading",
    "Mass",
    "Bow",
    "Tip to tip",
)


class Compared(Struct, frozen=True):
    """One kite as far as kites are held against each other: its findings for the charts, its cells for the table."""

    findings: Findings
    cells: tuple[str, ...]  # in the order of the head


def compared(kite: Findings, book: BookFindings, ratings: Mapping[str, Mapping[str, float]]) -> Compared:
    """A kite as the page of comparisons takes it, with how its flyers marked it."""
    return Compared(replace(as_compared(kite), ratings=ratings), (kite.kite.name, *_cells(kite, book)))


def as_compared(kite: Findings) -> Findings:
    """A kite as far as kites are held against each other: no bench, story, curve or card; its sail as it is seen."""
    of = kite.kite
    bow = Bow(length_m=of.bow.length_m, span_m=of.bow.span_m, crosses_m=of.bow.crosses_m)
    sail = replace(of.sail, corners=(), decoration=None)
    record = Kite(of.key, of.name, bow=bow, mass_kg=of.mass_kg, sail=sail)
    return replace(kite, kite=record, shave=Shaving(), shape=Shape(), tow=None, wanting={}, assumed=(), warnings=())


def beside_table(kites: Sequence[Findings], book: BookFindings) -> ChartTable:
    """A row for each figure, a column for each kite; figures nobody has are left out."""
    columns = [_cells(kite, book) for kite in kites]
    rows = [ChartRow((label, *cells)) for label, *cells in zip(HEAD[1:], *columns, strict=True)]
    return ChartTable(
        ("Figure", *(kite.kite.name for kite in kites)),
        tuple(row for row in rows if any(cell != UNKNOWN for cell in row.cells[1:])),
    )


def _cells(kite: Findings, book: BookFindings) -> tuple[str, ...]:
    """One kite's figures, in the order of the head after its name."""
    units = book.book.settings.units
    rounds = [r.difference for r in kite.balance.rounds if r.difference]
    wind, sail, bow = kite.wind, kite.sail, kite.kite.bow
    likes = answers.likes(kite, units)
    return (
        UNKNOWN if likes is None else f"{likes}, predicted" if wind.basis == "predicted" else likes,
        balance.short_even(kite, units)[0],
        leaning(rounds[0], book) if len(rounds) > 1 else UNKNOWN,
        halves_words(kite, units) or UNKNOWN,
        _measured(kite.total, "rigidity", units),
        numbers.share(kite.skin.share, units) if kite.skin.share is not None else UNKNOWN,
        _measured(wind.flex_m_s, "wind", units),
        _plain(wind.least_m_s, "wind", units),
        _plain(sail.area_m2, "area", units),
        _plain(sail.loading_kg_m2, "areal", units),
        _plain(kite.kite.mass_kg, "mass", units),
        _plain(bow.length_m, "length", units),
        _plain(bow.span_m, "length", units),
    )


def _plain(value: float | None, kind: str, units: Units) -> str:
    return UNKNOWN if value is None else numbers.plain(value, kind, units)


def _measured(figure: Measured | None, kind: str, units: Units) -> str:
    return UNKNOWN if figure is None else numbers.measured(figure, kind, units)
