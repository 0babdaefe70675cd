"""How much of each kite's stiffness its skin gives."""

from __future__ import annotations

import statistics
from collections.abc import Sequence

from bowbook.charts import axes, canvas, scale, svg
from bowbook.charts.canvas import TOP, Drawn, Sheet, share_of, spelled
from bowbook.charts.labels import Label, Room
from bowbook.charts.points import Spot, crossed, crowded, linked, radius, take
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings, Measured


def share_chart(book: BookFindings, root: str = "", style: Style | None = None) -> str | None:
    """The skin's stiffness against the whole kite's, with lines of equal share."""
    kites = [
        (f, f.total, f.skin.EI_Nm2)
        for f in book.kites.values()
        if f.total and f.skin.EI_Nm2 and min(f.total.value, f.skin.EI_Nm2.value) > 0
    ]
    if not kites:
        return None
    everyone = len(kites)
    if crowded(everyone):  # a few skins that hardly count would press all others into the chart's top
        least = statistics.median(skin.value for *_, skin in kites) / 40
        kites = [kite for kite in kites if kite[2].value > least]
    less = f" · {everyone - len(kites)} with hardly any skin left out" if everyone > len(kites) else ""
    unit = scale.shown("rigidity", book.book.settings.units)

    def draw(sheet: Sheet) -> Drawn:
        height, most = (250, 5) if sheet.narrow else (320, 7)
        x = _axis([unit(a.value) for _, a, _ in kites], most, f"bow and skin together, {unit.unit}")
        y = _axis([unit(b.value) for *_, b in kites], most, f"skin alone, {unit.unit} · bars 95 %")
        frame = axes.Frame(sheet.width - 52 - (40 if sheet.narrow else 80), height, x, y, "")
        room = Room(frame.width, frame.height)
        spots = [_spot(f, total, skin, book, frame, len(kites)) for f, total, skin in kites]
        strong, weak = ("dark", "pale") if crowded(len(kites)) else ("filled", "hollow")
        told = f"{strong}: skin measured on the bow · {weak}: judged from its neighbours or the cloth"
        note, more = canvas.footed(told + less, sheet, 52, TOP + height + 46)
        take(spots, room)
        under = _shares(frame, room, sheet.small)
        inside = linked(spots, frame, sheet, root, room)
        return [canvas.panel(frame, 52, TOP, inside, under), *note], TOP + height + 50 + more

    what = f"{len(kites)} kites{less}. Slanting lines join kites whose skin gives the same share of the stiffness."
    return canvas.both("share", "How much of the stiffness the skin gives", what, draw, style)


def share_rows(book: BookFindings) -> Table:
    """The skin's part of every kite, and how it is known."""
    units = book.book.settings.units
    rows = []
    for f in book.kites.values():
        if f.total and f.skin.EI_Nm2:
            both = (spelled(units, "rigidity", f.skin.EI_Nm2), spelled(units, "rigidity", f.total))
            rows.append(Row((f.kite.name, *both, share_of(f.skin.share, book), _how(f)), f.kite.key))
    return Table(("Kite", "Skin", "Bow and skin", "Skin's share", "How it is known"), tuple(rows))


def _spot(
    findings: Findings, total: Measured, skin: Measured, book: BookFindings, frame: axes.Frame, among: int
) -> Spot:
    """One kite: filled where its skin was measured on the bow."""
    kite, unit = findings.kite, scale.shown("rigidity", book.book.settings.units)
    x, y = frame.place(unit(total.value), unit(skin.value))
    inner = "kf-ink" if findings.skin.how == "covered" else "kf-paper ks-ink kw-fine"
    bars = "ks-ink kw-hair kp-half", crossed(frame, unit, book.coverage, total, skin, among)
    says = f"{kite.name}: the skin gives {share_of(findings.skin.share, book)}, {_how(findings)}"
    return Spot(kite.key, kite.name, x, y, says, (inner, ""), bars, dot=radius(among))


def _axis(values: Sequence[float], most: int, title: str) -> axes.Axis:
    """A logarithmic axis, so that lines of equal share are parallel."""
    low, high, ticks = scale.rungs(min(values), max(values), most)
    return axes.Axis(low, high, ticks, title, log=True)


def _how(findings: Findings) -> str:
    ways = {
        "covered": "pressed with the skin on",
        "same skin": "judged by other kites in this skin",
        "bending only": "at the least, from the cloth alone",
    }
    return ways.get(findings.skin.how or "", UNKNOWN)


def _shares(frame: axes.Frame, room: Room, size: float) -> list[str]:
    """Lines on which the skin gives the same share, each named where it ends: beside the plot, or under its top."""
    out = []
    for share in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0):
        x0, x1 = max(frame.x.low, frame.y.low / share), min(frame.x.high, frame.y.high / share)
        if x1 <= x0 * 1.02:
            continue
        out.append(svg.line([frame.place(x0, x0 * share), frame.place(x1, x1 * share)], "ks-soft kw-hair kd-dash"))
        x, y = frame.place(x1, x1 * share)
        name = f"{share * 100:g} %"
        if y >= 1:
            out.append(svg.words(x + 5, y + 4, name, "kt-small kt-soft"))
            continue
        wide = svg.wide(name, size)
        for label in (Label(x - 14, 11, name, "end"), Label(x + 4, 11, name, "start"), Label(x - 32, 25, name, "end")):
            if room.fits(label, wide, size):
                out.append(svg.words(label.x, label.y, name, "kt-small kt-soft", label.anchor))
                break
    return out
