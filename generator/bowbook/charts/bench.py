"""The bench chart: every round's readings of both halves, what was shaved between, and the skin on at the end."""

from __future__ import annotations

from bowbook.book.records import Press, Reading, Shave
from bowbook.charts import scale
from bowbook.charts.bench_plot import RoundColumn, draw
from bowbook.charts.differences import difference_chart
from bowbook.charts.sheet import Drawing
from bowbook.charts.tables import UNKNOWN, ChartRow, ChartTable
from bowbook.charts.words import day_and_month, day_in_full, leaning, spelled
from bowbook.findings.bench_results import Measured
from bowbook.findings.results import BookFindings, Findings
from bowbook.wording import numbers


def bench_chart(findings: Findings, book: BookFindings) -> Drawing | None:
    """Readings round by round with 95 % bars; differences instead where halves were sagged or drooped, not pressed."""
    columns = _columns(findings, book)
    if not any(c.left or c.right or any(c.repeats) for c in columns):
        return difference_chart(findings, book)
    table = bench_rows(findings, book)
    said = " ".join(
        ". ".join(f"{h}: {c}" for h, c in zip(table.header, row.cells, strict=True) if c != UNKNOWN) + "."
        for row in table.rows
    )
    return Drawing(
        "bench",
        findings.kite.key,
        f"Bench readings of {findings.kite.name}, round by round",
        f"Bars hold the true reading 19 times in 20. {said}",
        lambda board, sheet: draw(board, columns, findings, book, sheet),
    )


def bench_rows(findings: Findings, book: BookFindings) -> ChartTable:
    """Every round in words: readings, difference, verdict, what was shaved after it; then the covered readings."""
    units = book.book.settings.units
    rows = []
    for number, judged in enumerate(findings.balance.rounds):
        done = findings.kite.bench[number].shaves if number < len(findings.kite.bench) else ()
        rows.append(
            ChartRow(
                (
                    f"{number + 1}" + (f", {day_in_full(judged.on)}" if judged.on else ""),
                    *(spelled(units, "force", m) for m in (judged.left_N, judged.right_N, judged.whole_N)),
                    leaning(judged.difference, book),
                    judged.verdict or UNKNOWN,
                    ", ".join(_shaved(done, book)) or UNKNOWN,
                )
            )
        )
    skin = findings.skin
    if skin.left_N or skin.right_N:
        cells = (spelled(units, "force", m) for m in (skin.left_N, skin.right_N))
        rows.append(ChartRow(("skin on", *cells, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN)))
    header = ("Round", "Left half", "Right half", "Whole bow", "Difference, 95 %", "Verdict", "Then shaved")
    empty = {i for i in range(1, len(header)) if all(row.cells[i] == UNKNOWN for row in rows)}
    kept = [i for i in range(len(header)) if i not in empty]
    return ChartTable(
        tuple(header[i] for i in kept), tuple(ChartRow(tuple(row.cells[i] for i in kept)) for row in rows)
    )


def _label(findings: Findings, number: int) -> str:
    """A round by its day; its number too where several share the day."""
    days = [judged.on for judged in findings.balance.rounds]
    day = days[number]
    if day is None:
        return f"round {number + 1}"
    return day_and_month(day) if days.count(day) == 1 else f"{day_and_month(day)} · {days[: number + 1].count(day)}"


def _shaved(shaves: tuple[Shave, ...], book: BookFindings) -> tuple[str, ...]:
    """What was taken off, in short pieces."""
    pieces: list[str] = []
    for shave in shaves:
        pieces.append(shave.side)
        if shave.zone:
            pieces.append(shave.zone.label)
        if shave.strokes is not None:
            pieces.append(f"{shave.strokes} stroke" + ("s" if shave.strokes != 1 else ""))
        if shave.taken_m is not None:
            pieces.append(numbers.shaved(shave.taken_m, book.book.settings.units))
    return tuple(pieces)


def _columns(findings: Findings, book: BookFindings) -> list[RoundColumn]:
    unit = scale.shown("force", book.book.settings.units)

    def figure(measured: Measured | None) -> Measured | None:
        return Measured(unit(measured.value), unit(measured.spread)) if measured else None

    def texts(left: Measured | None, right: Measured | None) -> tuple[str, str]:
        return spelled(book.book.settings.units, "force", left), spelled(book.book.settings.units, "force", right)

    def repeats(reading: Reading | None) -> tuple[float, ...]:
        return tuple(unit(v) for v in reading.values_N) if isinstance(reading, Press) else ()

    columns = []
    for number, judged in enumerate(findings.balance.rounds):
        done = findings.kite.bench[number] if number < len(findings.kite.bench) else None
        single = (repeats(done.left), repeats(done.right)) if done else ((), ())
        label = _label(findings, number)
        halves = (judged.left_N, judged.right_N)
        figures = (figure(judged.left_N), figure(judged.right_N), figure(judged.whole_N))
        columns.append(RoundColumn(label, *figures, texts(*halves), single, _shaved(done.shaves if done else (), book)))
    covered, skin = findings.kite.covered, findings.skin
    if covered and (covered.left or covered.right):
        single = (repeats(covered.left), repeats(covered.right))
        said = texts(skin.left_N, skin.right_N)
        columns.append(
            RoundColumn("skin on", figure(skin.left_N), figure(skin.right_N), None, said, single, covered=True)
        )
    return columns
