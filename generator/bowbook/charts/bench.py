"""The bench chart: every round's readings of both halves, what was shaved between, and the skin on at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bowbook.book.records import Press, Reading, Shave
from bowbook.book.units import show
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.labels import stacked
from bowbook.charts.sheets import Drawn, Sheet, dated, spelled
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, Measured

SIDES = ("left", "right")
ASIDE = 0.07  # of a column: how far a half stands from the column's middle, so that bars do not overlap


@dataclass(frozen=True, slots=True)
class _Column:
    """One round, or the covered readings: figures and single repeats in the unit shown."""

    label: str
    left: Measured | None
    right: Measured | None
    whole: Measured | None
    texts: tuple[str, str]
    repeats: tuple[tuple[float, ...], tuple[float, ...]]
    shave: Shave | None = None
    covered: bool = False

    def half(self, side: str) -> Measured | None:
        """The figure of one half."""
        return self.left if side == "left" else self.right

    def said(self, side: str) -> str:
        """The figure of one half in words."""
        return self.texts[SIDES.index(side)]


def bench_chart(findings: Findings, book: BookFindings, style: Style | None = None) -> str | None:
    """Readings round by round with 95 % bars; differences instead where halves were sagged or drooped, not pressed."""
    columns = _columns(findings, book)
    if not any(c.left or c.right or any(c.repeats) for c in columns):
        return _difference_chart(findings, book, style)
    table = bench_rows(findings, book)
    said = " ".join(
        ". ".join(f"{h}: {c}" for h, c in zip(table.header, row.cells, strict=True) if c != UNKNOWN) + "."
        for row in table.rows
    )
    return sheets.both(
        f"bench-{findings.kite.key}",
        f"Bench readings of {findings.kite.name}, round by round",
        f"Bars hold the true reading 19 times in 20. {said}",
        lambda sheet: _draw(columns, findings, book, sheet),
        style,
    )


def bench_rows(findings: Findings, book: BookFindings) -> Table:
    """Every round in words: readings, difference, verdict, what was shaved after it; then the covered readings."""
    units = book.book.settings.units
    rows = []
    for number, judged in enumerate(findings.balance.rounds):
        done = findings.kite.bench[number].shave if number < len(findings.kite.bench) else None
        rows.append(
            Row(
                (
                    f"{number + 1}" + (f", {dated(judged.on)}" if judged.on else ""),
                    *(spelled(units, "force", m) for m in (judged.left_N, judged.right_N, judged.whole_N)),
                    _difference(judged.difference, book),
                    judged.verdict or UNKNOWN,
                    ", ".join(_shaved(done, book)) or UNKNOWN,
                )
            )
        )
    skin = findings.skin
    if skin.left_N or skin.right_N:
        cells = (spelled(units, "force", m) for m in (skin.left_N, skin.right_N))
        rows.append(Row(("skin on", *cells, UNKNOWN, UNKNOWN, UNKNOWN, UNKNOWN)))
    header = ("Round", "Left half", "Right half", "Whole bow", "Difference, 95 %", "Verdict", "Then shaved")
    empty = {i for i in range(1, len(header)) if all(row.cells[i] == UNKNOWN for row in rows)}
    kept = [i for i in range(len(header)) if i not in empty]
    return Table(tuple(header[i] for i in kept), tuple(Row(tuple(row.cells[i] for i in kept)) for row in rows))


def _difference(figure: Measured | None, book: BookFindings) -> str:
    if figure is None:
        return UNKNOWN
    size = show(abs(figure.value), "ratio", book.book.settings.units, book.coverage * figure.u)
    return f"{'left' if figure.value > 0 else 'right'} by {size}"


def _shaved(shave: Shave | None, book: BookFindings) -> tuple[str, ...]:
    """What was taken off, in short pieces."""
    if shave is None:
        return ()
    pieces = [shave.side]
    if shave.zone:
        pieces.append(shave.zone.label)
    if shave.strokes is not None:
        pieces.append(f"{shave.strokes} stroke" + ("s" if shave.strokes != 1 else ""))
    if shave.taken_m is not None:
        pieces.append(show(shave.taken_m, "thin", book.book.settings.units))
    return tuple(pieces)


def _columns(findings: Findings, book: BookFindings) -> list[_Column]:
    unit = scale.shown("force", book.book.settings.units)

    def figure(measured: Measured | None) -> Measured | None:
        return Measured(unit(measured.value), unit(measured.u)) if measured else None

    def texts(left: Measured | None, right: Measured | None) -> tuple[str, str]:
        return spelled(book.book.settings.units, "force", left), spelled(book.book.settings.units, "force", right)

    def repeats(reading: Reading | None) -> tuple[float, ...]:
        return tuple(unit(v) for v in reading.values_N) if isinstance(reading, Press) else ()

    columns = []
    for number, judged in enumerate(findings.balance.rounds):
        done = findings.kite.bench[number] if number < len(findings.kite.bench) else None
        single = (repeats(done.left), repeats(done.right)) if done else ((), ())
        label = dated(judged.on) if judged.on else f"round {number + 1}"
        halves = (judged.left_N, judged.right_N)
        figures = (figure(judged.left_N), figure(judged.right_N), figure(judged.whole_N))
        columns.append(_Column(label, *figures, texts(*halves), single, done.shave if done else None))
    covered, skin = findings.kite.covered, findings.skin
    if covered and (covered.left or covered.right):
        single = (repeats(covered.left), repeats(covered.right))
        said = texts(skin.left_N, skin.right_N)
        columns.append(_Column("skin on", figure(skin.left_N), figure(skin.right_N), None, said, single, covered=True))
    return columns


def _draw(columns: Sequence[_Column], findings: Findings, book: BookFindings, sheet: Sheet) -> Drawn:
    unit = scale.shown("force", book.book.settings.units).unit
    left, right = 44.0, 74.0 if sheet.narrow else 118.0
    width, height, top = sheet.width - left - right, 190.0, 34.0
    t = book.coverage
    values = [v for c in columns for row in c.repeats for v in row]
    values += [v for c in columns for m in (c.left, c.right) if m for v in (m.value - t * m.u, m.value + t * m.u)]
    low, high, ticks = scale.around(min(values), max(values), 5, least=0.04 * max(values))
    title = f"on the scale, {unit} · bars 95 %"
    frame = frames.Frame(width, height, frames.Axis(0, len(columns)), frames.Axis(low, high, ticks, title), "y")
    under, inside = _halves(columns, findings, book, frame, sheet)
    out = [sheets.panel(frame, left, top, inside, under)]
    bottom = top + height
    if any(c.whole for c in columns):
        out.append(_whole(columns, t, unit, sheet, left, width, bottom + 36))
        bottom += 36 + 58
    out.append(marks.moved(left, bottom, "".join(_feet(columns, width, book, sheet))))
    notes = max((len(_note(c, book, sheet)) for c in columns[:-1]), default=0) if width / len(columns) > 60 else 0
    return out, bottom + 26 + notes * (sheet.small + 3.5)


def _x(column: int, side: str) -> float:
    return column + 0.5 + (-ASIDE if side == "left" else ASIDE)


def _halves(
    columns: Sequence[_Column], findings: Findings, book: BookFindings, frame: frames.Frame, sheet: Sheet
) -> tuple[list[str], list[str]]:
    """What lies under the grid, and the marks over it."""
    tolerance, t = findings.balance.tolerance, book.coverage
    under, over, ends = [], [], []
    for i, column in enumerate(columns):
        x = frame.place(i, frame.y.low)[0]
        if column.covered:
            under.append(marks.box(x, 0, frame.width / len(columns), frame.height, "kf-sky"))
        elif column.left and column.right:
            softer = min(column.left.value, column.right.value)
            edges = (softer * (2 + tolerance) / (2 - tolerance), softer * (2 - tolerance) / (2 + tolerance))
            y = [frame.place(i, min(max(edge, frame.y.low), frame.y.high))[1] for edge in edges]
            under.append(marks.box(x + 5, y[0], frame.width / len(columns) - 10, y[1] - y[0], "kf-ok kp-faint"))
    for number, side in enumerate(SIDES):
        ink = "accent" if findings.shave.side == side else "ink"
        inner = f"kf-{ink}" if side == "left" else f"kf-paper ks-{ink} kw-fine"
        track = [(_x(i, side), m.value) for i, c in enumerate(columns) if not c.covered and (m := c.half(side))]
        over.append(marks.line((frame.place(*p) for p in track), f"ks-{ink} kw-hair kp-half") if len(track) > 1 else "")
        for i, column in enumerate(columns):
            aside = 0.55 * ASIDE if side == "right" else -0.55 * ASIDE
            over += [marks.dot(*frame.place(_x(i, side) + aside, v), 1.4, "kf-soft") for v in column.repeats[number]]
            if m := column.half(side):
                x, y = frame.place(_x(i, side), m.value)
                low, high = (frame.place(0, m.value + way * t * m.u)[1] for way in (-1, 1))
                over.append(marks.bars([(x, low, high)], f"ks-{ink} kw-line"))
                said = column.said(side)
                over.append(marks.dot(x, y, 3.8, inner, f"{column.label}, {side} half: {said}"))
                if not column.covered or i == len(columns) - 1:
                    ends = [e for e in ends if e[1] != side] + [(y, side, said, ink)]
    return under, over + _end_labels(ends, frame, sheet)


def _end_labels(ends: Sequence[tuple[float, str, str, str]], frame: frames.Frame, sheet: Sheet) -> list[str]:
    """Each half named at the end of its readings."""
    tall = 2 * sheet.text + 5 if sheet.narrow else sheet.text + 5
    heights = stacked([y for y, *_ in ends], tall, 6, frame.height - 6)
    out = []
    for y, (_, side, said, ink) in zip(heights, ends, strict=True):
        accent = " kt-accent" if ink == "accent" else ""
        if sheet.narrow:
            out.append(marks.words(frame.width + 6, y - 2, f"{side} half", "kt-small" + accent))
            out.append(marks.words(frame.width + 6, y + 11, said, "kt-small" + accent))
        else:
            out.append(marks.words(frame.width + 8, y + 4, f"{side} half {said}", accent.strip()))
    return out


def _whole(columns: Sequence[_Column], t: float, unit: str, sheet: Sheet, left: float, width: float, top: float) -> str:
    """The whole bow's readings, on their own small plot: they are about a quarter of a half's."""
    spans = [
        (i, c.whole, c.whole.value - t * c.whole.u, c.whole.value + t * c.whole.u)
        for i, c in enumerate(columns)
        if c.whole
    ]
    low, high, ticks = scale.around(
        min(s[2] for s in spans), max(s[3] for s in spans), 3, least=0.1 * spans[0][1].value
    )
    frame = frames.Frame(
        width, 58, frames.Axis(0, len(columns)), frames.Axis(low, high, ticks, f"whole bow, {unit}"), "y"
    )
    inside = []
    for i, figure, *ends in spans:
        x, y = frame.place(i + 0.5, figure.value)
        inside.append(marks.bars([(x, *(frame.place(0, v)[1] for v in ends))], "ks-ink kw-line"))
        inside.append(marks.dot(x, y, 3.2, "kf-soft ks-ink kw-fine"))
    last = spans[-1]
    inside.append(
        marks.words(width + 8, frame.place(0, last[1].value)[1] + 4, "whole", "kt-small" if sheet.narrow else "")
    )
    return sheets.panel(frame, left, top, inside)


def _note(column: _Column, book: BookFindings, sheet: Sheet) -> tuple[str, ...]:
    """The lines under the gap after a round."""
    pieces = _shaved(column.shave, book)
    return pieces if sheet.narrow or len(pieces) < 3 else (", ".join(pieces[:2]), ", ".join(pieces[2:]))


def _feet(columns: Sequence[_Column], width: float, book: BookFindings, sheet: Sheet) -> list[str]:
    """Under the plot: the rounds, and between them what was shaved."""
    apart = width / len(columns)
    every = max(1, round(48 / apart + 0.45))
    out = [marks.line([(0, 0), (width, 0)], "ks-ink kw-hair")]
    for i, column in enumerate(columns):
        if i % every == 0 or column.covered:
            out.append(marks.words((i + 0.5) * apart, 17, column.label, "kt-small", "middle"))
        if column.shave is None or i + 1 == len(columns):
            continue
        x = (i + 1) * apart
        out.append(marks.line([(x, -9), (x, 9), (x - 3.5, 4)], "ks-accent kw-fine"))
        if apart > 60:
            for line, text in enumerate(_note(column, book, sheet)):
                out.append(marks.words(x, 33 + line * (sheet.small + 3.5), text, "kt-small kt-soft", "middle"))
    return out


def _difference_chart(findings: Findings, book: BookFindings, style: Style | None) -> str | None:
    """The difference of the halves, round by round, with the tolerance around even."""
    rounds = [(i, r) for i, r in enumerate(findings.balance.rounds) if r.difference]
    if not rounds:
        return None
    t, tolerance = book.coverage, 100 * findings.balance.tolerance

    def draw(sheet: Sheet) -> Drawn:
        width, height = sheet.width - 60, 170.0
        spans = [(i, 100 * r.difference.value, 100 * t * r.difference.u) for i, r in rounds if r.difference]
        reach = max([tolerance, *(abs(d) + u for _, d, u in spans)]) * 1.05
        by = scale.step(2 * reach, 6)
        top = scale.steps(0, reach + by, by)[-1]
        axis = frames.Axis(-top, top, scale.steps(-top, top, by), "left half stiffer, % (below 0: right) · bars 95 %")
        count = len(findings.balance.rounds)
        frame = frames.Frame(width, height, frames.Axis(0, count), axis, "y")
        upper, lower = (frame.place(0, way * tolerance)[1] for way in (1, -1))
        under = [marks.box(0, upper, width, lower - upper, "kf-ok kp-faint")]
        inside = [marks.line([frame.place(0, 0), frame.place(count, 0)], "ks-ink kw-hair")]
        for i, d, u in spans:
            x, y = frame.place(i + 0.5, d)
            inside.append(marks.bars([(x, frame.place(0, d - u)[1], frame.place(0, d + u)[1])], "ks-ink kw-line"))
            inside.append(marks.dot(x, y, 3.8, "kf-ink"))
            judged = findings.balance.rounds[i]
            label = dated(judged.on) if judged.on else f"round {i + 1}"
            inside.append(marks.words(x, height + 17, label, "kt-small", "middle"))
        return [sheets.panel(frame, 44, 34, inside, under)], 34 + height + 26

    said = "; ".join(f"round {i + 1}: {_difference(r.difference, book)}" for i, r in rounds)
    title = f"Difference between the halves of {findings.kite.name}, round by round"
    return sheets.both(f"bench-{findings.kite.key}", title, f"Stiffer half and by how much, 95 %: {said}.", draw, style)
