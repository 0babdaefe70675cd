"""The small drawings beside a kite's three answers: how even, how stiff, which wind."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from bowbook.book.records import Units, Wind
from bowbook.book.units import show
from bowbook.charts import scale
from bowbook.charts.flown import FlownRow, flown_chart
from bowbook.charts.labels import wide
from bowbook.charts.plot import Axis
from bowbook.charts.rows import FOOT, from_nothing, rows_plot
from bowbook.charts.sheet import Drawing
from bowbook.findings.bench_results import RoundBalance
from bowbook.findings.results import BookFindings, Findings, Predicted, Range
from bowbook.wording import numbers

if TYPE_CHECKING:
    from bowbook.charts.board import Board
    from bowbook.charts.sheet import Sheet

HEIGHT = 84.0  # px of each drawing's plot
ROUNDS = 3  # as many of the last rounds are drawn


def even_chart(found: Findings, book: BookFindings) -> Drawing | None:
    """The difference of the halves, round by round, on the band that the book calls even."""
    rounds = [(n, r) for n, r in enumerate(found.balance.rounds, 1) if r.difference is not None][-ROUNDS:]
    if not rounds:
        return None
    told = ", ".join(f"round {n} {_leans(r, book.book.settings.units)}" for n, r in rounds)
    what = f"{told}. Even is within {show(book.book.settings.tolerance, 'ratio', book.book.settings.units)}."
    return Drawing(
        "even",
        found.kite.key,
        f"How far apart the halves of {found.kite.name} are",
        what,
        lambda board, sheet: _even(board, sheet, rounds, book, found.balance.expanded),
        ("beside",),
    )


def _leans(one: RoundBalance, units: Units) -> str:
    assert one.difference is not None
    size = show(abs(one.difference.value), "ratio", units)
    return f"{'left' if one.difference.value > 0 else 'right'} stiffer by {size}"


def _even(
    board: Board, sheet: Sheet, rounds: Sequence[tuple[int, RoundBalance]], book: BookFindings, expanded: float | None
) -> float:
    """Left stiffer lies left; the last round in the accent with its 95 %."""
    units, tolerance = book.book.settings.units, 100 * book.book.settings.tolerance
    at = [(n, -100 * r.difference.value) for n, r in rounds if r.difference]
    spread = 100 * (expanded or 0.0)
    most = max(*(abs(v) for _, v in at), abs(at[-1][1]) + spread, 1.6 * tolerance)
    plot = rows_plot(board, sheet, Axis(-1.1 * most, 1.1 * most), HEIGHT, 0, 0)
    plot.band(-HEIGHT, 0, "kf-ok kp-faint", -tolerance, tolerance)
    plot.upright([(0, -HEIGHT, 0)], "ks-ok kw-fine")
    plot.across(-HEIGHT, "ks-ink kw-fine")
    foot = plot.px(0, -HEIGHT)[1] + 17
    limit = show(tolerance / 100, "ratio", units)
    for value, text, inks in ((-tolerance, limit, "kt-soft"), (0.0, "even", "kt-ok"), (tolerance, limit, "kt-soft")):
        x = plot.px(value, 0)[0]
        clear = value == 0 or plot.px(tolerance, 0)[0] - plot.px(0, 0)[0] > 42
        if clear:
            board.write(x, foot, text, inks, "middle")
    room = plot.px(-tolerance, 0)[0] - 20
    for text, x, anchor in (("left stiffer", 0.0, "start"), ("right stiffer", sheet.width, "end")):
        if wide(text, sheet.text) < room:
            board.write(x, foot, text, "kt-soft", anchor)
    step = HEIGHT / (len(at) + 0.2)
    for number, (n, value) in enumerate(at):
        row, last = -step * (number + 0.6), number == len(at) - 1
        x, y = plot.px(value, row)
        if last and spread:
            plot.level([(row, value - spread, value + spread)], "ks-accent kw-line")
        plot.dots([(value, row)], 4.6 if last else 3.8, "kf-accent" if last else "kf-soft")
        size = numbers.share(abs(value) / 100, units)
        text = f"{size} now" if last and len(at) > 1 else size if last else f"round {n}"
        right = plot.px(value + (spread if last else 0), row)[0] + 9
        left = plot.px(value - (spread if last else 0), row)[0] - 9
        inks = "kt-accent kt-halo" if last else "kt-soft kt-halo"
        if right + wide(text, sheet.text) < sheet.width:
            board.write(right, y + 4, text, inks)
        else:
            board.write(left, y + 4, text, inks, "end")
    return HEIGHT + FOOT


def stiff_chart(found: Findings, book: BookFindings) -> Drawing | None:
    """What each half reads on the scale, bare and with its skin on."""
    units = book.book.settings.units
    unit = scale.shown("force", units)
    bare = {"left": found.bow.left.press_N, "right": found.bow.right.press_N}
    skin = {"left": found.skin.left_N, "right": found.skin.right_N}
    rows = [
        (side, unit(b.value), unit(c.value) if (c := skin[side]) else None) for side, b in bare.items() if b is not None
    ]
    if not rows:
        return None
    said = ", ".join(
        f"{side} half {scale.text(round(b))}" + (f", {scale.text(round(c))} with the skin on" if c else "")
        for side, b, c in rows
    )
    return Drawing(
        "stiff",
        found.kite.key,
        f"What the halves of {found.kite.name} read on the scale",
        f"In {unit.unit}: {said}.",
        lambda board, sheet: _stiff(board, sheet, rows, unit.unit),
        ("beside",),
    )


def _stiff(board: Board, sheet: Sheet, rows: Sequence[tuple[str, float, float | None]], unit: str) -> float:
    """A bar from nothing to each reading: solid for the bow, hollow for what the skin adds."""
    most = max(max(b, c or 0.0) for _, b, c in rows)
    plot = rows_plot(board, sheet, from_nothing(1.02 * most, unit), HEIGHT, 40, 30)
    for number, (side, bow, with_skin) in enumerate(rows):
        row = -26.0 - 36 * number
        board.write(0, plot.px(0, row)[1] + 4, side, "")
        if with_skin and with_skin > bow:
            plot.band(row - 6, row + 6, "kf-paper ks-ink kw-fine", bow, with_skin)
        plot.band(row - 6, row + 6, "kf-ink ks-ink kw-fine", 0, bow)
        if number == 0 and with_skin:
            end, top = plot.px(bow, row)[0], plot.px(0, row)[1] - 12
            board.write(end - 4, top, "the bow", "kt-soft kt-halo", "end")
            board.write(end + 2, top, "its skin", "kt-soft kt-halo")
    return HEIGHT + FOOT


def wind_chart(found: Findings, units: Units, people: Mapping[str, Range | Predicted], most: float) -> Drawing | None:
    """Which wind each flyer likes it in, solid where it was flown, dashed where predicted."""
    rows = [
        FlownRow(
            name,
            "" if number else "flown" if isinstance(span, Range) else "predicted",
            None,
            Wind(span.low, span.high),
            ink="ink" if number else "accent",
            guessed=isinstance(span, Predicted),
        )
        for number, (name, span) in enumerate(people.items())
    ]
    title = f"The wind that {found.kite.name} is liked in"
    return flown_chart("liked", found.kite.key, title, rows, most, units)
