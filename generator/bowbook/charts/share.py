"""How much of each kite's stiffness its skin gives."""

from __future__ import annotations

from bowbook.book.units import show
from bowbook.charts import frames, marks, scale, sheets
from bowbook.charts.points import Spot, crossed, linked
from bowbook.charts.sheets import TOP, Drawn, Sheet, spelled
from bowbook.charts.style import Style
from bowbook.charts.tables import UNKNOWN, Row, Table
from bowbook.findings.results import BookFindings, Findings


def share_chart(book: BookFindings, root: str = "", style: Style | None = None) -> str | None:
    """The skin's stiffness against the whole kite's, with lines of equal share."""
    kites = [
        (f, f.total, f.skin.EI_Nm2)
        for f in book.kites.values()
        if f.total and f.skin.EI_Nm2 and min(f.total.value, f.skin.EI_Nm2.value) > 0
    ]
    if not kites:
        return None
    unit, t = scale.shown("rigidity", book.book.settings.units), book.coverage
    across = scale.decades(
        min(unit(a.value) for _, a, _ in kites) * 0.95, max(unit(a.value) for _, a, _ in kites) * 1.05
    )
    up = scale.decades(min(unit(b.value) for *_, b in kites) * 0.85, max(unit(b.value) for *_, b in kites) * 1.05)

    def draw(sheet: Sheet) -> Drawn:
        height = 250 if sheet.narrow else 320
        x = frames.Axis(*across, f"bow and skin together, {unit.unit}", log=True)
        y = frames.Axis(*up, f"skin alone, {unit.unit} · bars 95 %", log=True)
        frame = frames.Frame(sheet.width - 52 - (40 if sheet.narrow else 80), height, x, y, "")
        under = _shares(frame)
        spots = []
        for f, total, skin in kites:
            px, py = frame.place(unit(total.value), unit(skin.value))
            sure = f.skin.how == "covered"
            inner = "kf-ink" if sure else "kf-paper ks-ink kw-fine"
            drawn = marks.path(crossed(frame, unit, t, total, skin), "ks-ink kw-hair kp-half") + marks.dot(
                px, py, 3.4, inner
            )
            share = show(f.skin.share, "ratio", book.book.settings.units) if f.skin.share is not None else UNKNOWN
            spots.append(
                Spot(f.kite.key, f.kite.name, px, py, drawn, f"{f.kite.name}: the skin gives {share}, {_how(f)}")
            )
        told = "filled: skin measured on the bow · hollow: judged from its neighbours or the cloth"
        foot = sheets.wrapped(told, sheet.width, sheet.small)
        words = [
            marks.words(0 if sheet.narrow else 52, TOP + height + 58 + i * 15, s, "kt-small kt-soft")
            for i, s in enumerate(foot)
        ]
        return [
            sheets.panel(frame, 52, TOP, linked(spots, frame, sheet, root), under),
            *words,
        ], TOP + height + 50 + 15 * len(foot)

    what = f"{len(kites)} kites. Slanting lines join kites whose skin gives the same share of the stiffness."
    return sheets.both("share", "How much of the stiffness the skin gives", what, draw, style)


def share_rows(book: BookFindings) -> Table:
    """The skin's part of every kite, and how it is known."""
    units = book.book.settings.units
    rows = [
        Row(
            (
                f.kite.name,
                spelled(units, "rigidity", f.skin.EI_Nm2),
                spelled(units, "rigidity", f.total),
                show(f.skin.share, "ratio", units) if f.skin.share is not None else UNKNOWN,
                _how(f),
            ),
            f.kite.key,
        )
        for f in book.kites.values()
        if f.total and f.skin.EI_Nm2
    ]
    return Table(("Kite", "Skin", "Bow and skin", "Skin's share", "How it is known"), tuple(rows))


def _how(findings: Findings) -> str:
    ways = {
        "covered": "pressed with the skin on",
        "same skin": "judged by other kites in this skin",
        "bending only": "at the least, from the cloth alone",
    }
    return ways.get(findings.skin.how or "", UNKNOWN)


def _shares(frame: frames.Frame) -> list[str]:
    """Lines on which the skin gives the same share, named at the right edge or where they leave the top."""
    out = []
    for share in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0):
        x0, x1 = max(frame.x.low, frame.y.low / share), min(frame.x.high, frame.y.high / share)
        if x1 <= x0 * 1.02:
            continue
        out.append(marks.line([frame.place(x0, x0 * share), frame.place(x1, x1 * share)], "ks-soft kw-hair kd-dash"))
        x, y = frame.place(x1, x1 * share)
        name = f"{share * 100:g} %"
        at_top = y < 1
        out.append(
            marks.words(
                x if at_top else x + 5,
                -4 if at_top else y + 4,
                name,
                "kt-small kt-soft",
                "middle" if at_top else "start",
            )
        )
    return out
