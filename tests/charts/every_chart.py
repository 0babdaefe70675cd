"""Every chart of a book by name, drawn."""

from __future__ import annotations

from bowbook.charts import bench, bow, comfort, evening, halves, liked, share, side_by_side
from bowbook.charts.tables import Table
from bowbook.findings.results import BookFindings


def drawn(book: BookFindings) -> dict[str, str | None]:
    """Every chart there is, of the book and of its first and last kite."""
    kites = list(book.kites.values())
    charts: dict[str, str | None] = {}
    for kite in (kites[0], kites[-1]):
        charts[f"bench {kite.kite.key}"] = bench.bench_chart(kite, book)
        charts[f"bow {kite.kite.key}"] = bow.bow_chart(kite, book)
        charts[f"comfort {kite.kite.key}"] = comfort.comfort_chart(kite, book)
    charts["flyer"] = comfort.flyer_chart(book, "MK")
    charts["stiffness"] = liked.stiffness_chart(book, "MK")
    charts["loading"] = liked.loading_chart(book, "MK")
    charts["halves"] = halves.halves_chart(book)
    charts["share"] = share.share_chart(book)
    charts["evening"] = evening.balance_chart(book)
    charts["sails"] = side_by_side.sails_beside(kites[:4], book)
    charts["bows"] = side_by_side.bows_beside(kites[:4], book)
    charts["winds"] = side_by_side.winds_beside(kites[:4], book)
    return charts


def tabled(book: BookFindings) -> dict[str, Table]:
    """The table under each of them."""
    kites = list(book.kites.values())
    return {
        "bench": bench.bench_rows(kites[0], book),
        "bow": bow.bow_rows(kites[0], book),
        "comfort": comfort.comfort_rows(kites[0], book, "MK"),
        "flyer": comfort.flyer_rows(book, "MK"),
        "stiffness": liked.stiffness_rows(book, "MK"),
        "loading": liked.loading_rows(book, "MK"),
        "halves": halves.halves_rows(book),
        "share": share.share_rows(book),
        "evening": evening.balance_rows(book),
        "sails": side_by_side.sails_rows(kites[:4], book),
        "bows": side_by_side.bows_rows(kites[:4], book),
        "winds": side_by_side.winds_rows(kites[:4], book),
    }
