"""How the bench chart is laid out: halves above, the whole bow under them, rounds and shavings along the foot."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import Drawn, Sheet
from bowbook.charts.labels import stacked
from bowbook.findings.results import BookFindings, Findings, Measured

SIDES = ("left", "right")
ASIDE = 0.07  # of a column: how far a half stands from the column's middle, so that bars do not overlap
LEFT, TOP, HEIGHT, UNDER = 44.0, 34.0, 190.0, 36.0  # px: beside, over, of and under the plot of the halves
LOW_PLOT = 58.0  # px, of the whole bow's plot


class Column(Struct, frozen=True):
    """One round, or the covered readings: figures and single repeats in the unit shown."""

    label: str
    left: Measured | None
    right: Measured | None
    whole: Measured | None
    texts: tuple[str, str]
    repeats: tuple[tuple[float, ...], tuple[float, ...]]
    shaved: tuple[str, ...] = ()  # what was taken off after this round, in short pieces
    covered: bool = False

    def half(self, side: str) -> Measured | None:
        """The figure of one half."""
        return self.left if side == "left" else self.right

    def said(self, side: str) -> str:
        """The figure of one half in words."""
        return self.texts[SIDES.index(side)]


def draw(columns: Sequence[Column], findings: Findings, book: BookFindings, sheet: Sheet) -> Drawn:
    """All of it on one sheet."""
    unit = scale.shown("force", book.book.settings.units).unit
    width, t = sheet.width - LEFT - (86.0 if sheet.narrow else 142.0), book.coverage
    values = [v for c in columns for row in c.repeats for v in row]
    values += [v for c in columns for m in (c.left, c.right) if m for v in (m.value - t * m.u, m.value + t * m.u)]
    values += [v for c in columns for v in _even(c, findings.balance.tolerance)]
    low, high, ticks = scale.around(min(values), max(values), 5, least=0.04 * max(values))
    axis = axes.Axis(low, high, ticks, f"on the scale, {unit} · bars 95 %")
    frame = axes.Frame(width, HEIGHT, axes.Axis(0, len(columns)), axis, "y")
    out = [
        canvas.panel(frame, LEFT, TOP, _halves(columns, findings, t, frame, sheet), _ground(columns, findings, frame))
    ]
    bottom = TOP + HEIGHT
    if any(c.whole for c in columns):
        out.append(_whole(columns, t, unit, sheet, width, bottom + UNDER))
        bottom += UNDER + LOW_PLOT
    feet, more = _feet(columns, width, bottom - TOP, sheet)
    return [*out, svg.moved(LEFT, bottom, "".join(feet))], bottom + 28 + more


def _even(column: Column, tolerance: float) -> tuple[float, ...]:
    """The readings of the other half that would be even with the softer one: the tolerance is of the halves' mean."""
    if column.covered or column.left is None or column.right is None:
        return ()
    softer = min(column.left.value, column.right.value)
    return softer * (2 - tolerance) / (2 + tolerance), softer * (2 + tolerance) / (2 - tolerance)


def _ground(columns: Sequence[Column], findings: Findings, frame: axes.Frame) -> list[str]:
    """What lies under the grid: the tolerance around the softer half, and a sky behind the covered readings."""
    out = []
    apart = frame.width / len(columns)
    for i, column in enumerate(columns):
        if column.covered:
            out.append(svg.box(i * apart, 0, apart, frame.height, "kf-sky"))
        elif even := _even(column, findings.balance.tolerance):
            low, high = (frame.place(i, edge)[1] for edge in even)
            out.append(svg.box(i * apart + 3, high, apart - 6, low - high, "kf-ok kp-faint"))
            if i == 0 and low - high > 24 and apart > 110:
                out.append(svg.words(10, low - 6, "even", "kt-small kt-ok"))
    return out


def _place(frame: axes.Frame, column: int, side: str, value: float) -> tuple[float, float]:
    return frame.place(column + 0.5 + (-ASIDE if side == "left" else ASIDE), value)


def _bar(frame: axes.Frame, figure: Measured, t: float) -> tuple[float, float]:
    """Px of the ends of a figure's 95 % bar."""
    low, high = (frame.place(0, figure.value + way * t * figure.u)[1] for way in (-1, 1))
    return low, high


def _halves(columns: Sequence[Column], findings: Findings, t: float, frame: axes.Frame, sheet: Sheet) -> list[str]:
    """The readings of both halves with their bars, single repeats beside them, names at their ends."""
    out: list[str] = []
    last = max((i for i, c in enumerate(columns) if c.left or c.right), default=-1)
    ends = []
    for number, side in enumerate(SIDES):
        ink = "accent" if findings.shave.side == side else "ink"
        inner = f"kf-{ink}" if side == "left" else f"kf-paper ks-{ink} kw-fine"
        bare = [(i, m) for i, c in enumerate(columns) if not c.covered and (m := c.half(side))]
        track = [_place(frame, i, side, m.value) for i, m in bare]
        out += [svg.line(track, f"ks-{ink} kw-hair kp-half")] if len(track) > 1 else []
        for i, column in enumerate(columns):
            apart = 7 if side == "right" else -7
            spots = (_place(frame, i, side, v) for v in column.repeats[number])
            out += [svg.dot(x + apart, y, 1.3, "kf-soft") for x, y in spots]
            if m := column.half(side):
                x, y = _place(frame, i, side, m.value)
                out.append(svg.bars([(x, *_bar(frame, m, t))], f"ks-{ink} kw-line"))
                out.append(svg.dot(x, y, 3.8, inner, f"{column.label}, {side} half: {column.said(side)}"))
                if i == last:
                    ends.append((y, side, column.said(side), ink))
        if bare and bare[-1][0] != last:
            x, y = track[-1]
            way = 1 if side == "right" else -1
            words = svg.words(x + way * 13, y + 4, side, "kt-small kt-halo", "start" if way == 1 else "end")
            out.append(words)
    return out + _end_labels(ends, frame, sheet)


def _end_labels(ends: Sequence[tuple[float, str, str, str]], frame: axes.Frame, sheet: Sheet) -> list[str]:
    """Each half named, with its figure, beside its last reading."""
    tall = 2 * sheet.text + 5 if sheet.narrow else sheet.text + 5
    out = []
    for y, (_, side, said, ink) in zip(stacked([e[0] for e in ends], tall, 6, frame.height - 6), ends, strict=True):
        accent = " kt-accent" if ink == "accent" else ""
        if sheet.narrow:
            out.append(svg.words(frame.width + 6, y - 2, f"{side} half", "kt-small" + accent))
            out.append(svg.words(frame.width + 6, y + 11, said, "kt-small" + accent))
        else:
            out.append(svg.words(frame.width + 8, y + 4, f"{side} half {said}", accent.strip()))
    return out


def _whole(columns: Sequence[Column], t: float, unit: str, sheet: Sheet, width: float, top: float) -> str:
    """The whole bow's readings, on their own small plot: they are about a quarter of a half's."""
    read = [(i, c.whole) for i, c in enumerate(columns) if c.whole]
    ends = [m.value + way * t * m.u for _, m in read for way in (-1, 1)]
    low, high, ticks = scale.around(min(ends), max(ends), 3, least=0.1 * max(ends))
    axis = axes.Axis(low, high, ticks, f"whole bow, {unit}")
    frame = axes.Frame(width, LOW_PLOT, axes.Axis(0, len(columns)), axis, "y")
    inside = []
    for i, m in read:
        x, y = frame.place(i + 0.5, m.value)
        inside.append(svg.bars([(x, *_bar(frame, m, t))], "ks-ink kw-line"))
        inside.append(svg.dot(x, y, 3.2, "kf-soft ks-ink kw-fine"))
    beside = frame.place(0, read[-1][1].value)[1] + 4
    inside.append(svg.words(width + (6 if sheet.narrow else 8), beside, "whole", "kt-small" if sheet.narrow else ""))
    return canvas.panel(frame, LEFT, top, inside)


def _feet(columns: Sequence[Column], width: float, tall: float, sheet: Sheet) -> tuple[list[str], float]:
    """Under the plots: the rounds, and between them what was shaved; and the height these notes take."""
    apart = width / len(columns)
    fits = all(svg.wide(c.label, sheet.small) < apart - 12 for c in columns)  # a screen may lack the face measured
    every = 1 if fits else max(1, round(24 / apart + 0.45))
    out = [svg.line([(0, 0), (width, 0)], "ks-ink kw-hair")]
    height = 0.0
    for i, column in enumerate(columns):
        if i % every == 0 or column.covered:
            label = column.label if fits or column.covered else str(i + 1)
            out.append(svg.words((i + 0.5) * apart, 17, label, "kt-small", "middle"))
        if not column.shaved or i + 1 == len(columns):
            continue
        x = (i + 1) * apart
        out.append(svg.line([(x, -tall), (x, 22)], "ks-accent kw-hair kd-dot"))
        lines = _note(column.shaved, apart - 8, sheet.small)
        for number, text in enumerate(lines):
            out.append(svg.words(x, 36 + number * (sheet.small + 3.5), text, "kt-small kt-soft", "middle"))
        height = max(height, 8 + len(lines) * (sheet.small + 3.5) if lines else 0)
    return out, height


def _note(pieces: Sequence[str], room: float, size: float) -> list[str]:
    """The pieces in lines no wider than the room; none where a piece does not fit: the table has them."""
    lines: list[str] = []
    for piece in pieces:
        if lines and svg.wide(f"{lines[-1]}, {piece}", size) <= room:
            lines[-1] += f", {piece}"
        else:
            lines.append(piece)
    return lines if all(svg.wide(line, size) <= room for line in lines) else []
