"""Every chart of a book by name."""

from __future__ import annotations

from msgspec.structs import replace

from bowbook.book.records import Round
from bowbook.charts import (
    batch,
    bench,
    bow,
    comfort,
    evening,
    halves,
    loading,
    rereads,
    share,
    side_by_side,
    winds_beside,
)
from bowbook.charts.sheet import Drawing
from bowbook.charts.tables import ChartTable
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BatchFindings, BookFindings, Drift, Findings, RoundFindings, Spread


def charts(book: BookFindings) -> dict[str, Drawing | None]:
    """Every chart there is, of the book and of its first and last kite."""
    kites = list(book.kites.values())
    found: dict[str, Drawing | None] = {}
    for kite in (kites[0], kites[-1]):
        found[f"bench {kite.kite.key}"] = bench.bench_chart(kite, book)
        found[f"bow {kite.kite.key}"] = bow.bow_chart(kite, book)
        found[f"comfort {kite.kite.key}"] = comfort.comfort_chart(kite, book)
    found["flyer"] = comfort.flyer_chart(book, "MK")
    found["loading"] = loading.loading_chart(book, "MK")
    found["halves"] = halves.halves_chart(book)
    found["share"] = share.share_chart(book)
    found["evening"] = evening.balance_chart(book)
    found["sails"] = side_by_side.sails_beside(kites[:4], book)
    found["bows"] = side_by_side.bows_beside(kites[:4], book)
    found["winds"] = winds_beside.winds_beside(kites[:4], book)
    found["batch"] = batch.batch_chart("Plover", built_together(book), kites[:11], book)
    found["rereads"] = rereads.rereads_chart(reread(kites[0]), book)
    return found


def built_together(book: BookFindings) -> BatchFindings:
    """All kites of the book as one batch."""
    read = [f.bow.left.press_N.value for f in book.kites.values() if f.bow.left.press_N]
    return BatchFindings(tuple(book.kites), Spread(sum(read) / len(read), 0.05, len(read)) if read else None)


def reread(kite: Findings) -> Findings:
    """A kite whose bow is said to have changed by itself over all the days on which it was read."""
    judged = sorted((one for one in kite.balance.rounds if one.on), key=lambda one: one.on or "")
    if not judged:
        return kite
    rounds = {f"bench.{n}": RoundFindings(Round(one.on), one, None, 0) for n, one in enumerate(judged)}
    drift = Drift(judged[0].on, judged[-1].on, Measured(-0.06, 0.01), 0.02, rounds=tuple(rounds))
    return replace(kite, drift=drift, rounds=rounds)


def tabled(book: BookFindings) -> dict[str, ChartTable]:
    """The table under each of them."""
    kites = list(book.kites.values())
    return {
        "bench": bench.bench_rows(kites[0], book),
        "bow": bow.bow_rows(kites[0], book),
        "comfort": comfort.comfort_rows(kites[0], book, "MK"),
        "flyer": comfort.flyer_rows(book, "MK"),
        "loading": loading.loading_rows(book, "MK"),
        "halves": halves.halves_rows(book),
        "share": share.share_rows(book),
        "evening": evening.balance_rows(book),
        "sails": side_by_side.sails_rows(kites[:4], book),
        "bows": side_by_side.bows_rows(kites[:4], book),
        "winds": winds_beside.winds_rows(kites[:4], book),
        "batch": batch.batch_rows(kites, book),
        "rereads": rereads.rereads_rows(reread(kites[0]), book),
    }
